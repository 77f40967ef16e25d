"""Page values of what panels do between their neighbours."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from bagwright.web.lacks import Lack
from bagwright.web.pages import Frame, Table


@dataclass(frozen=True, slots=True, kw_only=True)
class HeldPanelView:
    """One panel, held; and what a free strip of it does."""

    name: str
    svg: Markup
    sentence: str
    strip: str
    numbers: Table


@dataclass(frozen=True, slots=True, kw_only=True)
class HeldPage:
    """held.html"""

    frame: Frame
    bag_id: str
    bag_name: str
    panels: tuple[HeldPanelView, ...]
    none: str
    lacks: tuple[Lack, ...]
    left_out: tuple[str, ...]
