"""The zips of a bag on its page: what to buy, what to do in which order, where the foot meets bulk."""

from __future__ import annotations

from collections.abc import Sequence

from bagwright.model.pattern import Pattern
from bagwright.model.zip_plan import ZipPlan
from bagwright.web.wording import Wording
from bagwright.web.zip_page import ZipBulk, ZipView, ZipWork
from bagwright.workflows.tell_zip import bulk_said, headline, mouth_said, zips_of


def zip_views(pattern: Pattern, say: Wording) -> tuple[ZipView, ...]:
    """One for each zip of the pattern."""
    return tuple(_view(plan, say) for plan in zips_of(pattern, say.units))


def _view(plan: ZipPlan, say: Wording) -> ZipView:
    return ZipView(
        key=plan.zip.key,
        name=plan.zip.name,
        headline=headline(plan, say.units, fraction=say.workroom.fraction),
        facts=_facts(plan, say),
        work=_work(plan, say),
        bulk=tuple(
            ZipBulk(bulk_said(point), _during(point.during), point.advice.said(say.length)) for point in plan.bulk
        ),
        cautions=tuple(caution.said(say.length) for caution in plan.cautions),
    )


def _during(steps: Sequence[str]) -> str:
    """The steps by name, as a sentence; nothing if it is all of them."""
    named = " and ".join(f"“{step}”" for step in steps)
    return f"Step{'s' if len(steps) > 1 else ''}: {named}." if steps else ""


def _facts(plan: ZipPlan, say: Wording) -> tuple[tuple[str, str], ...]:
    one = plan.zip
    facts = [
        ("Opens", say.length(one.opening_mm)),
        ("Teeth the slider runs on", say.length(one.teeth_mm)),
        ("Teeth under the parked slider", say.length(one.parked_mm)),
        ("Tape that shows", say.length(one.showing_mm)),
    ]
    if one.facing_mm:
        facts.append(("Width with the cloth beside it", say.length(one.finished_mm)))
    return (*facts, (f"Mouth of a #{one.number} slider (ASTM D3657-03)", mouth_said(plan)))


def _work(plan: ZipPlan, say: Wording) -> tuple[ZipWork, ...]:
    parts = (
        ("Made ready from the roll", plan.from_roll),
        ("Or from a ready-made zip", plan.from_ready_made),
        ("Then sewn in", plan.steps),
    )
    return tuple(ZipWork(heading, tuple(one.said(say.length) for one in told)) for heading, told in parts if told)
