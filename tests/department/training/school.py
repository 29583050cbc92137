"""An invented programme for tests: evaluators, a manager, a class of four, forms, a rule, an open day."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from typing import Any

from tests.department.people.staff import person

SEED = "willow 7"
ZONE = "America/Chicago"
LIST = "number,name,username\n101,Lea Model,lea\n102,Nia Sample,\n103,Oda Sketch,\n104,Pia Outline,\n"


@dataclass
class School:
    """What stands in it; Django's rows, so untyped here."""

    fay: Any
    gil: Any
    max: Any
    lea: Any
    cohort: Any
    rule: Any
    day: Any

    def learner(self, number: str) -> Any:
        from drawndose.department.training.models import Learner

        return Learner.objects.get(cohort=self.cohort, number=number)

    def station(self, number: int = 1) -> Any:
        return self.day.station_set.select_related("day__cohort", "day__rule").get(number=number)

    def begin(self, number: str, station: int = 1, *, by: Any = None, kind: str = "prepare", **more: Any) -> Any:
        """A try begun by Fay, and its first sheet."""
        from drawndose.department.training import attempts, days

        at, learner = self.station(station), self.learner(number)
        card = next(one for one in days.cards_for(at, learner) if one["kind"] == kind)
        return attempts.begin(at, learner, card, by=by or self.fay, **more)


def school(*, opened: bool = True) -> School:
    """A founded storage with all of it."""
    from drawndose.department.ledger.models import Kind
    from drawndose.department.ledger.storage import found
    from drawndose.department.people.roles import Role

    found(Kind.PRACTICE, actor="setup")
    fay, gil = person("fay", "Fay Mockup", Role.EVALUATOR), person("gil", "Gil Mockup", Role.EVALUATOR)
    manager, lea = person("max", "Max Manager", Role.MANAGER), person("lea", "Lea Model", Role.LEARNER)
    cohort, rule = programme(manager)
    day = practice_day(cohort, fay, opened=opened)
    return School(fay, gil, manager, lea, cohort, rule, day)


def programme(by: Any, **changed: Any) -> tuple[Any, Any]:
    """Forms taken up, a rule, and a class read from its list."""
    from drawndose.department.training import class_list, cohort, forms, rules
    from drawndose.lab.deciding.rule import Rule, VolumeBy

    for skill, _, _ in forms.skills():
        forms.take_up(skill, by=by)
    said = {"volume": VolumeBy.READ, "days_between": 0} | changed
    rule = rules.write(Rule(id="house", title="House rule", **said), reason="invented committee", by=by, seen=None)
    made = cohort.open_cohort("Autumn 2026", by=by)
    class_list.write(made, LIST, same=(), by=by)
    return made, rule


def practice_day(cohort: Any, by: Any, *, opened: bool = True) -> Any:
    """A day of today."""
    from drawndose.department.training import days

    wanted = days.Wanted(title="Check-off", on=date.today(), zone=ZONE, seed=SEED)  # noqa: DTZ011 - invented
    day = days.plan_day(cohort, wanted, by=by)
    if opened:
        days.open_day(day, by=by, version=day.version)
    return day


def marks(sheet: Any, **points: str) -> tuple[Any, ...]:
    """Every step of the sheet's form done well, but for those that are named with another point."""
    from drawndose.department.training.forms import form_of
    from drawndose.lab.attempts.marks import Mark

    form, at = form_of(sheet.attempt.form), sheet.attempt.started_at
    return tuple(
        Mark(
            id=f"{sheet.pk}-{place}",
            step=step.id,
            point=points.get(step.id.replace("-", "_"), step.scale.points[0].word),
            at=at + timedelta(seconds=place),
        )
        for place, step in enumerate(form.shown)
    )


def proved(attempt: Any) -> None:
    """All evidence that the card asks for, as right as can be. Kept at once: how it is judged is tested where it is judged."""
    from drawndose.department.training.kept_evidence import evidence_of, kept
    from drawndose.department.training.models import Attempt
    from tests.lab.samples import PROVEN

    asks = evidence_of(attempt.card["asks"])
    parts = {
        name: getattr(PROVEN, name) for name in ("answer", "read", "weighed", "label") if name not in asks.not_asked
    }
    data = kept(type(asks)(**parts, not_asked=asks.not_asked))
    Attempt.objects.filter(pk=attempt.pk).update(evidence=data)
    attempt.refresh_from_db()


def passed(on: School, number: str = "101", **points: str) -> Any:
    """A try that was sent with all evidence and decided."""
    from drawndose.department.training import attempts, deciding

    sheet = on.begin(number)
    proved(sheet.attempt)
    attempts.send(sheet, marks(sheet, **points), by=on.fay, version=sheet.version)
    attempt = sheet.attempt
    attempt.refresh_from_db()
    return deciding.take(attempt, by=on.fay, version=attempt.version)


def moment(**more: int) -> datetime:
    """A moment beside now."""
    return datetime.now(UTC) + timedelta(**more)
