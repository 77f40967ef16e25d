"""The front of the laid part of the cloth: for every height across it, how far along boxes reach."""

from __future__ import annotations

FAR_MM = float("inf")


class Front:
    """Levels between heights: `levels[i]` holds from `heights[i]` to `heights[i + 1]`. Changes as boxes are laid.

    Lengths closer than `touch_mm` count as equal. Neighbouring levels always differ.
    """

    __slots__ = ("heights", "levels", "touch_mm")

    def __init__(self, width_mm: float, touch_mm: float) -> None:
        self.heights = [0.0, width_mm]
        self.levels = [0.0]
        self.touch_mm = touch_mm

    def mean_level_mm(self) -> float:
        """Area behind the front divided by the width.

        >>> front = Front(10.0, 1e-6)
        >>> front.lay(0, 4.0, 6.0, at_low_side=True)
        0.0
        >>> front.heights, front.levels, front.mean_level_mm()
        ([0.0, 6.0, 10.0], [4.0, 0.0], 2.4)
        """
        heights = self.heights
        area = sum((heights[i + 1] - heights[i]) * level for i, level in enumerate(self.levels))
        return area / heights[-1]

    def give_up(self, at: int) -> None:
        """Nothing fits into stretch `at`: raise it to its lower neighbour."""
        levels, heights = self.levels, self.heights
        below = levels[at - 1] if at else FAR_MM
        above = levels[at + 1] if at + 1 < len(levels) else FAR_MM
        if below > above + self.touch_mm:
            del levels[at], heights[at + 1]
            return
        del levels[at], heights[at]
        if above <= below + self.touch_mm:
            levels[at - 1] = max(below, above)
            del levels[at], heights[at]

    def lay(self, at: int, length_mm: float, height_mm: float, *, at_low_side: bool) -> float:
        """Put a box into stretch `at`, against its low or its high end; the height at which the box begins."""
        levels, heights, touch = self.levels, self.heights, self.touch_mm
        low, high = heights[at], heights[at + 1]
        level = levels[at] + length_mm
        if high - low - height_mm <= touch:
            levels[at] = level
            if at + 1 < len(levels) and -touch <= levels[at + 1] - level <= touch:
                levels[at] = max(level, levels[at + 1])
                del levels[at + 1], heights[at + 1]
            if at and -touch <= levels[at - 1] - level <= touch:
                levels[at - 1] = max(levels[at - 1], levels[at])
                del levels[at], heights[at]
            return low
        if at_low_side:
            if at and -touch <= levels[at - 1] - level <= touch:
                levels[at - 1] = max(levels[at - 1], level)
                heights[at] = low + height_mm
            else:
                levels.insert(at, level)
                heights.insert(at + 1, low + height_mm)
            return low
        start = high - height_mm
        if at + 1 < len(levels) and -touch <= levels[at + 1] - level <= touch:
            levels[at + 1] = max(levels[at + 1], level)
            heights[at + 1] = start
        else:
            levels.insert(at + 1, level)
            heights.insert(at + 1, start)
        return start
