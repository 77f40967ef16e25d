"""The body of one face of the bag, and which measurement would tell most about it."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from bagwright.body.paying import paying_tests
from bagwright.body.stack import stack_body
from bagwright.model.body import Body, PanelBody, Sheet
from bagwright.model.pattern import Panel
from bagwright.model.paying import DoubtfulPanel

NO_DOUBT = "The readings leave nothing in doubt here."


def panel_body(panel: Panel, sheets: Sequence[Sheet], *, tells_doubt: bool = True) -> PanelBody:
    """How the stack of one panel bends, against the height it must stand; sheets from the outside of the bag inwards.

    `tells_doubt`: whether the test that tells most is looked for, which takes far longer than the rest.

    Raises `FaultyInput` as `stack_body` does.

    >>> from dataclasses import replace
    >>> from bagwright.model.source import Reading
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
        body=remembered_body(tuple(sheets)),
        widest_doubt=widest_doubt(sheets) if tells_doubt else "",
    )


def widest_doubt(sheets: Sequence[Sheet]) -> str:
    """The one test that would narrow the band of standing height most (`paying.paying_tests`), for the maker.

    >>> widest_doubt([])
    'The readings leave nothing in doubt here.'
    """
    return _remembered_doubt(tuple(sheets)) if sheets else NO_DOUBT


# Both search over all that the readings allow. The same few stacks are asked for at every look at a bag.
@lru_cache(maxsize=512)
def remembered_body(sheets: tuple[Sheet, ...]) -> Body:
    """`stack_body`, kept for the stacks asked for lately. Raises `FaultyInput` as it does."""
    return stack_body(sheets)


@lru_cache(maxsize=512)
def _remembered_doubt(sheets: tuple[Sheet, ...]) -> str:
    tests = paying_tests([DoubtfulPanel(sheets=sheets)])
    return f"{tests[0].says}: it narrows this most." if tests else NO_DOUBT
