"""Lay pieces on cloth: whichever way the cloth lies, every answer that leaves this room has passed `check.py`."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from bagwright.cutting.banded import lay_banded
from bagwright.cutting.doubled import lay_doubled
from bagwright.cutting.plain import Wishes, lay_plain
from bagwright.cutting.repeats import lay_on_repeat
from bagwright.cutting.requests import refuse_faults
from bagwright.model.layout import Layout, LayRequest, LaySettings


def lay_pieces(
    request: LayRequest,
    *,
    settings: LaySettings,
    should_stop: Callable[[], bool] | None = None,
    on_better: Callable[[Layout], object] | None = None,
    on_fault: Callable[[str], object] | None = None,
    packer_command: Sequence[str] | None = None,
) -> Layout:
    """The shortest layout found within `settings`. `on_better` hears of each better one, the first included;
    `on_fault` how the packing library ended if it fell over: the answer stands, but might have been shorter.

    With `settings.iterations` the packing library stays off, and equal settings give equal answers as long as
    `settings.seconds` is 0 or is not reached. `packer_command` starts another program in the place of the library's
    process. Raises `FaultyInput` for a faulty request, and if a piece does not fit the
    cloth in any turn it may take.

    >>> from bagwright.geometry.region import Region
    >>> from bagwright.model.layout import LayPiece
    >>> panel = LayPiece(id="panel", region=Region.rectangle((0, 0), (30, 20)), count=4)
    >>> layout = lay_pieces(LayRequest(width_mm=45, pieces=(panel,)), settings=LaySettings(seconds=0))
    >>> layout.length_mm, layout.verdict.passed
    (60.0, True)
    """
    refuse_faults(request)
    if request.bands:

        def rest(asked: LayRequest, hears: Callable[[Layout], object]) -> Layout:
            return lay_pieces(
                asked,
                settings=settings,
                should_stop=should_stop,
                on_better=hears,
                on_fault=on_fault,
                packer_command=packer_command,
            )

        return lay_banded(request, rest, settings=settings, on_better=on_better)
    wishes = Wishes(
        settings=settings,
        should_stop=should_stop or (lambda: False),
        on_better=on_better,
        packer_command=packer_command,
        on_fault=on_fault,
    )
    if request.is_doubled:
        return lay_doubled(request, wishes)
    if request.repeat and any(piece.anchor or piece.goes_on for piece in request.pieces):
        return lay_on_repeat(request, wishes)
    return lay_plain(request, wishes)
