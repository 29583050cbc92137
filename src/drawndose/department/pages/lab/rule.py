"""The rule by which attempts are decided: looked at with what a pass by it proves, and written with a reason."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from drawndose.department.pages.access import allowed
from drawndose.department.pages.acting import Outcome, Sent, act
from drawndose.department.pages.lab.frame import NONE, asked, go, shown
from drawndose.department.people.roles import Right
from drawndose.department.training import forms, rules
from drawndose.department.training.models import RuleVersion
from drawndose.department.work.change import Moved
from drawndose.lab.deciding.proves import Proof, proves
from drawndose.lab.deciding.rule import LaterFailure, Rule, VolumeBy, read_rule, rule_data
from drawndose.lab.forms.form import Form
from drawndose.lab.forms.shipped import shipped
from drawndose.quantities import Refused, read_number, show_number
from drawndose.science.words import chance_percent

DRAFT = "lab-rule"
WHOLE = ("within_minutes", "attempts", "days_between", "valid_months")
TRUTHS = ("sum_right", "label_right", "remediation", "second_on_last")
TOLERANCE = Fraction(1, 20)
FIRST = Rule(id=rules.HOUSE, title="Rule of the programme")


@dataclass(frozen=True, slots=True, kw_only=True)
class Proves:
    """What a rule proves on one form: the sentence, attempt by attempt, and what to be careful about."""

    form: str
    says: str
    rows: tuple[tuple[str, str, str], ...]
    cautions: tuple[str, ...]


@require_http_methods(["GET", "HEAD", "POST"])
@allowed(Right.TEACH, Right.SET_POLICY)
def rule(request: HttpRequest) -> HttpResponse:
    """The rule in use. POST: another one, looked at (`look`) or kept (`keep`)."""
    row = rules.current()
    kept = rules.rule_of(row) if row is not None else FIRST
    if request.method != "POST":
        return _page(request, row, kept)
    form = asked(request)
    outcome = act(lambda: _typed(form))
    made = outcome.value if outcome.done else kept
    if outcome.done and form.fields.get("do") == "keep":
        outcome = act(lambda: _kept(request, form, made, row), key=form.key)
        if outcome.done:
            return go(request, reverse("lab-rule"), DRAFT)
    return _page(request, row, made, outcome)


def _kept(request: HttpRequest, form: Sent, made: Rule, row: RuleVersion | None) -> RuleVersion:
    if form.fields.get("seen", "") != (row.digest if row is not None else ""):
        raise Moved(row)
    return rules.write(made, reason=form.fields.get("reason", ""), by=request.user, seen=row, key=form.key)


def _typed(form: Sent) -> Rule:
    """The rule out of the boxes. Refused with every fault."""
    fields = form.fields
    data: dict[str, object] = dict(rule_data(FIRST))
    data |= {name: _whole(fields.get(name, "")) for name in WHOLE}
    data |= {name: name in fields for name in TRUTHS}
    data["title"], data["percent_floor"] = fields.get("title", ""), fields.get("percent_floor", "")
    data["volume"] = fields.get("volume", "")
    if "later_failure" in fields:
        data["later_failure"] = fields["later_failure"]
    return read_rule(data)


def _whole(text: str) -> object:
    return int(text) if text.isascii() and text.isdecimal() and len(text) < 9 else text


def _page(request: HttpRequest, row: RuleVersion | None, made: Rule, outcome: Outcome = NONE) -> HttpResponse:
    tolerance = _tolerance(request)
    context: dict[str, Any] = {
        "here": "lab",
        "row": row,
        "rule": made,
        "floor": show_number(made.percent_floor),
        "ways": [(one.value, one is made.volume) for one in VolumeBy],
        "later": [(one.value, one is made.later_failure) for one in LaterFailure],
        "proved": [_proves(made, one, tolerance) for one in _forms()],
        "tolerance": show_number(tolerance * 100),
        "versions": RuleVersion.objects.select_related("by").order_by("-pk"),
        "looked": request.method == "POST" and outcome.done,
    }
    return shown(request, "rule", context, outcome=outcome, draft=DRAFT)


def _forms() -> list[Form]:
    """The forms in use; the shipped ones before any is taken up."""
    taken = [forms.form_of(row) for _, _, row in forms.skills() if row is not None]
    return taken or list(shipped())


def _tolerance(request: HttpRequest) -> Fraction:
    try:
        found = read_number(request.POST.get("tolerance", "5"), field="tolerance") / 100
    except Refused:
        found = TOLERANCE
    return found if 0 < found < 1 else TOLERANCE


def _proves(made: Rule, form: Form, tolerance: Fraction) -> Proves:
    found: Proof = proves(made, form, tolerance)
    pairs = zip(found.novice.by_attempt, found.expert.by_attempt, strict=True)
    rows = tuple(
        (f"attempt {place}", chance_percent(novice), chance_percent(expert))
        for place, (novice, expert) in enumerate(pairs, start=1)
    )
    return Proves(form=form.title, says=found.says, rows=rows, cautions=found.cautions)
