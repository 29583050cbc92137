"""What the fill of a plan will do, as the bench and its sheet tell it. It reads a plan; it changes no dose, no fill, no finding."""

from __future__ import annotations

from dataclasses import dataclass
from urllib.parse import urlencode

from drawndose.bench.plans import Plan, Status
from drawndose.department.web import shown
from drawndose.department.web.own import own_nebulizers
from drawndose.quantities import show_number
from drawndose.reference import Catalogue
from drawndose.science.aerosol.planned import for_plan


@dataclass(frozen=True, slots=True, kw_only=True)
class AfterFilling:
    """time: how long to expect, "" where it is not known. says: in sentences. source: of the fill that works. leads: to the page
    of aerosol with this nebulizer and fill, "" for hours of continuous nebulizing."""

    time: str
    says: tuple[str, ...]
    source: str
    found: shown.Findings
    leads: str


def after_filling(plan: Plan, book: Catalogue) -> AfterFilling | None:
    """What becomes of the fill; None for a plan that is not ready."""
    if plan.status is not Status.READY or plan.fill is None:
        return None
    made = for_plan(plan, own=own_nebulizers())
    fill = f"{show_number(plan.fill.total)} mL"
    return AfterFilling(
        time=made.time,
        says=made.says,
        source=shown.source_words(made.least.origin, book) if made.least is not None else "",
        found=shown.findings(made.findings, book),
        leads=f"?{urlencode({'a-kind': made.nebulizer.id, 'a-fill': fill})}" if made.hours is None else "",
    )
