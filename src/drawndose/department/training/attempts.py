"""Attempts: begun at a station, marked on the form of that moment, handed in once; a second evaluator on a sheet of their own.

What is marked is a draft until it is handed in. Sent twice, with whatever delay, an attempt is one attempt: the form's key, and the
ids of the marks, see to it.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from django.db import IntegrityError, transaction

from drawndose.department.ledger.append import SKEW, Replayed, now
from drawndose.department.ledger.models import Event
from drawndose.department.people.models import Person
from drawndose.department.people.roles import Right
from drawndose.department.training.admitting import admission
from drawndose.department.training.as_lab import kept_mark, marks_of
from drawndose.department.training.change import begun, change, no, told
from drawndose.department.training.drafts import let_go
from drawndose.department.training.forms import form_of, in_use
from drawndose.department.training.models import Attempt, Evaluation, Learner, Station
from drawndose.department.training.sealed import new_salt, seal
from drawndose.lab.attempts.marks import Mark, mark_faults
from drawndose.quantities import Fault, gather

LONGEST_NOTE = 2000


def begin(
    station: Station, learner: Learner, card: dict[str, Any], *, by: Person, key: str | None = None
) -> Evaluation:
    """Begin a try: the clock starts, the form in use is kept with it. Refused with everything that holds it back."""
    if key is not None and (done := Event.objects.filter(key=key).first()) is not None:
        raise Replayed(done)
    skill = str(card["form"])
    form, may = in_use(skill), admission(learner, skill, station.day.rule)
    gather([*_people(learner, by), *_open(station, learner, may.reasons)])
    row = Attempt(
        learner=learner,
        station=station,
        skill=skill,
        number=_next_number(learner, skill),
        form=form,
        card=card,
        started_at=now(),
        evidence=card.get("asks", {}),
        salt=new_salt(),
    )
    content = {
        "learner": str(learner.pk),
        "station": str(station.pk),
        "skill": row.skill,
        "number": row.number,
        "form": form.digest,
        "task": str(card.get("id", "")),
    }
    try:
        with transaction.atomic():
            begun(row, "attempt", "attempt.begun", by=by, key=key, content=content)
            return _evaluation(row, by, 1)
    except IntegrityError as error:
        rule, accepted = "another try of this learner was begun in between", "one try at a time"
        raise no("learner", rule, learner.name, accepted) from error


def _next_number(learner: Learner, skill: str) -> int:
    last = Attempt.objects.filter(learner=learner, skill=skill).exclude(state="broken off").order_by("-number").first()
    return last.number + 1 if last is not None else 1


def _people(learner: Learner, by: Person) -> list[Fault]:
    found: list[Fault] = []
    if not by.may(Right.TEACH):
        found += no("evaluator", f"to {Right.TEACH.value} is not this person's", by.name, "an evaluator").faults
    if learner.person_id == by.pk:
        found += no("evaluator", "nobody evaluates themselves", by.name, "another evaluator").faults
    return found


def _open(station: Station, learner: Learner, held: Sequence[str]) -> list[Fault]:
    found: list[Fault] = []
    if station.day.state != "open":
        found += no("day", f"the day is {station.day.state}", station.day.title, "an open day").faults
    if learner.cohort_id != station.day.cohort_id:
        found += no("learner", "the learner is of another class", learner.name, station.day.cohort.name).faults
    busy = Attempt.objects.filter(learner=learner, state="begun").select_related("station").first()
    if busy is not None:
        at = f"station {busy.station.number}, begun {busy.started_at:%H:%M} UTC"
        found += no("learner", "a try of this learner is open", at, "finish it, or break it off").faults
    return found + [
        Fault(field="attempt", rule=one.rstrip("."), came=learner.name, accepted="see the rule") for one in held
    ]


def _evaluation(attempt: Attempt, by: Person, place: int, key: str | None = None) -> Evaluation:
    row = Evaluation(attempt=attempt, evaluator=by, place=place)
    content = {"attempt": str(attempt.pk), "place": place, "evaluator": by.username}
    return begun(row, "evaluation", "evaluation.begun", by=by, key=key, content=content)


def begin_second(attempt: Attempt, *, by: Person, key: str | None = None) -> Evaluation:
    """A sheet for a second evaluator on the same try. Refused for the first one, for the learner, and once it is decided."""
    if key is not None and (done := Event.objects.filter(key=key).first()) is not None:
        raise Replayed(done)
    faults = _people(attempt.learner, by)
    if attempt.state not in {"begun", "sent"}:
        faults += no("attempt", f"it is {attempt.state}", "a second sheet", "before the decision").faults
    sheets = list(attempt.evaluation_set.exclude(state="dropped"))
    if any(one.evaluator_id == by.pk for one in sheets):
        faults += no("evaluator", "the second evaluator is another person", by.name, "somebody else").faults
    if len(sheets) > 1:
        faults += no("evaluator", "two evaluators watch already", by.name, "one second evaluator").faults
    gather(faults)
    with transaction.atomic():
        return _evaluation(attempt, by, 2, key)


def send(
    row: Evaluation,
    marks: Sequence[Mark],
    *,
    by: Person,
    version: int,
    ended: datetime | None = None,
    rating: int | None = None,
    note: str = "",
    key: str | None = None,
) -> None:
    """Hand a sheet in. Refused, with every fault, for marks that cannot be; steps that nobody marked are told at the decision.

    ended: when the learner ended, by the tablet's clock set to ours; now where it was not said.
    """
    attempt, end = row.attempt, ended or now()
    gather(_sheet_faults(row, marks, by, rating, note, end))
    values: dict[str, Any] = {
        "marks": [kept_mark(one) for one in marks],
        "notes": {one.id: one.note for one in marks if one.note},
        "rating": rating,
        "note": note.strip(),
        "closed_at": now(),
    }
    notes = {ident: seal(attempt.salt, words) for ident, words in values["notes"].items()}
    content = {"marks": values["marks"], "rating": rating, "notes": notes, "note": seal(attempt.salt, values["note"])}
    with transaction.atomic():
        change(row, "evaluation", "evaluation.sent", by=by, version=version, key=key, content=content, **values)
        attempt.refresh_from_db()
        if row.place == 1:
            ends = {
                "ended_at": end,
                "evidence": attempt.evidence | {"seconds": int((end - attempt.started_at).total_seconds())},
            }
            content = {"ended_at": end.isoformat()}
            change(attempt, "attempt", "attempt.sent", by=by, version=attempt.version, content=content, **ends)
        elif attempt.state in {"decided", "signed"}:
            change(attempt, "attempt", "attempt.reopened", by=by, version=attempt.version, content={"by": str(row.pk)})
        let_go(row)


def _sheet_faults(
    row: Evaluation, marks: Sequence[Mark], by: Person, rating: int | None, note: str, end: datetime
) -> list[Fault]:
    found = mark_faults(marks, form_of(row.attempt.form))
    if row.evaluator_id != by.pk:
        found += no("evaluator", "a sheet is handed in by who marked it", by.name, row.evaluator.name).faults
    if rating is not None and not 0 <= rating <= 5:
        found += no("rating", "the overall impression", rating, "0 to 5, or none").faults
    if len(note) > LONGEST_NOTE:
        found += no("note", "the note is too long", f"{len(note):,} characters", f"{LONGEST_NOTE:,}").faults
    if not row.attempt.started_at <= end <= now() + SKEW:
        accepted = f"from {row.attempt.started_at:%H:%M:%S} UTC until now"
        found += no("ended", "the end does not lie in the attempt", f"{end:%d %b %Y %H:%M:%S} UTC", accepted).faults
    return found


def correct(row: Evaluation, mark: Mark, *, by: Person, version: int, key: str | None = None) -> None:
    """One mark more on a sheet that was sent, with its note: it takes the place of the earlier one, which stays to be read.

    A try that was decided is open again, and is decided anew.
    """
    told(mark.note, "note", "what was seen, and why the mark is corrected", 500)
    every = (*marks_of(row), mark)
    faults = mark_faults(every, form_of(row.attempt.form))
    if row.evaluator_id != by.pk:
        faults += no("evaluator", "a sheet is corrected by who marked it", by.name, row.evaluator.name).faults
    gather(faults)
    attempt = row.attempt
    marks = [kept_mark(one) for one in every]
    content = {"mark": kept_mark(mark), "note": seal(attempt.salt, mark.note)}
    values = {"marks": marks, "notes": row.notes | {mark.id: mark.note}}
    with transaction.atomic():
        change(row, "evaluation", "evaluation.corrected", by=by, version=version, key=key, content=content, **values)
        attempt.refresh_from_db()
        if attempt.state in {"decided", "signed"}:
            change(attempt, "attempt", "attempt.reopened", by=by, version=attempt.version, content={"by": str(row.pk)})


def break_off(attempt: Attempt, *, by: Person, version: int, reason: str, key: str | None = None) -> None:
    """Stop a try that was not decided; it counts as none. The reason is the station's, not the learner's: it is kept in the event."""
    why = told(reason, "reason", "what happened, without names", 200)
    with transaction.atomic():
        change(attempt, "attempt", "attempt.broken_off", by=by, version=version, reason=why, key=key)
        for row in attempt.evaluation_set.filter(state="open"):
            change(row, "evaluation", "evaluation.dropped", by=by, version=row.version)
            let_go(row)
