"""One attempt after its sheet: evidence, the second evaluator, the decision with its reasons, practice; for evaluators."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from drawndose.department.ledger.append import now
from drawndose.department.pages.access import allowed
from drawndose.department.pages.acting import Outcome, Sent, act
from drawndose.department.pages.lab.frame import NONE, asked, attempt_address, attempt_or_none, go, mine, shown, told
from drawndose.department.pages.lab.result import evidence_rows, reason_rows, steps_to_practise
from drawndose.department.pages.second import second_part, with_second_person
from drawndose.department.people.roles import Right
from drawndose.department.training import attempts, deciding, evidence
from drawndose.department.training.as_lab import attempt_of, decision_of
from drawndose.department.training.forms import form_of
from drawndose.department.training.kept_evidence import evidence_of
from drawndose.department.training.models import Attempt, Decision, Evaluation, FormVersion, Remediation
from drawndose.lab.attempts.attempt import outdated
from drawndose.lab.attempts.marks import Mark
from drawndose.lab.deciding.decide import Outcome as Decided
from drawndose.quantities import Fault, Refused
from drawndose.reference import load

Act = Callable[[HttpRequest, Attempt, Sent], Any]


@require_http_methods(["GET", "HEAD", "POST"])
@allowed(Right.TEACH, Right.SET_POLICY)
def attempt(request: HttpRequest, number: int) -> HttpResponse:
    """The attempt as it stands. POST: one of its acts, named by `do`."""
    row = attempt_or_none(number)
    if row is None or mine(request.user, row):
        return told(request, "No such attempt", "There is none of this number, or it is your own: see My training.")
    own = _own(request, row)
    if own is not None and own.state == "open" and request.method != "POST":
        return go(request, reverse("lab-sheet", args=[own.pk]))
    if request.method != "POST":
        return _page(request, row)
    form, seen = asked(request), row
    do = form.fields.get("do", "")
    outcome = act(lambda: _known(do)(request, seen, form), key=form.key)
    if not outcome.done:
        row = attempt_or_none(number) or row
        return _page(request, row, outcome)
    if isinstance(outcome.value, Evaluation):
        return go(request, reverse("lab-sheet", args=[outcome.value.pk]))
    return go(request, attempt_address(row) + f"#{do.partition(' ')[0]}", f"lab-attempt-{row.pk}")


def _own(request: HttpRequest, row: Attempt) -> Evaluation | None:
    return Evaluation.objects.filter(attempt=row, evaluator=request.user).exclude(state="dropped").first()


def _known(do: str) -> Act:
    if do not in ACTS:
        raise Refused([Fault(field="page", rule="there is no such act", came=do, accepted="a button of this page")])
    return ACTS[do]


def _teaches(request: HttpRequest) -> None:
    if not request.user.may(Right.TEACH):
        rule = f"to {Right.TEACH.value} is not this person's"
        raise Refused([Fault(field="person", rule=rule, came=request.user.name, accepted="an evaluator")])


def _evidence(request: HttpRequest, row: Attempt, form: Sent) -> Any:
    label = None
    if form.fields.get("label") == "looked at":
        label = {}
        for place, line in enumerate(_label_lines(row), start=1):
            whole = form.fields.get(f"line-{place}") == "right"
            label[line["name"]] = line["text"] if whole else form.fields.get(f"stood-{place}", "")
    return evidence.add(row, form.fields, by=request.user, version=form.version, label=label, key=form.key)


def _label_lines(row: Attempt) -> list[dict[str, str]]:
    """Each line of the label once, with everything that it says."""
    found: dict[str, str] = {}
    for one in row.card.get("label", []):
        found[one["name"]] = " ".join(filter(None, [found.get(one["name"], ""), one["text"]]))
    return [{"name": name, "text": text} for name, text in found.items()]


def _second(request: HttpRequest, row: Attempt, form: Sent) -> Any:
    return attempts.begin_second(row, by=request.user, key=form.key)


def _correct(request: HttpRequest, row: Attempt, form: Sent) -> Any:
    own = _own(request, row)
    if own is None or own.state != "sent":
        rule = "only your own sheet, once it is handed in"
        raise Refused([Fault(field="mark", rule=rule, came=request.user.name, accepted="the evaluator who marked it")])
    step, _, point = form.fields.get("mark", "").partition("|")
    note = form.fields.get("note", "")
    mark = Mark(id=f"later-{form.key}"[:64], step=step, point=point, at=now(), note=note)
    return attempts.correct(own, mark, by=request.user, version=own.version, key=form.key)


def _decide(request: HttpRequest, row: Attempt, form: Sent) -> Any:
    _teaches(request)
    return deciding.take(row, by=request.user, version=form.version, why=form.fields.get("why", ""), key=form.key)


def _alter(request: HttpRequest, row: Attempt, form: Sent) -> Any:
    _teaches(request)
    words = {one.value: one for one in Decided if one is not Decided.OPEN}
    said = form.fields.get("outcome", "")
    if said not in words:
        raise Refused([Fault(field="outcome", rule="one of the outcomes", came=said, accepted=", ".join(words))])
    why = form.fields.get("why_changed", "")
    return deciding.alter(row, words[said], by=request.user, version=form.version, why=why, key=form.key)


def _practice(request: HttpRequest, row: Attempt, form: Sent) -> Any:
    _teaches(request)
    return deciding.plan_practice(row, form.fields.get("plan", ""), by=request.user, key=form.key)


def _practised(request: HttpRequest, row: Attempt, form: Sent) -> Any:
    _teaches(request)
    plan = Remediation.objects.select_related("attempt__learner__person").get(attempt=row)
    return deciding.practised(plan, by=request.user, version=plan.version, key=form.key)


def _sign(request: HttpRequest, row: Attempt, form: Sent) -> Any:
    """The learner signs on the evaluator's tablet, for this one act; the evaluator stays signed in."""
    comment = form.fields.get("comment", "")
    learner = with_second_person(request, Right.LEARN)
    return deciding.sign(row, by=learner, version=form.version, comment=comment, key=form.key)


