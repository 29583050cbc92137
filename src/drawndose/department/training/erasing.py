"""Erasing a learner's personal words: in these tables alone. Every event and hash stays as it is, for no event ever held the words.

The name and number become a mark of the learner's key; notes, comments, plans and reasons about them go; the salts go too, so that no
seal can be matched with guessed words. Marks, evidence, decisions and sign-offs stay, as somebody's. Who signed in as them and was
only ever a learner loses name, password and PIN; the name to sign in with stays as the actor of what they did themselves. What was typed
about them and not sent goes, too.
"""

from __future__ import annotations

from datetime import date
from typing import Any

from django.db import transaction

from drawndose.department.people.models import Person
from drawndose.department.people.roles import Right
from drawndose.department.people.roster import forget, only_learner
from drawndose.department.training.change import change, no, told
from drawndose.department.training.models import Attempt, Decision, Evaluation, Learner, MarkDraft, Remediation, SignOff
from drawndose.department.work.models import Draft
from drawndose.department.work.policy import house
from drawndose.quantities import Fault, gather

GONE = "erased"
"""What stands where words stood."""


def due(today: date) -> tuple[Learner, ...]:
    """Learners whose last try lies longer back than the department keeps training records; none while it has not decided."""
    years = house("training_years")
    if not isinstance(years, int):
        return ()
    found = []
    for learner in Learner.objects.exclude(state="erased").select_related("cohort").order_by("pk"):
        last = Attempt.objects.filter(learner=learner).order_by("-started_at").first()
        day = last.started_at.date() if last is not None else learner.cohort.at.date()
        if (today.year - day.year, today.month, today.day) >= (years, day.month, day.day):
            found.append(learner)
    return tuple(found)


def erase(learner: Learner, *, by: Person, version: int, reason: str, key: str | None = None) -> None:
    """Erase. Refused without a reason, without the right, and while a try is open: nothing half-done is erased."""
    why = told(reason, "reason", "who asked for it, without names", 200)
    faults: list[Fault] = []
    if not by.may(Right.SET_POLICY):
        faults += no("person", f"to {Right.SET_POLICY.value} is not this person's", by.name, "a manager").faults
    if Attempt.objects.filter(learner=learner, state="begun").exists():
        faults += no(
            "learner", "a try of this learner is open", learner.name, "finish it, or break it off first"
        ).faults
    gather(faults)
    values: dict[str, Any] = {
        "name": f"{GONE} {learner.pk}",
        "number": f"{GONE} {learner.pk}",
        "person": None,
        "salt": "",
    }
    signs = learner.person
    with transaction.atomic():
        change(learner, "learner", "learner.erased", by=by, version=version, key=key, reason=why, **values)
        _words(learner)
        if signs is not None and forgets(signs):
            forget(signs, by=by)


def forgets(person: Person) -> bool:
    """Whether the name of whom a learner signs in as goes with the last of their records: never where it is a name of staff, too."""
    return only_learner(person) and not Learner.objects.filter(person=person).exclude(state="erased").exists()


def _words(learner: Learner) -> None:
    """No states change here, so no events: only words go, where words stood."""
    mine = Attempt.objects.filter(learner=learner)
    for row in Attempt.objects.filter(learner=learner):
        stopped = row.evidence.get("stopped")
        kept = row.evidence | ({"stopped": stopped | {"said": GONE if stopped["said"] else ""}} if stopped else {})
        comment = GONE if row.comment else ""
        Attempt.objects.filter(pk=row.pk).update(evidence=kept, comment=comment, signed_by=None, salt="")
    for sheet in Evaluation.objects.filter(attempt__in=mine):
        notes = dict.fromkeys(sheet.notes, GONE)
        Evaluation.objects.filter(pk=sheet.pk).update(notes=notes, note=GONE if sheet.note else "")
    MarkDraft.objects.filter(evaluation__attempt__in=mine).delete()
    Remediation.objects.filter(attempt__in=mine).update(plan=GONE)
    Decision.objects.filter(attempt__in=mine).exclude(why="").update(why=GONE)
    SignOff.objects.filter(learner=learner).exclude(why_ended="").update(why_ended=GONE)
    forms = [f"lab-list-{learner.cohort_id}", *(f"lab-{one}-{row.pk}" for row in mine for one in ("attempt", "result"))]
    Draft.objects.filter(form__in=forms).delete()
