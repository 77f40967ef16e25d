"""The part of a bag's page for pieces of her own, from its answer."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from markupsafe import Markup

from bagwright.errors import Problem
from bagwright.model.own_pattern import OwnPattern
from bagwright.model.pattern import Seam, SeamKind, SeamSide
from bagwright.model.piece import EdgeUse, Mirror, Piece
from bagwright.web.drawing_page import unit_field
from bagwright.web.own_pages import EdgeRow, MeasureLine, OwnView, PieceForm, SeamLine, SideLine
from bagwright.web.pages import Field, Option
from bagwright.web.wording import Wording
from bagwright.workflows.desk import BagView
from bagwright.workflows.own_report import OwnReport, edge_in_words, report_in_words, told_edge
from bagwright.workflows.own_seams import targets_of
from bagwright.workflows.own_typed import printed
from bagwright.workflows.pictures import edges_picture

_USE_WORDS = {EdgeUse.SEAM: "sewn", EdgeUse.HEM: "hemmed", EdgeUse.OPENING: "left open", EdgeUse.FOLD: "on the fold"}
_MIRROR_WORDS = {Mirror.NO: "all alike", Mirror.PAIRS: "mirrored pairs", Mirror.EITHER: "as it suits the layout"}
_KIND_WORDS = {
    SeamKind.LOCKSTITCH: "sewn together",
    SeamKind.ZIP: "sewn to a zip",
    SeamKind.HEM: "hemmed",
    SeamKind.TOPSTITCH: "topstitched",
    SeamKind.BASTE: "basted",
}


class OwnForms:
    """Builds fields that keep what was typed and refused."""

    def __init__(self, view: BagView, typed: Mapping[str, str], problems: Sequence[Problem]) -> None:
        self.view, self.say, self._typed, self._problems = view, Wording(view.workroom), typed, problems
        self.placed: set[str] = set()

    def field(self, name: str, label: str, value: str, hint: str, choices: Sequence[Option] = ()) -> Field:
        """One field; a choice that was typed and refused is not shown again, for it is none."""
        self.placed.add(name)
        text = self._typed.get(name, value)
        chosen = tuple(Option(one.value, one.label, one.value == text) for one in choices)
        return Field(
            id=name.replace(".", "-").replace(" ", "_"),
            name=name,
            label=label,
            value=text,
            hint=hint,
            problem=self.told(name),
            choices=chosen,
        )

    def told(self, place: str) -> str:
        """What is wrong at a place, in words."""
        self.placed.add(place)
        return " ".join(problem.words() for problem in self._problems if problem.place == place)

    def unplaced(self) -> tuple[str, ...]:
        """Faults that belong to no field of this part; those of other parts stay there."""
        known = (*(f"{piece.id}." for piece in self.view.answer.pattern.pieces), "seam", "piece", "measure")
        return tuple(p.words() for p in self._problems if p.place not in self.placed and p.place.startswith(known))


def own_view(view: BagView, typed: Mapping[str, str], problems: Sequence[Problem]) -> OwnView | None:
    """Everything about the pieces of a bag that is made of her own; None for any other bag."""
    own = view.answer.bag.own
    if own is None:
        return None
    forms = OwnForms(view, typed, problems)
    report = report_in_words(own, units=view.workroom.units, fraction=view.workroom.fraction)
    pieces = tuple(_piece_form(piece, own, report, forms) for piece in own.pieces)
    edges = tuple(Option(one.value, f"{one.told()} ({forms.say.length(one.length_mm)})") for one in targets_of(own))
    seam_fields, part_fields = _seam_fields(forms, edges), _part_fields(forms)
    measure_fields = _measure_fields(forms)
    return OwnView(
        headline=report.headline,
        is_sound=report.is_sound,
        faults=report.whole,
        pieces=pieces,
        seams=tuple(_seam_line(number, seam, own, report, forms.say) for number, seam in enumerate(own.seams, start=1)),
        seam_fields=seam_fields,
        part_fields=part_fields,
        measures=tuple(MeasureLine(key, words) for key, words in report.measures.items()),
        measure_fields=measure_fields,
        measure_edges=edges,
        measure_problem=forms.told("measure.edges"),
        problems=forms.unplaced(),
        unit=unit_field(),
    )


def _piece_form(piece: Piece, own: OwnPattern, report: OwnReport, forms: OwnForms) -> PieceForm:
    region = piece.region()
    edge_choices = [Option(edge.name, told_edge(edge.name)) for edge in piece.net.edges]
    return PieceForm(
        id=piece.id,
        name=piece.name,
        svg=Markup(edges_picture(piece, id_prefix=f"edges-{piece.id.replace('_', '-')}")),
        small_svg=Markup(edges_picture(piece, id_prefix=f"small-{piece.id.replace('_', '-')}")),
        size=f"{forms.say.length(region.width_mm)} x {forms.say.length(region.height_mm)}",
        fields=_words_of_piece(piece, own, forms),
        edges=tuple(_edge_row(piece, number, report, forms) for number in range(len(piece.net.edges))),
        divide=(
            forms.field(f"{piece.id}.edge", "Edge", "", "As it is named in the drawing.", edge_choices),
            forms.field(f"{piece.id}.divide_at", "Divide at", "", "How far from where its arrow starts."),
        ),
        faults=(*report.pieces.get(piece.id, ()), *filter(None, (forms.told(f"{piece.id}.remove"),))),
        is_only=len(own.pieces) == 1,
    )


def _words_of_piece(piece: Piece, own: OwnPattern, forms: OwnForms) -> tuple[Field, ...]:
    roles = [Option(role.key, role.name) for role in forms.view.form.roles]
    mirrors = [Option(mirror.value, words) for mirror, words in _MIRROR_WORDS.items()]
    face = "yes" if piece.id in own.faces else "no"
    faces = [Option("yes", "yes: work out its body"), Option("no", "no")]
    grain = f"{piece.grain_deg:g}"
    return (
        forms.field(f"{piece.id}.name", "Name", piece.name, "As it stands on the papers."),
        forms.field(f"{piece.id}.role", "Made of", piece.role, "Which stack of layers, further down.", roles),
        forms.field(f"{piece.id}.count", "How many", str(piece.count), "Cut for one bag."),
        forms.field(f"{piece.id}.mirror", "Copies are", piece.mirror.value, "Left and right are a pair.", mirrors),
        forms.field(f"{piece.id}.grain_deg", "Grain, in degrees", grain, "90 runs up the piece, 0 across it."),
        forms.field(f"{piece.id}.is_face", "A face of the bag", face, "Fronts, backs, what must stand.", faces),
    )


def _edge_row(piece: Piece, number: int, report: OwnReport, forms: OwnForms) -> EdgeRow:
    edge, stem = piece.net.edges[number], f"{piece.id}.edge_{number}"
    called = told_edge(edge.name)
    shown = edge.name.removeprefix("edge_") if called.isdigit() else edge.name
    uses = [Option(use.value, words) for use, words in _USE_WORDS.items()]
    allowance = printed(piece.allowance_mm.get(edge.name, 0.0), forms.view.workroom)
    said = f"edge {called} of {piece.name}"
    return EdgeRow(
        label=called,
        length=forms.say.length(edge.length_mm),
        name=forms.field(f"{stem}_name", f"Name of {said}", shown, ""),
        use=forms.field(f"{stem}_use", f"What becomes of {said}", piece.edge_use[edge.name].value, "", uses),
        allowance=forms.field(f"{stem}_allowance", f"Seam allowance of {said}", allowance, ""),
        faults=report.edges.get((piece.id, edge.name), ()),
    )


def _seam_fields(forms: OwnForms, edges: Sequence[Option]) -> tuple[Field, ...]:
    ways = [Option("face", "face to face (usual)"), Option("turned", "the other way round")]
    kinds = [Option(kind.value, words) for kind, words in _KIND_WORDS.items()]
    nothing = [Option("", "nothing: one edge alone"), *edges]
    return (
        forms.field("seam.one", "First edge", "", "Named as in the drawings.", [Option("", "Choose…"), *edges]),
        forms.field("seam.other", "Second edge", "", "The edge that it meets.", nothing),
        forms.field("seam.kind", "They are", SeamKind.LOCKSTITCH.value, "A hem needs no second edge.", kinds),
        forms.field("seam.way", "They lie", "face", "Right sides together, or turned end for end.", ways),
        forms.field("seam.ease", "Ease", "0", 'How much the longer edge is eased in; "all" for all of it.'),
        forms.field("seam.name", "Call it", "", "For the order of work; may stay empty."),
    )


def _part_fields(forms: OwnForms) -> tuple[Field, ...]:
    labels = {"one_from": "First edge, from", "one_to": "First edge, to", "other_from": "Second edge, from"}
    labels["other_to"] = "Second edge, to"
    hint = "Measured from where its arrow starts; empty for the whole."
    return tuple(forms.field(f"seam.{key}", label, "", hint) for key, label in labels.items())


def _seam_line(number: int, seam: Seam, own: OwnPattern, report: OwnReport, say: Wording) -> SeamLine:
    return SeamLine(
        id=seam.id,
        number=number,
        name=seam.name,
        kind=_KIND_WORDS[seam.kind],
        sides=tuple(SideLine(_side_words(side, own, say), say.length(side.sewn_length_mm)) for side in seam.sides),
        faults=report.seams.get(seam.id, ()),
        is_first=number == 1,
        is_last=number == len(own.seams),
    )


def _side_words(side: SeamSide, own: OwnPattern, say: Wording) -> str:
    piece = next(one for one in own.pieces if one.id == side.piece_id)
    copy = f", copy {side.copy}" if piece.count > 1 else ""
    whole = piece.edge(side.edge).length_mm
    low, high = sorted((side.from_mm, side.to_mm))
    part = "" if high - low > whole - 0.01 else f" from {say.length(low) if low else '0'} to {say.length(high)}"
    eased = f", {say.length(side.ease_mm)} eased in" if side.ease_mm else ""
    return f"{piece.name}{copy}, {edge_in_words(side.edge)}{part}{eased}"


def _measure_fields(forms: OwnForms) -> tuple[Field, ...]:
    return (
        forms.field("measure.name", "Measure", "", 'Such as "width at the top".'),
        forms.field("measure.asked", "Must be", "", "The finished size, proved within 1 mm."),
    )
