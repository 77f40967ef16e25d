"""What each bag of a run still takes of one material, and what of it was cut from the stash before."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from bagwright.model.material import Material
from bagwright.model.piece import CutPiece
from bagwright.workflows.answer import BagAnswer, ready_of
from bagwright.workflows.ready_pieces import Counts
from bagwright.workflows.shelf import Shelf


@dataclass(frozen=True, slots=True)
class RunPart:
    """`count` bags of one kind that still take the same pieces of a material: `cuts`, of one of them."""

    bag: BagAnswer
    cuts: tuple[CutPiece, ...]
    count: int

    def named_cuts(self, count: int) -> tuple[CutPiece, ...]:
        """The cuts of so many of them, named so that no other bag's are called the same."""
        bag_id = self.bag.bag.id
        return tuple(
            replace(
                cut,
                piece_id=f"{bag_id}: {cut.piece_id}",
                count=cut.count * count,
                goes_on=tuple(replace(point, seam=f"{bag_id}: {point.seam}") for point in cut.goes_on),
            )
            for cut in self.cuts
        )


@dataclass(frozen=True, slots=True)
class CutBefore:
    """Pieces of one material that were cut from the stash for a bag of the run: name and number of each."""

    bag_id: str
    bag_name: str
    material: Material
    pieces: tuple[tuple[str, int], ...]

    @property
    def count(self) -> int:
        """How many in all."""
        return sum(count for _, count in self.pieces)

    def said(self) -> str:
        """The pieces in words."""
        told = ", ".join(f"{count} × {name}" for name, count in self.pieces)
        return f"{told} of {self.material.name} for {self.bag_name}"


def run_parts(material: Material, bags: Sequence[BagAnswer]) -> tuple[RunPart, ...]:
    """The parts of the run that still take of the material, bag by bag; none if all is cut."""
    return tuple(part for bag in bags for part in _parts_of_bag(material, bag))


def _parts_of_bag(material: Material, bag: BagAnswer) -> Iterator[RunPart]:
    """What is ready goes into the last bags, so that as many as can be take all their pieces from the same cloth."""
    own = tuple(cut for cut in bag.cuts if cut.material_id == material.id)
    each: dict[str, int] = {}
    for cut in own:
        each[cut.id] = each.get(cut.id, 0) + cut.count
    ready = ready_of(bag, material)
    left = {name: count * bag.bag.run_count - ready.get(name, 0) for name, count in each.items()}
    takes = [
        {name: min(count, max(left[name] - number * count, 0)) for name, count in each.items()}
        for number in range(bag.bag.run_count)
    ]
    for counts, same in groupby(takes):
        if any(counts.values()):
            yield RunPart(bag, tuple(_counted(own, counts)), len(list(same)))


def _counted(cuts: Sequence[CutPiece], counts: Counts) -> Iterator[CutPiece]:
    """As many of the cuts as `counts` says; several may share a name."""
    left = dict(counts)
    for cut in cuts:
        count = min(cut.count, left[cut.id])
        left[cut.id] -= count
        if count:
            yield replace(cut, count=count)


def cut_before(bags: Sequence[BagAnswer], shelf: Shelf) -> Iterator[CutBefore]:
    """What of the run needs neither be laid nor bought, by bag and material."""
    for bag in bags:
        for material_id in dict.fromkeys(one.material_id for one in bag.from_stash):
            material = shelf.materials[material_id]
            counts = ready_of(bag, material)
            if counts:
                yield CutBefore(bag.bag.id, bag.bag.name, material, tuple(_named(bag, material, counts)))


def _named(bag: BagAnswer, material: Material, counts: Mapping[str, int]) -> Iterator[tuple[str, int]]:
    names = {cut.id: cut.name for cut in bag.cuts if cut.material_id == material.id}
    for name, count in counts.items():
        yield names[name], count


def cut_before_words(one: CutBefore) -> str:
    """What was left out, and why, in a sentence."""
    were, they = ("was", "it is") if one.count == 1 else ("were", "they are")
    return f"{one.said()}: {were} cut from your stash before, so {they} neither laid nor bought again."
