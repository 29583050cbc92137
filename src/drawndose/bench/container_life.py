"""Until when an opened container may be used: every limit that applies, each with its source; the earliest one holds.

Sources, as read: Joint Commission, FAQ relabelling of opened multi-dose vials (the earlier of printed expiry and in-use
life; the day of opening is day 0); CDC, Injection Safety Checklist (28 days for an injectable multi-dose vial unless its
label says otherwise). No published in-use life was found for dropper bottles of inhalation solutions: without a label or
a written limit of the facility nothing is computed.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import UTC, datetime

from drawndose.bench.condition import Condition
from drawndose.bench.in_hand import InHand
from drawndose.bench.moments import Span, end_of, is_over, read_span, told_day, told_end
from drawndose.bench.policy import VIAL_LIFE, Policy, RestKept
from drawndose.reference import ByNebulizer, Container, How, Life, Origin, Presentation

PRINTED = Origin(source="tjc-multi-dose-relabelling", at="printed expiry", how=How.SECONDARY)
WRITTEN = Origin(source="tjc-multi-dose-relabelling", at="discard date on the container", how=How.SECONDARY)
VIAL = Origin(source="cdc-injection-safety-checklist", at="multi-dose vials, 28 days", how=How.SECONDARY)
ELAPSED = frozenset({"h", "min"})
"""Lives that are counted from a moment; all others from a day."""
FACILITY = Origin(source="facility-policy", at="in-use life", how=How.PRACTICE)


@dataclass(frozen=True, slots=True, kw_only=True)
class LifeLimit:
    """One limit. kind: what sets it. over_at: the first moment past it. says: the sum in words."""

    kind: str
    over_at: datetime
    says: str
    origin: Origin

    @property
    def until(self) -> str:
        """The last moment in words."""
        return told_end(self.over_at)


@dataclass(frozen=True, slots=True, kw_only=True)
class InUse:
    """The life after opening: how long, who says so."""

    span: Span
    origin: Origin
    by: str


def used_here(presentation: Presentation, policy: Policy) -> Presentation:
    """The product as this facility uses it: an unpreserved vial that its label lets be kept is a single dose where no rest is.

    What its label prints stays in the catalogue, and is still shown with the product.
    """
    unpreserved = any(one.substance == "preservative" for one in presentation.free_of)
    if policy.rest_kept is RestKept.AS_LABEL or not (presentation.multi_dose and unpreserved):
        return presentation
    lives = tuple(life for life in presentation.lives if life.after != "opened")
    return replace(presentation, multi_dose=False, lives=lives)


def hand_here(in_hand: InHand, policy: Policy) -> InHand:
    """A container on the bench, with its product as this facility uses it."""
    used = used_here(in_hand.presentation, policy)
    return in_hand if used is in_hand.presentation else replace(in_hand, presentation=used)


def in_use_life(presentation: Presentation, policy: Policy) -> InUse | None:
    """The label's life after opening, or the facility's when it is shorter or the label has none; None: nobody decided.

    A life from memory is not one. A single-dose container has none unless its label prints one. The 28 days of injectable
    vials stand in only for a silent label: a label may print more.
    """
    printed = [_printed(life) for life in presentation.lives if life.after == "opened" and life.how_sure]
    found = [one for one in printed if one is not None]
    if presentation.multi_dose:
        facility = _facility(presentation, policy)
        found += [one for one in facility if not found or one.span != VIAL_LIFE]
    return min(found, key=lambda one: _length(one.span), default=None)


def _printed(life: Life) -> InUse | None:
    span = read_span(life.lasts)
    return None if span is None else InUse(span=span, origin=life.origin, by="its label")


def _facility(presentation: Presentation, policy: Policy) -> list[InUse]:
    if presentation.container is Container.STOPPERED_VIAL and presentation.by_nebulizer is ByNebulizer.OFF_LABEL:
        by = "the rule for injectable multi-dose vials" if policy.vial_life == VIAL_LIFE else "your facility"
        return [InUse(span=policy.vial_life, origin=VIAL, by=by)]
    if policy.bottle_life is not None and presentation.container is not Container.STOPPERED_VIAL:
        return [InUse(span=policy.bottle_life, origin=FACILITY, by="your facility")]
    return []


def _length(span: Span) -> int:
    """Minutes, to compare lives; a month counts as 28 days, the shortest that it can be."""
    return span.count * {"min": 1, "h": 60, "day": 1440, "week": 10_080, "month": 40_320}[span.unit]


def limits(in_hand: InHand, condition: Condition, policy: Policy, now: datetime) -> tuple[LifeLimit, ...]:
    """Every limit that applies to this container, the earliest first."""
    found = [*_dated(condition, now), *_opened(in_hand.presentation, condition, policy, now)]
    for after, name in _EVENTS.items():
        begun: datetime | None = getattr(condition, name)
        if begun is not None:
            found += _since(in_hand.presentation, after, begun, condition.counted(name), now)
    return tuple(sorted(found, key=lambda one: one.over_at.astimezone(UTC)))


_EVENTS = {
    "reconstituted": "made_up",
    "pouch opened": "pouch_opened",
    "out of the pouch": "out_of_pouch",
    "out of the refrigerator": "out_of_refrigerator",
}
"""What a label counts a life from, and where the condition holds the moment."""


def _dated(condition: Condition, now: datetime) -> Iterator[LifeLimit]:
    if condition.expiry is not None:
        says = f"printed expiry, last day {told_day(condition.expiry)}"
        yield LifeLimit(kind="printed expiry", over_at=end_of(condition.expiry, now), says=says, origin=PRINTED)
    if condition.discard_after is not None:
        says = f"written on it, last day {told_day(condition.discard_after)}"
        yield LifeLimit(kind="written date", over_at=end_of(condition.discard_after, now), says=says, origin=WRITTEN)


def _opened(presentation: Presentation, condition: Condition, policy: Policy, now: datetime) -> Iterator[LifeLimit]:
    life = in_use_life(presentation, policy)
    if condition.opened is None or life is None:
        return
    opened = condition.opened.astimezone(now.tzinfo)
    over_at = life.span.after(opened)
    day = condition.counted("opened") if life.span.unit in ELAPSED else ""
    says = f"opened {told_day(opened.date())}{day}, {life.span.says} by {life.by}, until {told_end(over_at)}"
    yield LifeLimit(kind="in-use life", over_at=over_at, says=says, origin=life.origin)


def _since(presentation: Presentation, after: str, begun: datetime, day: str, now: datetime) -> Iterator[LifeLimit]:
    for life in presentation.lives:
        span = read_span(life.lasts) if life.after == after else None
        if span is not None:
            start = begun.astimezone(now.tzinfo)
            over_at = span.after(start)
            counted = day if span.unit in ELAPSED else ""
            says = f"{after} {told_day(start.date())}{counted}, {span.says} by its label, until {told_end(over_at)}"
            yield LifeLimit(kind=after, over_at=over_at, says=says, origin=life.origin)


def use_by(in_hand: InHand, condition: Condition, policy: Policy, now: datetime) -> LifeLimit | None:
    """The limit that holds: the earliest. None when none is known, which is not the same as no limit."""
    return next(iter(limits(in_hand, condition, policy, now)), None)


def over(limit: LifeLimit, now: datetime) -> bool:
    """True when the limit is past."""
    return is_over(limit.over_at, now)
