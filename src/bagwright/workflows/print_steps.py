"""What to know of a print before the first cut: where its motifs have to lie."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from bagwright.model.layout import LayPiece, LayRequest
from bagwright.model.material import Material
from bagwright.output.rulers import Measuring


def shows_motif(pieces: Sequence[LayPiece]) -> bool:
    """Whether some piece has a motif in its middle."""
    return any(piece.anchor and not piece.goes_on for piece in pieces)


def counts_from_motif(request: LayRequest) -> bool:
    """Whether pieces lie by motifs along the cloth, so that its end has to be cut off through a row of them.

    >>> from bagwright.geometry.region import Region
    >>> from bagwright.model.prints import Repeat
    >>> panel = LayPiece(id="a", region=Region.rectangle((0, 0), (300, 200)), count=1, anchor=(150, 100))
    >>> crosswise, both = Repeat(across_mm=60), Repeat(along_mm=80, across_mm=60)
    >>> [counts_from_motif(LayRequest(width_mm=1100, pieces=(panel,), repeat=one)) for one in (crosswise, both)]
    [False, True]
    """
    return bool(request.repeat and request.repeat.along_mm) and shows_motif(request.pieces)


def print_before(request: LayRequest, material: Material, measuring: Measuring, *, edge: str) -> Iterator[str]:
    """Where motifs have to lie along and across the cloth; nothing where no piece shows one in its middle."""
    repeat = request.repeat
    if repeat is None or not shows_motif(request.pieces):
        return
    if counts_from_motif(request):
        yield "Cut the end off through the middle of a row of motifs: the pieces that show one count from there."
    if not repeat.across_mm:
        return
    every = measuring.told(repeat.across_mm)
    if material.motif_in_mm is None:
        yield (
            f"Nothing says where motifs lie across the cloth: one is taken to have its middle on the {edge} at the "
            f"dot, the next ones every {every}. If yours lie elsewhere, type in with the material where the first lies."
        )
        return
    first = measuring.told(repeat.first_across_mm % repeat.across_mm)
    yield (
        f"A motif should have its middle {first} from the {edge} at the dot, the next ones every {every} across: check "
        "yours."
    )
