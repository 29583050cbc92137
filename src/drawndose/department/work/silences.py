"""A caution silenced by one person for one product: folded and counted for them, never hidden; it ends by itself. Stops never.

The silence is of a rule and a presentation. Where cautions are shown, `parted` says which of them this person has silenced; they stand
folded with their count, and everyone sees on the rules page who silenced what, why, and until when.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db import transaction

from drawndose.bench.findings import Finding, Level
from drawndose.bench.moments import Span
from drawndose.bench.plans import Plan
from drawndose.department.ledger.append import Replayed, append, now
from drawndose.department.ledger.models import Event
from drawndose.department.people.models import Person
from drawndose.department.work import cautions
from drawndose.department.work.change import Moved
from drawndose.department.work.checks import may_be_silenced
from drawndose.department.work.models import Preparation, Silence
from drawndose.department.work.policy import house
from drawndose.quantities import Fault, Refused, gather
from drawndose.reference import load


@dataclass(frozen=True, slots=True, kw_only=True)
class Parted:
    """Findings as one person sees them. open: shown as they are. silenced: folded, each with the silence that folds it."""

    open: tuple[Finding, ...]
    silenced: tuple[tuple[Finding, Silence], ...]


def longest() -> int:
    """For how many days a caution may be silenced here."""
    span = house("silence_most")
    assert isinstance(span, Span)
    return span.count


def silence(rule: str, presentation: str, *, by: Person, reason: str, days: str, key: str | None = None) -> Silence:
    """Silence a caution for oneself and one product. Refused for a stop, an unknown product, no reason, or too long a time."""
    moment = now()
    faults = []
    if not may_be_silenced(rule):
        faults.append(_fault("caution", "only a caution is silenced; a stop never is", rule, "a caution"))
    try:
        load().presentation(presentation)
    except KeyError:
        faults.append(_fault("product", "it is not in the catalogue", presentation, "the product that it is said of"))
    if not reason.strip():
        faults.append(_fault("reason", "a reason is needed", reason, "why, in a few words"))
    most = longest()
    right = days.isascii() and days.isdecimal() and len(days) < 4 and 1 <= int(days) <= most
    if not right:
        faults.append(_fault("days", f"1 to {most} days", days, str(most)))
    gather(faults)
    mine = Silence.objects.filter(by=by, rule=rule, presentation=presentation, ended_at=None)
    with transaction.atomic():
        _once(key)
        there = mine.filter(until__gt=moment).first()
        if there is not None:
            rule_words = f"you have silenced it until {there.until:%d %b %Y}"
            raise Refused([_fault("caution", rule_words, rule, "hear it again first")])
        until = moment + timedelta(days=int(days))
        content = {"presentation": presentation, "until": until.isoformat()}
        append(
            "caution.silenced",
            "rule",
            rule[:36],
            actor=by.username,
            reason=reason.strip(),
            key=key,
            content=content | {"rule": rule},
        )
        mine.update(ended_at=moment)  # those that were over by themselves
        return Silence.objects.create(
            by=by, rule=rule, presentation=presentation, reason=reason.strip(), since=moment, until=until
        )


def hear_again(number: int, *, by: Person, key: str | None = None) -> None:
    """End one's own silence. Moved when it has ended already, Refused for another person's."""
    with transaction.atomic():
        _once(key)
        row = Silence.objects.filter(pk=number, by=by).first()
        if row is None:
            raise Refused([_fault("caution", "a silence is ended by the person whose it is", str(number), "your own")])
        content = {"presentation": row.presentation, "rule": row.rule}
        append("caution.heard_again", "rule", row.rule[:36], actor=by.username, key=key, content=content)
        if Silence.objects.filter(pk=row.pk, ended_at=None).update(ended_at=now()) != 1:
            raise Moved(row)


def _once(key: str | None) -> None:
    if key is not None and (done := Event.objects.filter(key=key).first()) is not None:
        raise Replayed(done)


def _fault(field: str, rule: str, came: str, accepted: str) -> Fault:
    return Fault(field=field, rule=rule, came=came, accepted=accepted)


def parted(
    found: Iterable[Finding], drugs: Iterable[str], by: Person, moment: datetime, beside: Iterable[str] = ()
) -> Parted:
    """Findings on a preparation or container, with the cautions that this person has silenced set apart.

    drugs: the products that it is made of; a caution is folded only when it is silenced for each of them. beside: products that are
    there too, such as the diluent; a caution that names one for which nothing was silenced is shown.
    """
    several, taken = tuple(found), tuple(dict.fromkeys(drugs))
    mine: dict[str, dict[str, Silence]] = {}
    if taken and any(one.level is Level.CAUTION for one in several):
        for row in Silence.objects.filter(by=by, ended_at=None, until__gt=moment):
            mine.setdefault(row.rule, {})[row.presentation] = row
    silenced = []
    for one in several:
        rows = mine.get(one.rule, {})
        others = {load().presentation(ident).name for ident in beside if ident not in rows}
        if one.level is Level.CAUTION and rows.keys() >= set(taken) and not any(name in one.says for name in others):
            silenced.append((one, rows[taken[0]]))
    folded = {id(one) for one, _ in silenced}
    return Parted(open=tuple(one for one in several if id(one) not in folded), silenced=tuple(silenced))


def of_sheet(made: Preparation, plan: Plan) -> Parted:
    """The cautions of a sheet that nobody has answered, with those that its preparer has silenced set apart."""
    asked = cautions.to_answer(plan, cautions.answered(made))
    drugs = [take.in_hand.presentation.id for take in plan.takes]
    fill = plan.fill
    beside = [fill.in_hand.presentation.id] if fill is not None and fill.in_hand is not None else []
    return parted(asked, drugs, made.by, now(), beside)


def answer_silenced(made: Preparation, folded: Parted) -> None:
    """Write down, when it is drawn, that these cautions stood and were folded, with the reason of their silence. In a transaction."""
    for one, row in folded.silenced:
        content = {"rule": one.rule, "says": one.says, "silence": str(row.pk)}
        reason = f"silenced until {row.until:%d %b %Y}: {row.reason}"
        append(cautions.NAME, "steps", str(made.pk), actor=row.by.username, reason=reason, content=content)


def in_force(moment: datetime) -> list[Silence]:
    """Every silence in force, the rule that is silenced most first."""
    rows = list(
        Silence.objects.filter(ended_at=None, until__gt=moment).select_related("by").order_by("rule", "since")[:500]
    )
    counts = {rule: sum(row.rule == rule for row in rows) for rule in {row.rule for row in rows}}
    return sorted(rows, key=lambda row: (-counts[row.rule], row.rule, row.since))
