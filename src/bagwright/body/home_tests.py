"""Thickness and weight of a sheet with a ruler and a kitchen scale."""

from __future__ import annotations

from bagwright.body.limits import number_problems, refuse_unless_positive
from bagwright.errors import FaultyInput, Problem
from bagwright.model.source import Reading, Source, SourceKind

RULER_ERROR_MM = 0.5
EDGE_ERROR_MM = 1.0
SCALE_STEP_G = 1.0


def thickness_of_stack(height_mm: float, layers: int, *, ruler_error_mm: float = RULER_ERROR_MM) -> Reading:
    """Thickness of one layer from the height of a stack of `layers` of them under a light board. [mm]

    h / n; the range has the ruler's error divided among the layers, so ten layers tell ten times as well as one.

    Assumes that the board presses as the seam does: soft layers are thinner under the needle. Standards state the
    pressure (ASTM D1777, ISO 5084, by title). Raises `FaultyInput` unless there is a layer and a height of more than
    the error.

    >>> reading = thickness_of_stack(6, 10)
    >>> reading.value, round(reading.low, 2), round(reading.high, 2)
    (0.6, 0.55, 0.65)
    """
    problems = number_problems({"height_mm": height_mm, "ruler_error_mm": ruler_error_mm})
    if layers < 1:
        problems.append(_problem("layers", f"{layers}", "1 or more", "Fold the cloth a few times."))
    if not problems and height_mm <= ruler_error_mm:
        problems.append(_problem("height_mm", f"{height_mm:g}", "more than the ruler's error", "Stack more layers."))
    if problems:
        raise FaultyInput(problems)
    low, high = ((height_mm + error) / layers for error in (-ruler_error_mm, ruler_error_mm))
    source = Source(SourceKind.MEASURED, f"a stack of {layers} layers under a ruler")
    return Reading(height_mm / layers, low, high, source)


def mass_of_piece(
    mass_g: float,
    size_mm: tuple[float, float],
    *,
    scale_step_g: float = SCALE_STEP_G,
    edge_error_mm: float = EDGE_ERROR_MM,
) -> Reading:
    """Weight per area from a cut rectangle on a kitchen scale. [g/m2]

    m / (a b); the range has half a step of the scale, and each side of the piece off by `edge_error_mm`.
    Raises `FaultyInput` unless mass and sides are above zero and more than their errors.

    >>> reading = mass_of_piece(34, (500, 200))
    >>> round(reading.value), round(reading.low), round(reading.high)
    (340, 333, 347)
    """
    errors = {"scale_step_g": scale_step_g, "edge_error_mm": edge_error_mm}
    refuse_unless_positive({"mass_g": mass_g, "size_mm[0]": size_mm[0], "size_mm[1]": size_mm[1], **errors})
    problems = []
    if mass_g <= scale_step_g / 2:
        problems.append(
            _problem("mass_g", f"{mass_g:g}", "more than half a step of the scale", "Weigh a larger piece.")
        )
    if min(size_mm) <= edge_error_mm:
        problems.append(
            _problem("size_mm", f"{min(size_mm):g}", "sides longer than their error", "Cut a larger piece.")
        )
    if problems:
        raise FaultyInput(problems)
    a, b = size_mm

    def per_m2(grams: float, error_mm: float) -> float:
        return grams / ((a + error_mm) * (b + error_mm)) * 1e6

    source = Source(SourceKind.MEASURED, f"a piece of {a:g} by {b:g} mm on a scale")
    return Reading(
        per_m2(mass_g, 0),
        per_m2(mass_g - scale_step_g / 2, edge_error_mm),
        per_m2(mass_g + scale_step_g / 2, -edge_error_mm),
        source,
    )


def _problem(place: str, value: str, allowed: str, remedy: str) -> Problem:
    return Problem(place=place, value=value, what="tells nothing", allowed=allowed, remedy=remedy)
