"""Every value that the store keeps, drawn at random, and a few fixed ones."""

from __future__ import annotations

from dataclasses import fields

from hypothesis import strategies as st

from bagwright.geometry.curves import Arc, Cubic, Line
from bagwright.geometry.outline import Edge, Outline
from bagwright.model.bag import Bag, Workroom
from bagwright.model.layout import Layout, LaySettings, Placement
from bagwright.model.material import (
    Extent,
    Held,
    Layer,
    Material,
    MaterialKind,
    OfferByArea,
    OfferByCount,
    OfferByLength,
    OfferByPiece,
    PriceBreak,
)
from bagwright.model.money import Money
from bagwright.model.own_pattern import OwnPattern
from bagwright.model.piece import DrillMark, EdgeUse, Mirror, Notch, PlacementLine
from bagwright.model.running_costs import (
    LastsFor,
    MonthlyCost,
    Overhead,
    ScrapsCount,
    SharedBy,
    SmallSupply,
    StuckAt,
    SupplyKind,
)
from bagwright.model.source import Reading, Source, SourceKind, Verdict
from bagwright.units import UnitSystem
from tests.drafting.own_samples import leaf, pouch

TOTE = Bag(
    id="tote",
    name="Harbour tote",
    form="tote",
    measurements_mm={"width_mm": 355.6},
    stacks={"outer": (Layer("canvas"), Layer("fleece", Extent.NET, Held.FUSED))},
)
OWN_POUCH = pouch()
ROUND_POCKET = OwnPattern(
    pieces=(
        leaf(
            net=Outline(
                (
                    Edge("brim", (Line((0.0, 60.0), (0.0, 0.0)),)),
                    Edge("foot", (Cubic((0.0, 0.0), (30.0, -20.0), (60.0, -20.0), (90.0, 0.0)),)),
                    Edge("arch", (Arc((90.0, 0.0), (60.0, 0.0), 90.0), Line((60.0, 30.0), (0.0, 60.0)))),
                )
            ),
            allowance_mm={"brim": 9.525, "foot": 0.1 + 0.2, "arch": 0.0},
            edge_use={"brim": EdgeUse.FOLD, "foot": EdgeUse.HEM, "arch": EdgeUse.OPENING},
            mirror=Mirror.PAIRS,
            notches=(Notch("foot", 1 / 3),),
            lines=(PlacementLine("line", (1.0, 2.0), (3.0, 4.0)),),
            drill_marks=(DrillMark("snap", (5.0, 6.0)),),
            grain_deg=45.5,
        ),
    ),
)
"""Every kind of curve, use and mark."""
CANVAS = Material(id="canvas", name="canvas", kind=MaterialKind.BOTTOM_WEIGHT)
LAYOUT = Layout(
    request_hash="hash",
    width_mm=1117.6,
    gap_mm=0.0,
    length_mm=500.0,
    share_used=0.8,
    placements=(Placement("panel", 0.0, False, 0.0, 0.0),),
    verdict=Verdict(("overlap",)),
    settings=LaySettings(),
    found_by="rows",
)

texts = st.text(max_size=12)
numbers = st.floats(allow_nan=False, allow_infinity=False)
counts = st.integers(-(2**63), 2**63 - 1)
decimals = st.decimals(allow_nan=False, allow_infinity=False)
monies = st.builds(Money, decimals, st.sampled_from(["USD", "EUR", "JPY"]))
sources = st.builds(Source, st.sampled_from(SourceKind), texts)


@st.composite
def readings(draw: st.DrawFn) -> Reading:
    low, value, high = sorted(draw(st.lists(numbers, min_size=3, max_size=3)))
    return Reading(value, low, high, draw(sources))


maybe_readings = st.none() | readings()
layers = st.builds(Layer, texts, st.sampled_from(Extent), st.sampled_from(Held), texts)
bags = st.builds(
    Bag,
    id=texts,
    name=texts,
    form=texts,
    measurements_mm=st.dictionaries(texts, numbers, max_size=4),
    stacks=st.dictionaries(texts, st.lists(layers, max_size=3).map(tuple), max_size=3),
    run_count=counts,
    note=texts,
    own=st.none() | st.sampled_from([OWN_POUCH, ROUND_POCKET]),
)
_READ = [field.name for field in fields(Material) if field.type == "Reading | None"]
materials = st.builds(
    Material,
    id=texts,
    name=texts,
    kind=st.sampled_from(MaterialKind),
    fibres=texts,
    fusible_sides=counts,
    directional=st.booleans(),
    holes_stay=st.booleans(),
    half_drop=st.booleans(),
    laid_double=st.booleans(),
    overhang_angle_deg=numbers,
    note=texts,
    retired=st.booleans(),
    **dict.fromkeys(_READ, maybe_readings),
)
_sold = {
    "id": texts,
    "material_id": st.just(CANVAS.id),
    "seller": texts,
    "price": monies,
    "dated": st.dates(),
    "price_breaks": st.lists(st.builds(PriceBreak, from_quantity=numbers, price=monies), max_size=3).map(tuple),
}
offers = st.one_of(
    st.builds(OfferByLength, width_mm=numbers, priced_per_mm=numbers, step_mm=numbers, **_sold),
    st.builds(OfferByPiece, width_mm=numbers, length_mm=numbers, **_sold),
    st.builds(OfferByArea, usual_area_m2=numbers, usual_width_mm=numbers, **_sold),
    st.builds(OfferByCount, pack_count=counts, length_each_m=st.none() | numbers, **_sold),
)
overheads = st.builds(
    Overhead,
    lines=st.lists(st.builds(MonthlyCost, texts, monies), max_size=3).map(tuple),
    shared_by=st.sampled_from(SharedBy),
    bags_a_month=numbers,
    hours_a_month=numbers,
)
small_supplies = st.builds(
    SmallSupply,
    name=texts,
    price=monies,
    lasts=numbers,
    lasts_for=st.sampled_from(LastsFor),
    kind=st.sampled_from(SupplyKind),
    stuck_at=st.lists(st.sampled_from(StuckAt), max_size=2).map(tuple),
)
workrooms = st.builds(
    Workroom,
    overhead=overheads,
    small_supplies=st.lists(small_supplies, max_size=3).map(tuple),
    scraps_count=st.sampled_from(ScrapsCount),
    scraps_share=decimals,
    stale_after_days=counts,
    units=st.sampled_from(UnitSystem),
    fraction=counts,
    currency=texts,
    hourly_pay=monies,
    overhead_per_hour=monies,
    selling_fee_share=decimals,
    selling_fee_fixed=monies,
    stitch_length_mm=numbers,
    sewing_speed_spm=numbers,
    thread_waste_share=numbers,
    layout_gap_mm=numbers,
    takes_mm=numbers,
    thickest_needle_nm=counts,
)
layouts = st.builds(
    Layout,
    request_hash=texts,
    width_mm=numbers,
    gap_mm=numbers,
    length_mm=st.floats(0, 1e9),
    share_used=numbers,
    placements=st.lists(st.builds(Placement, texts, numbers, st.booleans(), numbers, numbers), max_size=4).map(tuple),
    verdict=st.builds(Verdict, st.lists(texts, min_size=1, max_size=3).map(tuple)),
    settings=st.builds(LaySettings, seconds=numbers, iterations=st.none() | counts, seed=counts, workers=counts),
    found_by=texts,
)
