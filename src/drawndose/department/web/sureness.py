"""How sure the doses of a plan are, as the page shows it: sentences, bars, and the settings with their boxes.

A setting that cannot be read leaves the plan as it is: only how sure it is is then not said.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from drawndose.bench.plans import Plan, Status
from drawndose.department.web.bars import Bar, bars, longest
from drawndose.quantities import Fault, Gathering, Refused
from drawndose.reference import Catalogue
from drawndose.science.drawing import Loss
from drawndose.science.losses import dry_needle_losses
from drawndose.science.settings import read_conditions
from drawndose.science.surety import Sureness, how_sure


@dataclass(frozen=True, slots=True, kw_only=True)
class Boxes:
    """The settings as they were typed; the names are those of the compare page."""

    half: bool = False
    marks: bool = False
    spread: str = ""
    draws: str = ""
    holds: bool = False
    away: str = ""
    needle: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """One dose: of what it is, the sentences, and its budget as bars."""

    name: str
    says: tuple[str, ...]
    bars: tuple[Bar, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class HowSure:
    """How sure the doses of a plan are. told is empty where a setting was not accepted; needles: id, name, chosen."""

    boxes: Boxes
    told: tuple[Told, ...] = ()
    together: str = ""
    needles: tuple[tuple[str, str, bool], ...] = ()
    faults: tuple[Fault, ...] = ()

    def at(self, name: str) -> tuple[Fault, ...]:
        """The faults of one box."""
        return tuple(fault for fault in self.faults if fault.field == name)

    @property
    def open(self) -> bool:
        """True when a setting is not as it comes: the fold then stays open."""
        return self.boxes != Boxes()


def read_boxes(asked: Mapping[str, str]) -> Boxes:
    """The settings out of the form."""
    ticks = {name: asked.get(name) == "yes" for name in ("half", "marks", "holds")}
    return Boxes(**ticks, **{name: asked.get(name, "") for name in ("spread", "draws", "away", "needle")})  # type: ignore[arg-type]


def sureness(plan: Plan, asked: Mapping[str, str], book: Catalogue) -> HowSure | None:
    """How sure each measured dose is; None for a plan that is not ready or measures nothing."""
    if plan.status is not Status.READY or all(take.draw is None and take.first_dilution is None for take in plan.takes):
        return None
    boxes, gathering = read_boxes(asked), Gathering()
    settings = gathering.take(
        lambda: read_conditions(
            half_line=boxes.half,
            two_marks=boxes.marks,
            spread=boxes.spread,
            draws=boxes.draws,
            holds_reading=boxes.holds,
            away=boxes.away,
        )
    )
    losses = gathering.take(lambda: _losses(plan, boxes.needle, book))
    needles = tuple((one.id, one.name, one.id == boxes.needle) for one in book.needles if one.keeps is not None)
    if settings is None or losses is None:
        return HowSure(boxes=boxes, needles=needles, faults=tuple(gathering.faults))
    found = how_sure(plan, conditions=settings, losses=losses)
    full = longest(one.budget for one in found.takes if one.budget is not None)
    told = tuple(_told(one, full) for one in found.takes)
    return HowSure(boxes=boxes, told=told, together=found.says, needles=needles)


def _told(one: Sureness, full: float) -> Told:
    parts = bars(one.budget, full, 1.0) if one.budget is not None else ()
    return Told(name=one.take.in_hand.name, says=one.says, bars=parts)


def _losses(plan: Plan, ident: str, book: Catalogue) -> dict[int, Loss]:
    if not ident:
        return {}
    known = {one.id: one for one in book.needles}
    if ident not in known:
        rule = "the needle is one of the list"
        raise Refused([Fault(field="needle", rule=rule, came=ident[:40], accepted="a needle of the list")])
    return dry_needle_losses(plan, known[ident])
