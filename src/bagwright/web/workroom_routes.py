"""Routes of the shelf and the workroom."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from bagwright.errors import FaultyInput, Problem, StaleSave
from bagwright.model.bag import Workroom
from bagwright.model.material import (
    Material,
    MaterialKind,
    Offer,
    OfferByArea,
    OfferByCount,
    OfferByLength,
    OfferByPiece,
)
from bagwright.units import UnitSystem
from bagwright.web.frame import frame
from bagwright.web.pages import Column, Field, MaterialsPage, MaterialView, Option, Row, Table, WorkroomPage
from bagwright.web.templates_at import render
from bagwright.web.wording import Wording
from bagwright.workflows.desk import Desk, the_shelf
from bagwright.workflows.shelf import Shelf
from bagwright.workflows.workroom_changes import (
    FRACTIONS,
    change_workroom,
    hidden_by_rounding,
    shown,
    the_workroom,
)

# (property, label, how it is printed)
_PROPERTIES = (
    ("mass_gsm", "Weight", "mass_gsm"),
    ("thickness_mm", "Thickness", "millimetres"),
    ("overhang_mm", "Overhang, lengthwise", "millimetres"),
    ("crosswise_overhang_mm", "Overhang, crosswise", "millimetres"),
    ("selvedge_mm", "Selvedge, each side", "length"),
    ("shrinkage_share", "Shrinks lengthwise", "share"),
    ("crosswise_shrinkage_share", "Shrinks crosswise", "share"),
    ("highest_iron_c", "Bears heat up to", "heat"),
    ("glue_needs_c", "Its glue needs", "heat"),
    ("mass_gpm", "Weight of a metre", "grams"),
    ("mass_each_g", "Weight of one", "grams"),
)


def show_materials(request: Request) -> Response:
    """The shelf with every source."""
    desk: Desk = request.app.state.desk
    shelf, say = the_shelf(desk), Wording(the_workroom(desk))
    page = MaterialsPage(
        frame=frame("Materials", "/materials", is_demo=desk.is_demo),
        materials=tuple(_material_view(m, shelf, say) for m in _by_kind(shelf)),
    )
    return render("materials.html", page)


def _by_kind(shelf: Shelf) -> list[Material]:
    kinds = list(MaterialKind)
    return sorted((m for m in shelf.materials.values() if not m.retired), key=lambda m: (kinds.index(m.kind), m.name))


def _material_view(material: Material, shelf: Shelf, say: Wording) -> MaterialView:
    readings = [(label, getattr(material, name), how) for name, label, how in _PROPERTIES]
    rows = tuple(
        Row((label, say.spread(reading, how), f"{reading.source.kind.capitalize()}: {reading.source.said_by}"))
        for label, reading, how in readings
        if reading
    )
    offers = tuple(_offer_row(offer, say) for offer in shelf.offers_for(material.id))
    return MaterialView(
        id=material.id,
        name=material.name,
        kind=material.kind.value,
        fibres=material.fibres,
        note=" ".join(filter(None, (*_traits(material), material.note))),
        properties=Table(
            "Properties", (Column("What"), Column("Value (range)", True), Column("Source")), rows, of=material.name
        ),
        offers=Table(
            "Offers", (Column("Where"), Column("Sold"), Column("Price", True), Column("Of")), offers, of=material.name
        ),
    )


def _traits(material: Material) -> list[str]:
    traits = []
    if material.fusible_sides:
        traits.append("Glue on one side." if material.fusible_sides == 1 else "Glue on both sides.")
    if material.directional:
        traits.append("Has a right way up: pieces all lie the same way.")
    if material.holes_stay:
        traits.append("Pin and needle holes stay: use clips.")
    return traits


def _offer_row(offer: Offer, say: Wording) -> Row:
    return Row((offer.seller, _sold(offer, say), f"{offer.price.said()} {_per(offer, say)}", f"{offer.dated:%d %b %Y}"))


def _sold(offer: Offer, say: Wording) -> str:
    match offer:
        case OfferByLength():
            width = f"{say.length(offer.width_mm)} wide, " if offer.width_mm else ""
            return f"{width}in steps of {say.length(offer.step_mm)}"
        case OfferByPiece():
            return f"pieces of {say.length(offer.width_mm)} x {say.length(offer.length_mm)}"
        case OfferByArea():
            return f"whole, about {offer.usual_area_m2:g} m² each"
        case OfferByCount():
            held = f", {offer.length_each_m:g} m on each" if offer.length_each_m else ""
            return f"in packs of {offer.pack_count}{held}"


def _per(offer: Offer, say: Wording) -> str:
    match offer:
        case OfferByLength():
            return f"for {say.cloth(offer.priced_per_mm)}"
        case OfferByPiece():
            return "each"
        case OfferByArea():
            return "a m²"
        case OfferByCount():
            return "a pack"


def show_workroom(request: Request) -> Response:
    """The settings."""
    desk: Desk = request.app.state.desk
    said = "Saved." if "saved" in request.query_params else ""
    return render("workroom.html", _workroom_page(desk, {}, (), said=said))


async def save(request: Request) -> Response:
    """Take over new settings."""
    desk: Desk = request.app.state.desk
    form = await request.form()
    texts = {key: value for key, value in form.items() if isinstance(value, str)}
    return await run_in_threadpool(_saved, desk, texts)


def _saved(desk: Desk, texts: dict[str, str]) -> Response:
    version = texts.pop("version", "")
    try:
        change_workroom(desk, int(version) if version.isdecimal() and len(version) < 10 else -1, texts)
    except FaultyInput as fault:
        return render("workroom.html", _workroom_page(desk, texts, fault.problems), status=422)
    except StaleSave:
        stale = (
            "The settings were changed in another tab. Nothing was overwritten: these are the settings as they are now."
        )
        return render("workroom.html", _workroom_page(desk, {}, (), stale=stale), status=409)
    return RedirectResponse("/workroom?saved", status_code=303)


def _workroom_page(
    desk: Desk, texts: Mapping[str, str], problems: Sequence[Problem], *, said: str = "", stale: str = ""
) -> WorkroomPage:
    workroom = the_workroom(desk)
    return WorkroomPage(
        frame=frame("Workroom", "/workroom", is_demo=desk.is_demo),
        version=workroom.version,
        fields=tuple(_field(name, label, hint, workroom, texts, problems) for name, label, hint in _FIELDS),
        said=said,
        stale=stale,
    )


_FIELDS = (
    ("units", "Units", "What you read and type first. Any unit may be typed anywhere."),
    ("fraction", "Inches to the nearest", "Fractions of an inch on every page and paper."),
    ("hourly_pay", "Your pay for an hour", "What an hour of your work should bring."),
    ("overhead_per_hour", "Overhead for an hour", "Rent, light, machine, spread over the hours you work."),
    ("selling_fee_share", "Selling fees, in % of the price", "What the market or channel keeps of each sale."),
    ("selling_fee_fixed", "Selling fees, fixed", "What each sale costs besides."),
    ("stitch_length_mm", "Stitch length", "As your machine is set for bags."),
    ("sewing_speed_spm", "Stitches a minute", "Your real average on bag seams, stops included."),
    ("thread_waste_share", "Thread wasted, in %", "Ends, tests and bobbins."),
    ("layout_gap_mm", "Gap between pieces", "Room to cut between pieces on the cloth; 0 for none."),
)


def _field(
    name: str, label: str, hint: str, workroom: Workroom, texts: Mapping[str, str], problems: Sequence[Problem]
) -> Field:
    own = [problem for problem in problems if problem.place == name]
    value = texts.get(name, shown(workroom, name))
    return Field(
        id=name,
        name=name,
        label=label,
        value=value,
        hint=hint,
        rounded="" if name in texts else hidden_by_rounding(workroom, name),
        problem=" ".join(f"{p.value} {p.what}. Allowed: {p.allowed}." for p in own),
        choices=_choices(name, value),
    )


def _choices(name: str, value: str) -> tuple[Option, ...]:
    if name == "units":
        labels = {UnitSystem.INCH: "inches, yards, ounces", UnitSystem.METRIC: "centimetres, metres, grams"}
        return tuple(Option(units.value, labels[units], units.value == value) for units in UnitSystem)
    if name == "fraction":
        return tuple(Option(str(n), f"1/{n} in", str(n) == value) for n in FRACTIONS)
    return ()


ROUTES = [
    Route("/materials", show_materials),
    Route("/workroom", show_workroom),
    Route("/workroom", save, methods=["POST"]),
]
