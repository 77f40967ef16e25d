"""Swaps for a role of a bag, against every stack tried one by one."""

from __future__ import annotations

import itertools
import math

import pytest

from bagwright.errors import NotKept
from bagwright.model.material import Held, Layer
from bagwright.workflows.desk import view_bag
from bagwright.workflows.swap_search import STIFFENERS, Keep, _Search, roles_with_swaps, swaps_of_role
from tests.workflows.demo_values import POUCH, TOTE, WALLET


@pytest.fixture
def views(desk):
    return {bag_id: view_bag(desk, bag_id) for bag_id in (TOTE, POUCH, WALLET)}


def every_stack(view):
    """All stacks of the outer, by hand: an outside, then none to two stiffeners as iron and glue allow."""
    role = next(role for role in view.form.roles if role.key == "outer")
    shelf = view.shelf
    priced = [m for m in shelf.materials.values() if m.overhang_mm and m.thickness_mm and shelf.widths_mm(m.id)]
    for outer in (m for m in priced if m.kind in role.kinds):
        inner: list[Layer | None] = [None]
        for m in (m for m in priced if m.kind in STIFFENERS):
            too_hot = m.glue_needs_c and outer.highest_iron_c and m.glue_needs_c.high > outer.highest_iron_c.low
            if m.fusible_sides and not too_hot:
                inner.append(Layer(m.id, held=Held.FUSED))
            elif not m.fusible_sides:
                inner.append(Layer(m.id, held=Held.BASTED))
        for picked in itertools.product(inner, repeat=2):
            yield (Layer(outer.id), *(layer for layer in picked if layer))


@pytest.mark.parametrize("keep", [Keep.AS_FIRM, Keep.MAY_STAND])
def test_answer_property_is_that_of_trying_every_stack(views, keep):
    view = views[POUCH]
    found = swaps_of_role(view, "outer", keep)
    search = _Search(view, found.role, found.panel)
    now = search.body(search.now).bending_length_mm.low

    def measured(stack):
        body = search.body(stack)
        money, minutes, mass = search._added(stack)
        bulk = math.fsum(view.shelf.materials[layer.material_id].thickness_mm.value for layer in stack)
        return (money, minutes, mass, bulk, -body.bending_length_mm.low), body

    def keeps(body):
        if keep is Keep.AS_FIRM:
            return body.bending_length_mm.low >= now
        return body.standing_height_mm.high >= found.panel.height_mm

    kept = {stack: points for stack in set(every_stack(view)) for points, body in [measured(stack)] if keeps(body)}

    def beaten(points):
        return any(
            all(a <= b + 1e-9 for a, b in zip(other, points, strict=True))
            and any(a < b - 1e-6 for a, b in zip(other, points, strict=True))
            for other in kept.values()
        )

    best = {stack for stack, points in kept.items() if not beaten(points)}
    listed = {line.layers for line in found.lines}
    assert listed <= best
    assert len(listed) + found.more == len(best)


def test_swaps_never_fuse_what_would_spoil(views):
    for line in swaps_of_role(views[TOTE], "outer").lines:
        shelf = views[TOTE].shelf.materials
        outer = shelf[line.layers[0].material_id]
        for layer in line.layers[1:]:
            if layer.held is Held.FUSED and outer.highest_iron_c:
                assert shelf[layer.material_id].glue_needs_c.high <= outer.highest_iron_c.low


def test_every_line_is_at_least_as_firm_as_now_and_cheapest_come_first(views):
    for view in views.values():
        found = swaps_of_role(view, "outer")
        assert all(line.body.bending_length_mm.low >= found.now.bending_length_mm.low - 1e-9 for line in found.lines)
        money = [line.money_more for line in found.lines]
        assert money == sorted(money)


def test_role_that_makes_no_panel_rejects(views):
    assert "strap" not in roles_with_swaps(views[TOTE])
    with pytest.raises(NotKept):
        swaps_of_role(views[TOTE], "strap")
