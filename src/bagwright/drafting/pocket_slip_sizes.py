"""What a slip pocket asks for: its size, how it is divided, how its top is finished."""

from __future__ import annotations

from dataclasses import dataclass

from bagwright.drafting.faces import Face
from bagwright.drafting.form_spec import RoleSpec
from bagwright.drafting.measurements import Choice, MeasurementSpec, Room, Sizes, count_spec, size_spec
from bagwright.drafting.pocket_place import room_across, room_upright

LEAST_COMPARTMENT_MM = 25.0
"""Two fingers wide (common practice, no source)."""
MOST_DIVISIONS = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class SlipPocket:
    """One slip pocket: `key` is the id of its piece and starts the keys of its sizes; `count_key` adds it."""

    key: str
    count_key: str
    name: str
    face: Face
    role: RoleSpec

    @property
    def said(self) -> str:
        """What steps call it."""
        return "pocket" if self.face.is_inside else "outside pocket"

    def width_mm(self, sizes: Sizes) -> float:
        """Finished width."""
        return sizes[f"{self.key}_width_mm"]

    def bound_mm(self, sizes: Sizes) -> float:
        """Finished width of the binding along its top; 0 if it is hemmed."""
        return sizes[f"{self.key}_binding_mm"] if sizes[f"{self.key}_top"] else 0.0

    def net_height_mm(self, sizes: Sizes) -> float:
        """Up to the hem's fold or to the stitch line of the binding."""
        return sizes[f"{self.key}_height_mm"] - self.bound_mm(sizes)

    def pen_mm(self, sizes: Sizes) -> float:
        """Width of the slot for a pen; 0 if there is none."""
        return sizes[f"{self.key}_pen_mm"] if sizes[f"{self.key}_pen_slot"] else 0.0

    def divisions(self, sizes: Sizes) -> list[tuple[str, float]]:
        """What divides it and how far from its left edge: the slot for a pen, then lines that leave equal widths."""
        pen, number = self.pen_mm(sizes), int(sizes[f"{self.key}_divisions"])
        step = (self.width_mm(sizes) - pen) / (number + 1)
        slot = [("pen_slot", pen)] if pen else []
        return [*slot, *((f"division_{i}", pen + step * i) for i in range(1, number + 1))]

    def bottoms(self, sizes: Sizes) -> list[tuple[str, float]]:
        """The edges along its bottom from the left, each with where it starts."""
        pen = self.pen_mm(sizes)
        return [("bottom_pen", 0.0), ("bottom", pen)] if pen else [("bottom", 0.0)]


def slip_pocket_specs(pocket: SlipPocket, label: str, meaning: str, usual: int) -> tuple[MeasurementSpec, ...]:
    """The count that adds it, called `label`, and all its sizes; `usual` is how many a new bag has."""
    count = count_spec(pocket.count_key, label, meaning, (0, usual, 1), choices=("none", "one"))
    return (count, *_size_specs(pocket), *_division_specs(pocket), *_top_specs(pocket))


def _size_specs(pocket: SlipPocket) -> tuple[MeasurementSpec, ...]:
    key, chosen = pocket.key, Choice(pocket.count_key)
    wide, high = f"Finished width of the {pocket.said}.", f"Finished height of the {pocket.said}."
    if pocket.face.is_inside:
        wide, high = "Finished width of the slip pocket.", "Finished height of the slip pocket."
    return (
        size_spec(
            f"{key}_width_mm", "Pocket width", wide, (60, 177.8, 600), needs=chosen, room=room_across(pocket.face)
        ),
        size_spec(
            f"{key}_height_mm", "Pocket height", high, (60, 152.4, 600), needs=chosen, room=room_upright(pocket.face)
        ),
    )


def _division_specs(pocket: SlipPocket) -> tuple[MeasurementSpec, ...]:
    key, width, number = pocket.key, f"{pocket.key}_width_mm", f"{pocket.key}_divisions"

    def divisions(sizes: Sizes) -> tuple[float, float]:
        return 0.0, sizes[width] // LEAST_COMPARTMENT_MM - 1

    def pen(sizes: Sizes) -> tuple[float, float]:
        return 0.0, sizes[width] - (sizes[number] + 1) * LEAST_COMPARTMENT_MM

    small, narrow = "is too small to be a slot", "leaves compartments too narrow to reach into"
    return (
        count_spec(
            number,
            "Division lines",
            "Lines of stitching that divide the pocket into equal widths.",
            (0, 0, MOST_DIVISIONS),
            needs=Choice(pocket.count_key),
            room=Room((width,), divisions, narrow, narrow),
        ),
        count_spec(
            f"{key}_pen_slot",
            "Pen slot",
            "A narrow compartment at the left edge of the pocket.",
            (0, 0, 1),
            choices=("none", "one"),
            needs=Choice(pocket.count_key),
        ),
        size_spec(
            f"{key}_pen_mm",
            "Pen slot width",
            "Finished width of the slot, from the pocket's left edge to its line of stitching.",
            (20, 31.75, 120),
            needs=Choice(f"{key}_pen_slot"),
            room=Room((width, number), pen, small, narrow),
        ),
    )


def _top_specs(pocket: SlipPocket) -> tuple[MeasurementSpec, MeasurementSpec]:
    return (
        count_spec(
            f"{pocket.key}_top",
            "Pocket top",
            "How the top edge of the pocket is finished.",
            (0, 0, 1),
            choices=("hemmed", "bound"),
            needs=Choice(pocket.count_key),
        ),
        size_spec(
            f"{pocket.key}_binding_mm",
            "Pocket binding",
            "Finished width of the binding along the top of the pocket.",
            (6, 9.525, 20),
            needs=Choice(f"{pocket.key}_top"),
        ),
    )
