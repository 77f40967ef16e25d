"""Everything that can be added to a form, added at once: still sound, closed in space, and in an order to sew in."""

from __future__ import annotations

import random

import pytest

from bagwright.drafting.fold_faults import find_fold_faults
from bagwright.drafting.fold_up import fold_up
from bagwright.drafting.form_spec import FormSpec
from bagwright.drafting.forms import FORMS, draft_bag
from bagwright.drafting.order_of_work import order_of_work
from bagwright.drafting.soundness import prove_sound
from bagwright.model.pattern import SeamKind, Stage
from tests.drafting.measurement_strategies import corrected, random_sizes
from tests.drafting.twists import edges_closed_on_themselves

TRIES = 20


def with_everything(form: FormSpec, sizes: dict[str, float], chance: random.Random) -> dict[str, float]:
    """Those sizes with every add-on chosen in some way; what then has no room is left out again."""
    chosen = dict(sizes)
    for add_on in form.add_ons:
        count = add_on.measurements[0]
        chosen[count.key] = float(chance.randint(1, int(count.high_mm)))
    return corrected(form, chosen)


@pytest.mark.parametrize("key", FORMS)
def test_everything_at_once_property_is_sound_over_random_sizes(key):
    form, chance = FORMS[key], random.Random(key)
    for _ in range(TRIES):
        sizes = with_everything(form, random_sizes(form, chance), chance)
        pattern = draft_bag(key, sizes)
        assert prove_sound(pattern).passed
        assert not edges_closed_on_themselves(pattern), sizes


@pytest.mark.parametrize("key", FORMS)
def test_everything_at_once_property_fits_the_usual_sizes_and_folds_up_closed(key):
    """Only a snap and a pocket that hangs over it, or feet and a base that is too small, may shut one another out."""
    form = FORMS[key]
    sizes = with_everything(form, form.defaults(), random.Random(1))
    left_out = {add_on.key for add_on in form.add_ons if not sizes[add_on.measurements[0].key]}
    assert left_out <= {"magnetic_snap", "feet"}
    pattern = draft_bag(key, sizes)
    assert not find_fold_faults(pattern, fold_up(pattern))


@pytest.mark.parametrize("key", FORMS)
def test_everything_at_once_property_can_be_sewn_in_its_order(key):
    """Flat work first: nothing is quilted or basted to a panel after the panel is sewn in, nothing hemmed late."""
    pattern = draft_bag(key, with_everything(FORMS[key], FORMS[key].defaults(), random.Random(2)))
    steps = order_of_work(pattern)
    assert [step.number for step in steps] == list(range(1, len(steps) + 1))
    stages = [list(Stage).index(step.stage) for step in steps]
    assert stages == sorted(stages)
    first_joined: dict[tuple[str, int], int] = {}
    for seam in pattern.seams:
        for side in seam.sides:
            if seam.kind.joins:
                place = side.piece_id, side.copy
                first_joined[place] = min(seam.order, first_joined.get(place, seam.order))
    for seam in pattern.seams:
        if seam.kind is SeamKind.QUILT:
            assert all(seam.order < first_joined[side.piece_id, side.copy] for side in seam.sides)
