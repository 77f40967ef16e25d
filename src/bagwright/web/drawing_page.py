"""The page on which she looks at a drawing before its pieces are taken."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from markupsafe import Markup

from bagwright.errors import Problem
from bagwright.model.found_piece import FoundPiece
from bagwright.model.piece import Piece
from bagwright.web.frame import frame
from bagwright.web.own_pages import DrawingPage, FoundCard
from bagwright.web.pages import Field, Option
from bagwright.web.wording import Wording
from bagwright.workflows.own_changes import Look
from bagwright.workflows.own_drawing import UNIT_NAMES, edges_by_name, role_names, usual_allowance
from bagwright.workflows.own_report import told_edge
from bagwright.workflows.pictures import edges_picture

_LINES = (
    Option("stitch", "the stitch line: an allowance is added"),
    Option("cut", "the cut line: the allowance is in it"),
)
_ROLES = tuple(Option(key, name) for key, name in role_names())
UNIT_OPTIONS = (Option("", "as the file says"), *(Option(key, name) for key, name in UNIT_NAMES.items()))


@dataclass(frozen=True, slots=True, kw_only=True)
class Brought:
    """What she typed about a drawing, what is wrong with it, and the bag that its pieces are for (none: a new one)."""

    texts: Mapping[str, str] = field(default_factory=dict)
    problems: tuple[Problem, ...] = ()
    bag_id: str = ""
    version: int = 0
    is_demo: bool = False


def unread_page(brought: Brought) -> DrawingPage:
    """A drawing that could not be read."""
    return DrawingPage(
        frame=frame("Your own pieces", "/", is_demo=brought.is_demo),
        heading="This drawing cannot be read",
        token="",
        file_name="",
        bag_id=brought.bag_id,
        version=brought.version,
        scale="",
        is_sure=True,
        problems=tuple(problem.sentence() for problem in brought.problems),
        fields=(unit_field(brought),),
        pieces=(),
        notes=(),
    )


def drawing_page(look: Look, brought: Brought) -> DrawingPage:
    """What is in a drawing, and what she has to say of it."""
    say, scale = Wording(look.workroom), look.drawing.scale
    fields = _fields(look, brought)
    named = {one.name for one in fields}
    pairs = zip(look.own.pieces, look.drawing.pieces, strict=True)
    return DrawingPage(
        frame=frame("Your own pieces", "/", is_demo=look.is_demo),
        heading="What is in your drawing",
        token=look.token,
        file_name=look.file_name,
        bag_id=brought.bag_id,
        version=brought.version,
        scale=f"{scale.said[:1].upper()}{scale.said[1:]}.",
        is_sure=scale.is_sure,
        problems=tuple(p.words() for p in brought.problems if p.place not in (*named, "scale")),
        fields=fields,
        pieces=tuple(_card(piece, found, say) for piece, found in pairs),
        notes=look.drawing.notes,
    )


def _card(piece: Piece, found: FoundPiece, say: Wording) -> FoundCard:
    region = piece.region()
    edges = ", ".join(f"{told_edge(edge.name)}: {say.length(edge.length_mm)}" for edge in piece.net.edges[:12])
    more = f" and {len(piece.net.edges) - 12} more" if len(piece.net.edges) > 12 else ""
    size = f"{say.length(region.width_mm)} x {say.length(region.height_mm)} with its seam allowance"
    return FoundCard(
        name=piece.name,
        svg=Markup(edges_picture(piece, id_prefix=f"found-{piece.id.replace('_', '-')}")),
        words=f"{size}. Edges {edges}{more}.",
        notes=found.notes,
    )


def _fields(look: Look, brought: Brought) -> tuple[Field, ...]:
    told = _Fields(brought)
    edges = [
        Option("", "Choose…"),
        *(Option(name, words) for name, words in edges_by_name(look.drawing, look.workroom)),
    ]
    lines = _LINES if any(piece.kind is None for piece in look.drawing.pieces) else ()
    measured = all(piece.allowance_mm for piece in look.drawing.pieces)
    name = () if brought.bag_id else (told.field("name", "Name of the bag", look.file_name.rpartition(".")[0], ""),)
    kinds = (
        (told.field("line", "Its outlines are", "stitch", "Where the file does not say it.", lines),) if lines else ()
    )
    usual = usual_allowance(look.workroom)
    widths = (told.field("allowance", "Seam allowance", usual, "On every edge; change it per edge later."),)
    return (
        *name,
        *kinds,
        *(() if measured else widths),
        told.field("role", "Made of", "outer", "All of them for now; change it per piece.", _ROLES),
        unit_field(brought),
        told.field("known_edge", "Or set its size by one edge", "", "As it is named in the drawings.", edges),
        told.field("known_length", "True length of that edge", "", "All pieces grow or shrink with it."),
    )


def unit_field(brought: Brought | None = None) -> Field:
    """How large one unit of a drawing is."""
    return _Fields(brought or Brought()).field(
        "scale_unit", "One unit of the drawing is", "", "For drawings without a size.", UNIT_OPTIONS
    )


class _Fields:
    """Builds fields that keep what was typed."""

    def __init__(self, brought: Brought) -> None:
        self._brought = brought

    def field(self, name: str, label: str, usual: str, hint: str, choices: Sequence[Option] = ()) -> Field:
        text = self._brought.texts.get(name, usual)
        places = (name, "scale") if name == self._scale_field() else (name,)
        return Field(
            id=name,
            name=name,
            label=label,
            value=text,
            hint=hint,
            problem=" ".join(p.words() for p in self._brought.problems if p.place in places),
            choices=tuple(Option(one.value, one.label, one.value == text) for one in choices),
        )

    def _scale_field(self) -> str:
        """Which field a wrong size was typed in."""
        return "known_length" if self._brought.texts.get("known_length", "").strip() else "scale_unit"
