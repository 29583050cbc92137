"""The rules: every check with its level, question, source, how often it was shown and set aside; cautions silenced, by whom and why."""

from __future__ import annotations

from itertools import groupby
from typing import Any

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_http_methods

from drawndose.bench.findings import Finding, Level
from drawndose.bench.moments import told_day
from drawndose.department.ledger.append import now
from drawndose.department.pages.access import allowed
from drawndose.department.pages.acting import act, new_key, sent
from drawndose.department.pages.links import may_any
from drawndose.department.pages.page import page
from drawndose.department.people.models import Person
from drawndose.department.people.roles import Right
from drawndose.department.web.shown import findings
from drawndose.department.work import checks, silences
from drawndose.reference import load

ICONS = {Level.STOP: "octagon-x", Level.CAUTION: "triangle-alert", Level.NOTE: "info"}
SEES = (Right.SEE_WORK, Right.SEE_DAY, Right.TEACH, Right.LEARN)
"""The counts are for everyone who works under them."""


def found_part(found: tuple[Finding, ...], presentations: list[str], person: Person) -> dict[str, Any]:
    """What `_found.html` shows: findings in their budget, those that this person silenced folded, and where to silence one."""
    book = load()
    parted = silences.parted(found, presentations, person, now())
    folded = [(findings([one], book).cautions[0], silence) for one, silence in parted.silenced]
    may = {one.rule for one in parted.open if checks.may_be_silenced(one.rule)} if person.may(Right.PREPARE) else set()
    return {
        "found": findings(parted.open, book),
        "silenced": folded,
        "may_silence": may,
        "silence_of": presentations[0] if presentations else "",
    }


@require_http_methods(["GET", "HEAD", "POST"])
@allowed(*SEES)
def rules(request: HttpRequest) -> HttpResponse:
    """Every check, part by part. POST: hear a caution again that one silenced."""
    outcome, form = None, sent(request)
    if request.method == "POST":
        text = form.fields.get("again", "")
        number = int(text) if text.isascii() and text.isdecimal() and len(text) < 19 else 0
        outcome = act(lambda: silences.hear_again(number, by=request.user, key=form.key), key=form.key)
        if outcome.done:
            return HttpResponseRedirect(reverse("rules"))
    moment, book = now(), load()
    every, counts = checks.checks(moment)
    silenced = [(row, checks.rules().get(row.rule), _product(row.presentation)) for row in silences.in_force(moment)]
    context = {
        "here": "policy",
        "parts": [
            (part, [(one, ICONS[one.rule.level]) for one in same])
            for part, same in groupby(every, lambda one: one.part)
        ],
        "count": len(every),
        "since": told_day(counts.since),
        "counted": sum(counts.shown.values()),
        "cut": counts.cut,
        "silenced": silenced,
        "published": len(book.rules),
        "outcome": outcome,
        "key": new_key(),
        "policy_there": may_any(request.user, Right.SEE_WORK),
    }
    return page(request, "department/rules.html", context, status=outcome.status if outcome is not None else 200)


def _product(ident: str) -> str:
    known = next((one for one in load().presentations if one.id == ident), None)
    return known.name if known is not None else ident


@require_http_methods(["GET", "HEAD", "POST"])
@allowed(Right.PREPARE)
def silence(request: HttpRequest) -> HttpResponse:
    """Silence one caution for oneself and one product, with a reason and until when."""
    asked = request.POST if request.method == "POST" else request.GET
    rule, presentation = asked.get("rule", ""), asked.get("presentation", "")
    back = asked.get("back", "")
    back = back if url_has_allowed_host_and_scheme(back, allowed_hosts=None) else reverse("rules")
    outcome, form = None, sent(request)
    if request.method == "POST":
        days, reason = form.fields.get("days", ""), form.fields.get("reason", "")
        outcome = act(
            lambda: silences.silence(rule, presentation, by=request.user, reason=reason, days=days, key=form.key),
            key=form.key,
        )
        if outcome.done:
            return HttpResponseRedirect(back)
    known = checks.rules().get(rule)
    context = {
        "here": "policy",
        "rule": known[0] if known is not None else None,
        "may": checks.may_be_silenced(rule),
        "rule_id": rule[:60],
        "presentation": presentation,
        "product": _product(presentation),
        "most": silences.longest(),
        "back": back,
        "outcome": outcome,
        "key": new_key(),
        "typed": form.fields if outcome is not None else {},
    }
    return page(request, "department/silence.html", context, status=outcome.status if outcome is not None else 200)
