"""The usual cautions, in one place; every form names those that its steps call for."""

from __future__ import annotations

from collections.abc import Iterable

BLADE = "Rotary blade: close it after every cut, wear shoes, cut away from you and never over pins."
IRON = (
    "Hot iron: stand it on its heel, unplug it when you stop, air the room when fusing; test the heat on a scrap first."
)
NEEDLE = "Thick crossings can break a needle: go slowly, turn the wheel by hand over them, keep your eyes covered."
TEETH = "Zip teeth break needles and melt under the iron: keep the foot beside them and the heat off plastic ones."
STRAP_LOAD = (
    "Straps: cloth, thread and stitching all differ; hang the load you mean to carry on the finished bag, and leave it "
    "there, before you trust it."
)
SLIDER = "Sliders and other small parts come off when pulled hard; keep them from small children."
RULES = (
    "Follow the maker's leaflet of each material and the rules where you live; for children's goods ask an accredited "
    "laboratory."
)
CORD = (
    "Cords and long straps can catch and strangle: not for small children, and never round a neck. Rules for "
    "children's clothes limit drawstrings; for anything a child will use, ask what holds where you live."
)
WEBBING_ENDS = (
    "Webbing ends: melted plastic drips, burns the skin and gives off fumes. Air the room, hold it with pliers, keep "
    "water at hand, or zigzag the ends instead; never hold cotton to a flame."
)
ACROSS = "A strap worn across the body can catch in doors and machines: take it off where something could pull at it."
BACK_LOAD = "Loads on the back: advice for children is about a tenth of the body's weight; pack light, use both straps."
MAGNET = (
    "Magnetic snaps: never loose, never in things for children, and well away from pacemakers and other implants. "
    "Swallowed magnets pull together through tissue and can kill."
)
SHEET_TOOLS = "Punch, awl and hammer: work on a board, hold small parts with pliers, keep your eyes covered."
EVERY_BAG = (BLADE, IRON, NEEDLE)
_USUAL_ORDER = (
    *EVERY_BAG,
    *(TEETH, SHEET_TOOLS, MAGNET, WEBBING_ENDS, STRAP_LOAD, ACROSS, BACK_LOAD, SLIDER, CORD),
    RULES,
)


def in_usual_order(wanted: Iterable[str]) -> tuple[str, ...]:
    """Each caution once, those of every bag first, the rules of the place last."""
    asked = {*EVERY_BAG, *wanted, RULES}
    return tuple(caution for caution in _USUAL_ORDER if caution in asked)
