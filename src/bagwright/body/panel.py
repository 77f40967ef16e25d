"""The body of one face of the bag, and which measurement would tell most about it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

from bagwright.body.stack import bending_length_band_mm, bonded_runs, stack_body
from bagwright.model.body import PanelBody, Sheet
from bagwright.model.material import Held
from bagwright.model.pattern import Panel
from bagwright.model.source import Reading

NO_DOUBT = "The readings leave nothing in doubt here."
_NOTICED_MM = 1e-3
_Trial = tuple[str, Sequence[Sheet]]
"""Advice, and the stack as it would be known if the advice were followed."""


def panel_body(panel: Panel, sheets: Sequence[Sheet]) -> PanelBody:
    """How the stack of one panel bends, against the height it must stand; sheets from the outside of the bag inwards.

    Raises `FaultyInput` as `stack_body` does.

    >>> felt = Sheet(name="felt", mass_gsm=Reading.exact(300), thickness_mm=Reading.exact(2),
    ...              overhang_mm=replace(Reading.exact(60), low=50, high=70))
    >>> front = Panel(key="front", name="Front", piece_ids=("front",), height_mm=200, copies=1)
    >>> panel_body(front, [felt]).widest_doubt
    'Measure how far the felt hangs over: it narrows this most.'
    """
    return PanelBody(
        panel_key=panel.key,
        name=panel.name,
        height_mm=panel.height_mm,
        layer_names=tuple(sheet.name for sheet in sheets),
        layer_thicknesses_mm=tuple(sheet.thickness_mm.value for sheet in sheets),
        body=stack_body(sheets),
        widest_doubt=widest_doubt(sheets),
    )


def widest_doubt(sheets: Sequence[Sheet]) -> str:
    """The one measurement that would narrow the band of standing height most, in a sentence for the maker.

    Tried in turn: each reading of each material taken as exact at its value, wherever in the stack it lies; and for
    each run of fused or quilted layers, the ruler test on a bonded scrap, counted as taking away the doubt about the
    bond. (The scrap's own mass, thickness and overhang then go in as one material.)

    >>> widest_doubt([])
    'The readings leave nothing in doubt here.'
    """
    if not sheets:
        return NO_DOUBT
    trials = [*_reading_trials(sheets), *_scrap_trials(sheets)]
    widths = [_width_mm(trial) for _, trial in trials]
    if not trials or _width_mm(sheets) - min(widths) < _NOTICED_MM:
        return NO_DOUBT
    return f"{trials[widths.index(min(widths))][0]}: it narrows this most."


def _width_mm(sheets: Sequence[Sheet]) -> float:
    # Standing height is a fixed multiple of bending length, so the order is the same.
    band = bending_length_band_mm(sheets)
    return band.high - band.low


def _reading_trials(sheets: Sequence[Sheet]) -> Iterator[_Trial]:
    for name in dict.fromkeys(sheet.name for sheet in sheets):
        for advice, knowing in _KNOWING:
            trial = [knowing(sheet) if sheet.name == name else sheet for sheet in sheets]
            if trial != list(sheets):
                yield advice.replace("{name}", name), trial


def _scrap_trials(sheets: Sequence[Sheet]) -> Iterator[_Trial]:
    for run in bonded_runs(sheets):
        names = [sheet.name for sheet in sheets[run]]
        quilted = all(sheet.held is Held.QUILTED for sheet in sheets[run][1:])
        together = f"{', '.join(names[:-1])} and {names[-1]}"
        advice = f"{'Quilt' if quilted else 'Fuse'} scraps of {together} and measure how far they hang over together"
        yield advice, [*sheets[: run.start], *(replace(s, held=Held.LOOSE) for s in sheets[run]), *sheets[run.stop :]]


def _exactly(reading: Reading) -> Reading:
    return reading if reading.low == reading.high else Reading.exact(reading.value, reading.source)


_KNOWING: tuple[tuple[str, Callable[[Sheet], Sheet]], ...] = (
    ("Measure how far the {name} hangs over", lambda s: replace(s, overhang_mm=_exactly(s.overhang_mm))),
    ("Measure how thick the {name} is", lambda s: replace(s, thickness_mm=_exactly(s.thickness_mm))),
    ("Weigh a measured piece of the {name}", lambda s: replace(s, mass_gsm=_exactly(s.mass_gsm))),
)