def _break_off(request: HttpRequest, row: Attempt, form: Sent) -> Any:
    _teaches(request)
    return attempts.break_off(
        row, by=request.user, version=form.version, reason=form.fields.get("reason", ""), key=form.key
    )


ACTS: dict[str, Act] = {
    "evidence": _evidence,
    "second": _second,
    "correct": _correct,
    "decide": _decide,
    "alter": _alter,
    "practice": _practice,
    "practised": _practised,
    "sign": _sign,
    "break-off": _break_off,
}


def _page(request: HttpRequest, row: Attempt, outcome: Outcome = NONE) -> HttpResponse:
    sheets = list(row.evaluation_set.exclude(state="dropped").select_related("evaluator").order_by("place"))
    own = _own(request, row)
    blind = own is None and row.state in {"begun", "sent"} and len(sheets) < 2
    looked, open_parts = _looked(request, row)
    stands = deciding.standing(row)
    asks = evidence_of(row.evidence)
    context: dict[str, Any] = {
        "here": "lab",
        "row": row,
        "card": row.card,
        "day": row.station.day,
        "sheets": sheets,
        "own": own,
        "blind": blind,
        "may_second": row.state in {"begun", "sent"}
        and len(sheets) < 2
        and (own is None)
        and request.user.may(Right.TEACH),
        "asked": [one for one in ("answer", "read", "weighed", "label", "stopped") if one not in asks.not_asked],
        "evidence": evidence_rows(row),
        "marks": _marks(row) if own is not None and own.state == "sent" else (),
        "lines": _lines_typed(request, row),
        "balances": load().balances,
        "looked": looked,
        "looked_reasons": reason_rows(looked) if looked is not None else (),
        "open_parts": open_parts,
        "stands": stands,
        "stands_reasons": reason_rows(decision_of(stands)) if stands is not None else (),
        "decisions": Decision.objects.filter(attempt=row).select_related("by", "rule").order_by("pk"),
        "second": second_part(request, Right.LEARN) if row.state == "decided" and row.learner.person_id else None,
        "practise": steps_to_practise(row) if stands is not None else (),
        "plan": Remediation.objects.filter(attempt=row).select_related("by", "done_by").first(),
        "outdated": _outdated(row),
        "may_evaluate": request.user.may(Right.TEACH),
        "outcomes": [one.value for one in Decided if one is not Decided.OPEN],
    }
    return shown(request, "attempt", context, outcome=outcome, draft=f"lab-attempt-{row.pk}")


def _marks(row: Attempt) -> list[tuple[str, list[tuple[str, str]]]]:
    """Each step with its points, as the choices of a corrected mark."""
    steps = enumerate(form_of(row.form).shown, start=1)
    return [
        (f"{place}. {step.says}", [(f"{step.id}|{one.word}", one.word) for one in step.scale.points])
        for place, step in steps
    ]


def _outdated(row: Attempt) -> str:
    """A sentence where the attempt's version of the form is not in use any more."""
    newest = FormVersion.objects.filter(skill=row.skill, state="in use").first()
    if newest is None or newest.pk == row.form_id:
        return ""
    if newest.form_id == row.form.form_id:
        return outdated(attempt_of(row), form_of(newest))
    return f"It was marked on {row.form.title}, edition {row.form.edition}, which is not in use any more; it is judged by that."


def _lines_typed(request: HttpRequest, row: Attempt) -> list[dict[str, Any]]:
    """The lines of the label with what was typed beside each."""
    typed = request.POST if request.method == "POST" else {}
    return [
        one | {"right": f"line-{place}" in typed, "stood": typed.get(f"stood-{place}", "")}
        for place, one in enumerate(_label_lines(row), start=1)
    ]


def _looked(request: HttpRequest, row: Attempt) -> tuple[Any, tuple[str, ...]]:
    """What the rule would say now, and what is still open; None before the sheet is handed in, and once it is decided."""
    if row.state != "sent":
        return None, ()
    try:
        found = deciding.looked(row, by=request.user)
    except Refused as refused:
        return None, tuple(f"{one.field}: {one.rule}" for one in refused.faults)
    return found, tuple(one.says for one in found.reasons if one.open)
