"""All that a run's answer holds, as tables."""

from __future__ import annotations

from bagwright.workflows.answer_tables import layout_row, placement_rows
from bagwright.workflows.runs import RunView
from bagwright.workflows.tables import Tables, plain_row


def run_tables(view: RunView) -> Tables:
    """Bags, times, needs, what is bought of whom and what for, layouts; empty where nothing is known yet."""
    answer, plan = view.answer, view.answer.plan
    return {
        "bags": [plain_row(one) for one in answer.run.bags],
        "times": [
            {"bag_id": bag.bag.id, "bag": bag.bag.name, **(plain_row(time) if time else {})}
            for bag, time in zip(answer.bags, view.times, strict=True)
        ],
        "needs": [plain_row(one.need) for one in answer.needs],
        "buying": [plain_row(one) for one in plan.purchases] if plan else [],
        "taken": [plain_row(one) for one in plan.taken] if plan else [],
        "orders": [plain_row(one) for one in plan.orders] if plan else [],
        "money": [
            {name: plain_row(getattr(plan, name)) for name in ("paid", "delivery", "used", "left", "stash_worth")}
        ]
        if plan
        else [],
        "layouts": [layout_row(one) for one in answer.sheets],
        "placements": [row for one in answer.sheets for row in placement_rows(one)],
        "cut-before": [plain_row(one) for one in answer.cut_before],
        "problems": [plain_row(one) for one in answer.problems],
    }
