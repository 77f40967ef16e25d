"""What buying for several bags in one go takes off the price of one of them."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from bagwright.costing.reckoning import exact, exact_money
from bagwright.errors import BrokenPromise
from bagwright.model.bag import Workroom
from bagwright.model.money import Money


def price_falls_by(alone: Sequence[Money], together: Money, at: int, *, run_count: int, workroom: Workroom) -> Money:
    r"""What the price of one bag that pays her falls by. :math:`(\sum_i u_i - U)\, u_a / \sum_i u_i / n / (1 - f)`

    u_i `alone`: what each bag uses of what is bought for it alone; U `together`: what all use of one plan for all;
    a `at`: the bag that is asked for, n its `run_count`, f the selling fee. What is saved is shared in proportion to
    what each uses, our own rule: any other is as good, as long as the shares add up. Below zero where the plan pays
    less at the till and leaves less on the shelf, but the bags carry more of it.

    Two bags that use 12 and 6 alone and 15 together; fees of 25 %; of the first, 2 are made:

    >>> from decimal import Decimal
    >>> money = lambda amount: Money(Decimal(amount), "EUR")
    >>> room = Workroom(currency="EUR", selling_fee_share=Decimal("0.25"))
    >>> price_falls_by([money(12), money(6)], money(15), 0, run_count=2, workroom=room).said()
    '€1.33'
    """
    whole = sum((exact(one.amount) for one in alone), Fraction(0))
    if run_count < 1 or whole <= 0:
        raise BrokenPromise(f"cannot share {whole} among {run_count} bags")
    own = (whole - exact(together.amount)) * exact(alone[at].amount) / whole / run_count
    return exact_money(own / (1 - exact(workroom.selling_fee_share)), together.currency)
