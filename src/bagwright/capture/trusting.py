"""Which cards are believed, and when none are: a wrong scale must never pass in silence."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import cv2
import numpy as np

from bagwright.capture.cards import EdgeSamples, SeenCard, corner_samples, edge_samples, find_cards
from bagwright.capture.fitting import Fit, Floats, doubt_mm, finer_fit, first_fit
from bagwright.capture.picture import Pixels, refused_picture

LEAST_CARDS: Final = 4
_LEAST_SHARE_ENCLOSED: Final = 0.12
_WORST_FIT_MM: Final = 0.3
_WORST_SIZE_SHARE: Final = 0.006
_WORST_SCALE_SHARE: Final = 0.004
_ALLOWED: Final = "at least 4 flat cards from one print, all round the scraps"


@dataclass(frozen=True, slots=True)
class Trusted:
    """The fit, the cards it rests on, and the numbers of those that were seen but let go.

    `size_spread`: by how much the cards seem to differ in size, as a share, what the picture leaves open taken off.
    """

    fit: Fit
    cards: list[SeenCard]
    ignored: tuple[int, ...]
    size_spread: float = 0.0

    def squares_mm(self, side_mm: float) -> Floats:
        """The corners of a square of that side about the middle of each card, (n, 4, 2)."""
        local = side_mm / 2 * np.array([[-1.0, 1.0], [1.0, 1.0], [1.0, -1.0], [-1.0, -1.0]])
        return np.array([_laid(local, pose) for pose in self.fit.poses])

    @property
    def scale_error_share(self) -> float:
        """Twice the standard error of lengths between the cards, as a share."""
        return _scale_error(self)


def _laid(local: Floats, pose: Floats) -> Floats:
    cos, sin = np.cos(pose[2]), np.sin(pose[2])
    return np.asarray(local @ np.array([[cos, sin], [-sin, cos]]) + pose[:2])


def cards_as_they_lie(pixels: Pixels) -> tuple[Pixels, list[SeenCard], bool]:
    """The picture with its cards, turned over if it was mirrored, as some phones do with the camera on their front.

    A mirrored card is none: if there are too few, and turned over there are more, it was.
    """
    cards = find_cards(pixels)
    if len(cards) >= LEAST_CARDS:
        return pixels, cards, False
    other = np.ascontiguousarray(pixels[:, ::-1])
    turned = find_cards(other)
    return (other, turned, True) if len(turned) > len(cards) else (pixels, cards, False)


def trusted_fit(pixels: Pixels, cards: list[SeenCard], side_mm: float) -> Trusted:
    """The ground and the cards on it. Raises `FaultyInput` if they do not tell the scale beyond doubt."""
    shape = pixels.shape[:2]
    if len(cards) < LEAST_CARDS:
        raise _too_few(cards)
    _enclosing(cards, shape)
    ignored: list[int] = []
    while True:
        fit = first_fit(cards, corner_samples(cards), shape, side_mm)
        if (stray := _stray(fit, 3.0)) is None:
            samples = edge_samples(pixels, cards)
            fit = finer_fit(fit, samples, shape, side_mm)
            stray = _stray(fit, 0.15)
        if stray is None:
            break
        if len(cards) == LEAST_CARDS:
            raise _at_odds(f"lie up to {fit.by_card_mm.max():.1f} mm from where they should")
        bad, cards = cards[stray], cards[:stray] + cards[stray + 1 :]
        rest = first_fit(cards, corner_samples(cards), shape, side_mm)
        _refuse_if_another_size(bad, rest, side_mm)
        ignored.append(bad.number)
    trusted = Trusted(fit, cards, tuple(sorted(ignored)))
    _enclosing(cards, shape)
    trusted = replace(trusted, size_spread=_all_one_size(trusted, samples, shape, side_mm))
    if fit.spread_mm > _WORST_FIT_MM:
        raise _at_odds(f"lie {fit.spread_mm:.1f} mm from where they should")
    if trusted.scale_error_share > _WORST_SCALE_SHARE:
        remedy = "Go nearer, so that the cards fill the picture from edge to edge, and keep it sharp."
        raise refused_picture("The cards", "are too small or too blurred to tell the scale", remedy, allowed=_ALLOWED)
    return trusted


def _too_few(cards: list[SeenCard]) -> Exception:
    told = f"{len(cards)} card{'' if len(cards) == 1 else 's'}"
    remedy = (
        "Lay the printed cards round the scraps, print side up, nothing on top of them, and take the whole mat from "
        "above. If they are all in the picture, it is blurred, too dark or too small: hold still, with more light."
    )
    return refused_picture(told, f"can be read, {LEAST_CARDS} are needed", remedy, allowed=_ALLOWED)


def _at_odds(what: str) -> Exception:
    remedy = (
        "Lay them flat, use cards of one print only, and send a sharp picture as the phone took it: not cropped, no "
    )
    remedy += "screenshot."
    return refused_picture("The cards", f"do not agree: their edges {what}", remedy, allowed=_ALLOWED)


def _enclosing(cards: list[SeenCard], shape: tuple[int, ...]) -> None:
    """Refuse cards that lie in one corner or in one row: beyond them nothing is sure."""
    middles = np.array([card.corners.mean(axis=0) for card in cards], dtype=np.float32)
    across = min(cv2.minAreaRect(middles)[1])
    side = float(np.median([np.hypot(*(card.corners[1] - card.corners[0])) for card in cards]))
    share = float(cv2.contourArea(cv2.convexHull(middles))) / (shape[0] * shape[1])
    if across < 2 * side or share < _LEAST_SHARE_ENCLOSED:
        remedy = "Lay a card near each corner of the mat and go as near as shows them all."
        raise refused_picture("The cards", "enclose too little of the picture", remedy, allowed=_ALLOWED)


def _stray(fit: Fit, floor_mm: float) -> int | None:
    """The card that fits worst, if far worse than the others."""
    worst = int(fit.by_card_mm.argmax())
    return worst if fit.by_card_mm[worst] > max(floor_mm, 3 * float(np.median(fit.by_card_mm))) else None


def _refuse_if_another_size(card: SeenCard, rest: Fit, side_mm: float) -> None:
    """A card that is a good square of another size was printed at another size."""
    quad = rest.plane.to_mm(card.corners)
    sides = np.hypot(*(np.roll(quad, -1, axis=0) - quad).T)
    diagonals = np.hypot(*(quad[2] - quad[0])), np.hypot(*(quad[3] - quad[1]))
    size = float(sides.mean() / side_mm)
    is_square = np.ptp(sides) < 0.012 * size * side_mm and abs(diagonals[0] / diagonals[1] - 1) < 0.012
    if is_square and abs(size - 1) > _WORST_SIZE_SHARE:
        raise _another_size([card.number], size)


def _another_size(numbers: list[int], size: float) -> Exception:
    told = ", ".join(str(number) for number in numbers)
    remedy = "Print all cards in one go at 100 %; send the picture as the phone took it, not cropped."
    what = f"is about {abs(size - 1):.1%} {'larger' if size > 1 else 'smaller'} than the others"
    return refused_picture(f"Card {told}", what, remedy, allowed=_ALLOWED)


def _all_one_size(trusted: Trusted, samples: EdgeSamples, shape: tuple[int, ...], side_mm: float) -> float:
    """Let the cards differ in size: if some then do beyond doubt, they were not of one print. Gives their spread."""
    free = finer_fit(trusted.fit, samples, (shape[0], shape[1]), side_mm, sizes=True)
    off = free.sizes - np.median(free.sizes)
    doubtful = (np.abs(off) > _WORST_SIZE_SHARE) & (np.abs(off) > 4 * free.size_doubts)
    if doubtful.any():
        worst = int(np.argmax(np.abs(off)))
        if doubtful.sum() > 0.3 * len(off):
            raise _at_odds(f"make them differ in size by up to {np.abs(off).max():.1%}")
        numbers = [card.number for card, bad in zip(trusted.cards, doubtful, strict=True) if bad]
        raise _another_size(numbers, 1 + float(off[worst]))
    spread = float(np.sqrt(max(0.0, free.sizes.var() - float(np.mean(np.square(free.size_doubts))))))
    if 2 * spread > _WORST_SCALE_SHARE:
        raise _at_odds(f"make them differ in size by up to {np.ptp(free.sizes):.1%}")
    return spread


def _scale_error(trusted: Trusted) -> float:
    corners = trusted.squares_mm(1.0).mean(axis=1)
    reach = float(np.hypot(*(corners - corners.mean(axis=0)).T).mean())
    return 2 * float(np.hypot(doubt_mm(trusted.fit, corners) / reach, trusted.size_spread))
