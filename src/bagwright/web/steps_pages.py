"""What the page of the steps shows."""

from __future__ import annotations

from dataclasses import dataclass

from bagwright.web.pages import Frame, WorkStage


@dataclass(frozen=True, slots=True, kw_only=True)
class StepsPage:
    """The order of work with its pictures; `how`: how to read them."""

    frame: Frame
    bag_id: str
    bag_name: str
    stages: tuple[WorkStage, ...]
    how: str
