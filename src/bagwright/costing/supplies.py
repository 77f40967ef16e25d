"""Small supplies: thread, by the spool. Glue and needle wear are left out: no honest figure for one bag is known."""

from __future__ import annotations

import math
from collections.abc import Sequence

from bagwright.costing.buying import buy_continuous
from bagwright.model.bag import Workroom
from bagwright.model.cost import BuyingPlan, Need, ThreadUse
from bagwright.model.material import Material, Offer


def thread_need(thread: Material, uses: Sequence[ThreadUse], *, run_count: int) -> Need:
    """Thread for all seams of a run, as the seams ask for it (waste is already in `ThreadUse.thread_mm`)."""
    return Need(material_id=thread.id, name=thread.name, length_mm=run_count * math.fsum(use.thread_mm for use in uses))


def buy_thread(
    thread: Material, uses: Sequence[ThreadUse], offers: Sequence[Offer], *, run_count: int, workroom: Workroom
) -> BuyingPlan:
    """Whole spools for a run: `paid` for the spools, `used` for the share of their thread that gets sewn.

    Raises `FaultyInput` if no offer says how much thread a spool holds.

    >>> from datetime import date
    >>> from decimal import Decimal
    >>> from bagwright.model.material import MaterialKind, OfferByCount
    >>> from bagwright.model.money import Money
    >>> spool = OfferByCount(id="o", material_id="t", seller="Stall", price=Money(Decimal("3.00"), "USD"),
    ...                      dated=date(2026, 1, 5), pack_count=1, length_each_m=200)
    >>> seam = ThreadUse(seam_id="s", name="side", seam_length_mm=1000, thickness_mm=1, thread_mm=2500)
    >>> plan = buy_thread(Material(id="t", name="thread", kind=MaterialKind.THREAD), [seam], [spool],
    ...                   run_count=20, workroom=Workroom())
    >>> plan.paid.for_display(), plan.used.for_display(), plan.left.for_display()
    (Decimal('3.00'), Decimal('0.75'), Decimal('2.25'))
    """
    need = thread_need(thread, uses, run_count=run_count)
    return buy_continuous(need, offers, currency=workroom.currency, units=workroom.units)
