"""Pockets folded up with their bag: every seam closes in space, so left and right, inside and out are as sewn."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bagwright.drafting.fold_up import fold_up
from bagwright.drafting.forms import draft_bag
from bagwright.model.pattern import Seam
from tests.drafting.test_pocket_zip import FORMS_THAT_HANG, FORMS_WITH_POCKETS, HUNG, WINDOWS, drafted_with, roomy


@pytest.mark.parametrize(
    ("form", "kind"), [*((form, 1.0) for form in FORMS_WITH_POCKETS), *((form, 2.0) for form in FORMS_THAT_HANG)]
)
def test_pockets_agrees_with_folding_up_every_seam_closes(form, kind):
    """Independent of the lengths: each seam's sides meet in space, so left and right are not exchanged."""
    pattern = draft_bag(form, {**roomy(form), "zip_pocket": kind, "outside_zip_pocket": 1.0, "outside_pockets": 1.0})
    assert max(gap.gap_mm for gap in fold_up(pattern).gaps if "pocket" in gap.seam_id) < 0.1


SLIPS = {"inside_pockets": 1.0, "outside_pockets": 1.0, "pocket_top": 1.0}


@settings(max_examples=40, deadline=None)
@given(
    st.one_of(drafted_with({**WINDOWS, **SLIPS}, FORMS_WITH_POCKETS), drafted_with({**HUNG, **SLIPS}, FORMS_THAT_HANG))
)
def test_random_pockets_agrees_with_folding_up_every_seam_closes(pattern):
    gaps = {gap.seam_id: gap.gap_mm for gap in fold_up(pattern).gaps if "pocket" in gap.seam_id}
    assert max(gaps.values(), default=0.0) < 0.5, gaps


@pytest.mark.parametrize(
    "seam_id", ["zip_pocket-bag-1", "zip_pocket-sides-1", "zip_pocket-sides-2", "zip_pocket-strip-2"]
)
def test_side_walked_the_wrong_way_rejects_when_it_is_folded_up(seam_id):
    kind = 1.0 if seam_id.startswith("zip_pocket-bag") else 2.0
    good = draft_bag("boxed_tote", {"zip_pocket": kind})
    assert any(seam.id == seam_id for seam in good.seams)
    seams = tuple(turned_round(seam) if seam.id == seam_id else seam for seam in good.seams)
    gaps = {gap.seam_id: gap.gap_mm for gap in fold_up(replace(good, seams=seams)).gaps}
    assert max(gap for name, gap in gaps.items() if name.startswith("zip_pocket")) > 5.0


def turned_round(seam: Seam) -> Seam:
    *others, last = seam.sides
    return replace(seam, sides=(*others, replace(last, from_mm=last.to_mm, to_mm=last.from_mm)))
