"""Evaluators beside each other, steps over the class, and what was done about it: the figures of the lab's own storey, from the records."""

from __future__ import annotations

from collections.abc import Sequence

from django.db import transaction

from drawndose.department.ledger.append import now
from drawndose.department.people.models import Person
from drawndose.department.training.as_lab import attempt_of
from drawndose.department.training.change import begun, no, told
from drawndose.department.training.forms import form_of
from drawndose.department.training.models import Action, Cohort, Decision, FormVersion, LabDay
from drawndose.department.training.models import Attempt as Row
from drawndose.department.training.rules import current, rule_of
from drawndose.department.training.states import DECIDED
from drawndose.lab.attempts.attempt import Attempt
from drawndose.lab.cohort.rows import Agreed, agreement_rows
from drawndose.lab.deciding.decide import Outcome
from drawndose.lab.forms.form import Form


def attempts_of(cohort: Cohort) -> list[Row]:
    """Every attempt of a class that counts, by learner and start."""
    rows = Row.objects.filter(learner__cohort=cohort).exclude(state="broken off")
    around = rows.select_related("learner__person", "learner__cohort", "station__day__rule", "form", "signed_by")
    return list(around.order_by("learner__number", "started_at"))


def tried(cohort: Cohort) -> tuple[Attempt, ...]:
    """Every attempt of a class that is decided: marks of others are nobody's figures yet, and a second evaluator may still come."""
    return tuple(attempt_of(one) for one in attempts_of(cohort) if one.state in DECIDED)


def undecided(cohort: Cohort) -> int:
    """How many attempts of a class are begun or handed in, and not decided."""
    return sum(one.state not in DECIDED for one in attempts_of(cohort))


def passed(cohort: Cohort) -> dict[str, list[tuple[str, int, bool]]]:
    """By skill: who passed or did not, at which attempt, by the decisions that stand."""
    rows = Decision.objects.filter(attempt__learner__cohort=cohort, attempt__state__in=DECIDED, state="stands")
    found: dict[str, list[tuple[str, int, bool]]] = {}
    for one in rows.exclude(outcome=Outcome.OPEN.value).select_related("attempt").order_by("pk"):
        made = one.outcome == Outcome.PASSED.value
        found.setdefault(one.attempt.skill, []).append((str(one.attempt.learner_id), one.attempt.number, made))
    return found


def forms_used(cohort: Cohort) -> tuple[Form, ...]:
    """Every version that an attempt of the class was marked on."""
    rows = FormVersion.objects.filter(attempt__learner__cohort=cohort).distinct().order_by("skill", "edition")
    return tuple(form_of(one) for one in rows)


def attempts_allowed(cohort: Cohort) -> int | None:
    """How many attempts the rule of the class's latest day allows; before there is a day, the rule in use; None without a rule."""
    day = (
        LabDay.objects.filter(cohort=cohort)
        .exclude(state="dropped")
        .select_related("rule")
        .order_by("-on", "-pk")
        .first()
    )
    row = day.rule if day is not None else current()
    return rule_of(row).attempts if row is not None else None


def agreed(tries: Sequence[Attempt], forms: Sequence[Form]) -> tuple[Agreed, ...]:
    """Every pair of evaluators who scored the same attempts."""
    return agreement_rows(tries, forms)


def take_action(cohort: Cohort, pair: str, found: str, says: str, *, by: Person, key: str | None = None) -> Action:
    """Write down what was done about two evaluators who differed, beside the figure that led to it. Refused without either."""
    done = told(says, "action", "what was done, with whom, and when")
    figure = told(found, "figure", "the figure that led to it")
    if not pair.strip():
        raise no("evaluators", "whom it is about", pair, "two evaluators of the list")
    row = Action(cohort=cohort, skill=pair.strip()[:60], says=done, found={"says": figure}, by=by, at=now())
    content = {"cohort": str(cohort.pk), "pair": row.skill, "found": figure, "done": done}
    with transaction.atomic():
        return begun(row, "action", "action.taken", by=by, key=key, content=content)
