"""The body of each panel in words, pictures and numbers."""

from __future__ import annotations

from collections.abc import Sequence

from markupsafe import Markup

from bagwright.model.body import PanelBody
from bagwright.web.pages import Column, PanelView, Row, Table
from bagwright.web.wording import Wording
from bagwright.workflows.bond_words import panel_bonds
from bagwright.workflows.desk import BagView
from bagwright.workflows.panel_zones import PanelZone, zones_of_panel
from bagwright.workflows.pictures import section_picture, stance_picture

_AGAINST = {
    "stands": "That is more than the {height} of this panel: it stands without help.",
    "leans": "This panel is {height} high: it may lean between its corners.",
    "slumps": "This panel is {height} high: between its corners it will sag. The corners hold a real bag higher, so "
    "use this height to compare layers.",
}
_LIES_FLAT = "This lies flat in use: the higher a strip stands, the firmer it feels."
_HOW = (
    "From: the layers slide over one another and their bodies add up. To: fused and quilted layers are held so that "
    "none can slide (parallel-axis laminate). The truth lies between; a ruler test on a fused scrap tells where, and "
    "counts in both once you have done it.",
    "Rigidity of a layer = 9.80665e-6 x weight (g/m²) x bending length (mm) cubed, in µN·m. Bending length comes from "
    "how far it hangs over in the ruler test, by the exact curve of a strip that bends under its own weight.",
    "Standing height = 1.98635 x bending length: a flat strip held at its foot, with no crease and no load (Greenhill "
    "1881). It ranks choices. The sides and corners hold a real bag higher.",
)


def panel_views(view: BagView, say: Wording) -> tuple[PanelView, ...]:
    """Every panel whose body is known."""
    upright = {panel.key: panel.is_upright for panel in view.answer.pattern.panels}
    return tuple(_panel_view(panel, view, say, is_upright=upright[panel.panel_key]) for panel in view.answer.panels)


def _panel_view(panel: PanelBody, view: BagView, say: Wording, *, is_upright: bool) -> PanelView:
    against = _AGAINST[panel.stance].format(height=say.length(panel.height_mm)) if is_upright else _LIES_FLAT
    stands = say.band(panel.body.standing_height_mm)
    strip = f"a flat strip of these layers stands {stands} high by itself. {against}"
    return PanelView(
        name=panel.name,
        sentence=_with_zones(strip, zones_of_panel(panel.panel_key, view), say),
        doubt=panel.widest_doubt,
        bonds=_bond_words(panel, view),
        section_svg=Markup(section_picture(panel, view.answer, view.shelf, view.workroom)),
        stance_svg=Markup(stance_picture(panel, view.workroom)) if is_upright else Markup(""),
        numbers=_numbers(panel, say),
        how=_HOW,
    )


def _bond_words(panel: PanelBody, view: BagView) -> tuple[str, ...]:
    """What her own scraps tell of layers of this panel."""
    return tuple(
        f"Counted here: your {bond.held.value} scrap of {bond.outer} and {bond.inner}. {bond.says}"
        for bond in panel_bonds(panel.panel_key, view)
    )


def _with_zones(strip: str, zones: Sequence[PanelZone], say: Wording) -> str:
    """What a strip of the panel does, between what its zones do: each is told by its name, most of the panel too."""
    most = [zone for zone in zones if zone.zone_name and zone.left_out]
    less = [zone for zone in zones if zone.zone_name and zone.added]
    told = [_zone_words(zone, say) for zone in zones if not zone.zone_name]
    if most:
        name = _capital(" and ".join(zone.zone_name for zone in most))
        return " ".join([f"{name}: {strip}", *(_zone_words(zone, say) for zone in (*less, *most)), *told])
    named = [*(_zone_words(zone, say) for zone in less), f"The rest: {strip}"] if less else [_capital(strip)]
    return " ".join([*named, *told])


def _capital(words: str) -> str:
    return f"{words[0].upper()}{words[1:]}"


def _zone_words(zone: PanelZone, say: Wording) -> str:
    stands = say.band(zone.body.standing_height_mm)
    if zone.zone_name and zone.left_out:
        return f"Outside the {zone.zone_name}, without the {' and the '.join(zone.left_out)}, it stands {stands}."
    if zone.zone_name:
        return f"{_capital(zone.zone_name)}, with the {' and the '.join(zone.added)}: it stands {stands}."
    if zone.piece_name:
        return f"Where one layer of the {zone.piece_name.lower()} lies on it, it stands {stands}."
    return f"In the seam allowances, without the {' and the '.join(zone.left_out)}, it stands {stands}."


def _numbers(panel: PanelBody, say: Wording) -> Table:
    body = panel.body
    bands = (
        ("Standing height", say.length(body.standing_height_mm.low), say.length(body.standing_height_mm.high)),
        ("Bending length", f"{body.bending_length_mm.low:.1f} mm", f"{body.bending_length_mm.high:.1f} mm"),
        ("Rigidity", f"{body.rigidity_unm.low:,.0f} µN·m", f"{body.rigidity_unm.high:,.0f} µN·m"),
        ("Weight of the layers", say.mass_gsm(body.mass_gsm), ""),
        ("Thickness", say.thickness(round(body.thickness_mm, 2)), ""),
    )
    columns = (Column("What"), Column("From", True), Column("To", True))
    return Table("In numbers", columns, tuple(Row(cells) for cells in bands), of=panel.name)
