"""Rows of pockets on a ground: one strip for each row, stitched down on the lines between its pockets.

A pocket that opens `depth_mm` takes twice that of extra cloth, which lies in two pleats at its foot: from each division
the strip runs in by half the depth, folds back to the division, and runs on over both. The tops stay free to open.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from bagwright.drafting.steps import Caught, Step, StitchLine, along, part
from bagwright.geometry.outline import rectangle_outline
from bagwright.model.pattern import SeamKind, SeamSide, Stage
from bagwright.model.piece import Bend, EdgeUse, Notch, Piece, PlacementLine
from bagwright.model.zones import ZoneName

TOP_HEM_MM = 19.05


@dataclass(frozen=True, slots=True, kw_only=True)
class PocketRow:
    """One row, counted from the lowest, its foot `foot_mm` up the ground; it is as wide as the ground."""

    number: int
    foot_mm: float
    high_mm: float
    ground_mm: float
    columns: int
    depth_mm: float

    @property
    def key(self) -> str:
        """The id of its strip."""
        return f"row_{self.number}"

    @property
    def pocket_mm(self) -> float:
        """Width of one pocket between its division lines."""
        return self.ground_mm / self.columns

    @property
    def strip_mm(self) -> float:
        """Width of the strip, pleats included."""
        return self.ground_mm + 2 * self.columns * self.depth_mm

    def strip(self, foot_allowance_mm: float, side_allowance_mm: float) -> Piece:
        """The strip, its top hemmed; notches at the foot show divisions and pleats."""
        allowances = {"bottom": foot_allowance_mm, "left": side_allowance_mm, "right": side_allowance_mm}
        marks = sorted({at for pocket in range(self.columns) for at in self._folds(pocket)} - {0.0, self.strip_mm})
        pleats = " Fold a pleat at each pair of notches." if self.depth_mm else ""
        return Piece(
            id=self.key,
            name=f"Pocket strip, row {self.number}",
            role="pocket",
            net=rectangle_outline(self.strip_mm, self.high_mm),
            allowance_mm={**allowances, "top": TOP_HEM_MM},
            edge_use={**dict.fromkeys(allowances, EdgeUse.SEAM), "top": EdgeUse.HEM},
            notches=tuple(Notch("bottom", at) for at in marks),
            lines=tuple(
                PlacementLine(f"division_{n}", (x, 0.0), (x, self.high_mm)) for n, x in self._divisions(self.strip_mm)
            ),
            bends=tuple(self._pleat_bends()),
            zone_names=tuple(self._pocket_names()) if self.depth_mm else (),
            note=f"Turn the top down twice for its hem.{pleats}",
        )

    def ground_lines(self) -> Iterator[PlacementLine]:
        """Where its divisions lie on the ground, and its foot unless that lies in the lower edge."""
        top = self.foot_mm + self.high_mm
        if self.foot_mm:
            yield PlacementLine(f"{self.key}_foot", (0.0, self.foot_mm), (self.ground_mm, self.foot_mm))
        for number, x in self._divisions(self.ground_mm):
            yield PlacementLine(f"{self.key}_division_{number}", (x, self.foot_mm), (x, top))

    def _divisions(self, width_mm: float) -> Iterator[tuple[int, float]]:
        return ((number, number * width_mm / self.columns) for number in range(1, self.columns))

    def _folds(self, pocket: int) -> list[float]:
        """Along the foot of the strip: where a pocket begins, its four pleat folds, where it ends."""
        start, end = (n * self.strip_mm / self.columns for n in (pocket, pocket + 1))
        half = self.depth_mm / 2
        if not half:
            return [start, end]
        return [start, start + half, start + 2 * half, end - 2 * half, end - half, end]

    def _pleat_bends(self) -> Iterator[Bend]:
        """Of each pleat the fold underneath turns right sides together, the one that shows wrong sides."""
        for pocket in range(self.columns):
            for x, turn in zip(self._folds(pocket)[1:-1], (-180.0, 180.0, 180.0, -180.0), strict=False):
                yield Bend((x, 0.0), (x, self.high_mm), turn)

    def _pocket_names(self) -> Iterator[ZoneName]:
        """Of each pocket the front between its pleats."""
        for pocket in range(self.columns):
            _, _, start, end, _, _ = self._folds(pocket)
            yield ZoneName(f"row {self.number}, pocket {pocket + 1}", ((start + end) / 2, self.high_mm / 2))

    def foot_caught(self, strip: Piece) -> tuple[Caught, ...]:
        """The foot along the ground, left to right: under each pleat three layers of strip."""
        foot = along(strip, 1, "bottom")
        caught = []
        for pocket in range(self.columns):
            left, right = (n * self.pocket_mm for n in (pocket, pocket + 1))
            folds, half = self._folds(pocket), self.depth_mm / 2
            if not half:
                caught.append(Caught(left, right, part(foot, *folds)))
                continue
            a, b, c, d, e, f = folds
            caught += [
                Caught(left, left + half, part(foot, a, b)),
                Caught(left, left + half, _turned(part(foot, b, c))),
                Caught(left, right, part(foot, c, d)),
                Caught(right - half, right, _turned(part(foot, d, e))),
                Caught(right - half, right, part(foot, e, f)),
            ]
        return tuple(caught)

    def pleat_lines(self, strip: Piece) -> tuple[StitchLine, ...]:
        """Basting each pleat along the foot, through its three layers."""
        foot = along(strip, 1, "bottom")
        lines = []
        for pocket in range(self.columns if self.depth_mm else 0):
            a, b, c, d, e, f = self._folds(pocket)
            half = self.depth_mm / 2
            lines += [
                StitchLine((part(foot, a, b), _turned(part(foot, b, c)), part(foot, c, c + half))),
                StitchLine((part(foot, d - half, d), _turned(part(foot, d, e)), part(foot, e, f))),
            ]
        return tuple(lines)

    def division_lines(self, strip: Piece, ground: Piece) -> tuple[StitchLine, ...]:
        """Between its pockets, from the foot up."""
        return tuple(
            StitchLine((along(ground, 1, f"{self.key}_{name}"), along(strip, 1, name)))
            for name in (f"division_{number}" for number in range(1, self.columns))
        )


def _turned(side: SeamSide) -> SeamSide:
    return SeamSide(side.piece_id, side.copy, side.edge, side.to_mm, side.from_mm)


def row_steps(rows: list[tuple[PocketRow, Piece]], ground: Piece) -> tuple[Step, ...]:
    """Hems, pleats, feet and divisions; the outer ends of the strips, and the lowest foot, wait for the rim."""
    stage, lockstitch = Stage.POCKETS, SeamKind.LOCKSTITCH
    hems = tuple(StitchLine((along(strip, 1, "top"),)) for _, strip in rows)
    pleats = tuple(line for row, strip in rows for line in row.pleat_lines(strip))
    feet = tuple(
        StitchLine((along(ground, 1, f"{row.key}_foot"),), row.foot_caught(strip)) for row, strip in rows if row.foot_mm
    )
    divisions = tuple(line for row, strip in rows for line in row.division_lines(strip, ground))
    return (
        Step("row-hems", "Hem the tops of the pocket strips", SeamKind.HEM, hems, stage=stage),
        Step(
            "pleats", "Press the pleats; baste them along the foot of each strip", SeamKind.BASTE, pleats, stage=stage
        ),
        Step("row-feet", "Turn the feet of the upper strips under; stitch them down", lockstitch, feet, stage=stage),
        Step("divisions", "Stitch between the pockets, from the foot up", lockstitch, divisions, stage=stage),
    )
