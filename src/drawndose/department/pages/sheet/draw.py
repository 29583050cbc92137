"""Draw: the one number, the drawing, then what the plan cautions; the steps one at a time; what was really drawn."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Any
from urllib.parse import urlencode

from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from drawndose.bench.draws import ml
from drawndose.bench.findings import Finding, Level
from drawndose.bench.plans import Plan, Status
from drawndose.department.pages.acting import Outcome, act, sent
from drawndose.department.pages.heard import Heard, What, hear
from drawndose.department.pages.sheet.frame import (
    Stop,
    acted,
    address,
    draft_name,
    go,
    held,
    mine_to_make,
    on_sheet,
    place_of,
    shown,
    stop_of,
)
from drawndose.department.pages.sheet.stepping import Stepping, stepping
from drawndose.department.people.roles import Right
from drawndose.department.web import shown as plan_words
from drawndose.department.web.shown import source_words
from drawndose.department.work import cautions, checklist, preparing, silences
from drawndose.department.work.checks import may_be_silenced
from drawndose.department.work.models import Preparation
from drawndose.department.work.planning import DRAWABLE, plan_of
from drawndose.quantities import Fault, Refused
from drawndose.reference import load

OF_STEPS = {"tick", "untick", "check"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Button:
    """The one filled button of a page: its words, and where it leads or which form it sends with which value."""

    words: str
    to: str = ""
    form: str = ""
    value: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """A caution that waits for its answer. silence: where one may silence it for oneself and this product; "" where not."""

    mark: str
    says: str
    do: str
    source: str
    reasons: tuple[str, ...]
    silence: str


@require_http_methods(["GET", "HEAD", "POST"])
@on_sheet(Right.PREPARE)
def draw(request: HttpRequest, made: Preparation) -> HttpResponse:
    """The place where it is drawn. POST: a reading, a step, a label check, or the answer to a caution."""
    if request.method != "POST":
        return _page(request, made)
    if not mine_to_make(request, made):
        fault = Fault(
            field="sheet", rule=f"{made.by.name} prepares this one", came=request.user.name, accepted=made.by.name
        )
        return _page(request, made, Outcome(done=False, faults=(fault,)))
    do = request.POST.get("do", "")
    if do in OF_STEPS or do == "answer":
        return _small(request, made, do)
    outcome = acted(request, made, lambda form: _drawn(request, made, form.fields, form.version, form.key))
    if not outcome.done:
        return _page(request, made, outcome)
    made.refresh_from_db()
    return go(request, _after(made), outcome, draft_name(made, "draw"))


def _after(made: Preparation) -> str:
    """Where a drawn preparation goes on: a label check is left, or a second reading, or the label."""
    plan = plan_of(made)
    if made.state == "drawn" and checklist.next_check(checklist.checklist(made, plan), drawn=True) is not None:
        return f"{address(made, 'draw')}#check"
    if made.state == "drawn" and plan.second_reader and made.read_by_id is None:
        return address(made, "second")
    return address(made, place_of(made))


def _drawn(request: HttpRequest, made: Preparation, fields: dict[str, str], version: int, key: str) -> Any:
    """Record the reading: what was typed, or by a press that the plan's own lines were met. Nothing is taken while something is open."""
    plan = plan_of(made)
    if made.state == "planned":
        _ready(made, plan)
    measured = [take for take in plan.takes if take.draw is not None]
    typed = [with_unit(fields.get(f"reading-{place}", ""), "mL") for place in range(1, len(measured) + 1)]
    if any(typed):
        readings, how = typed, "typed"
    else:
        readings, how = [ml(take.draw.volume) for take in measured if take.draw is not None], "on the line"
    weight = with_unit(fields.get("weight", ""), "g")
    folded = silences.of_sheet(made, plan)
    with transaction.atomic():
        found = preparing.drawn(made, readings, by=request.user, version=version, weight=weight, how=how, key=key)
        if not found:
            silences.answer_silenced(made, folded)
    return found


def with_unit(text: str, unit: str) -> str:
    """A bare number with the unit that the box names; anything else as it came."""
    bare = text.strip()
    return f"{bare} {unit}" if bare and not any(sign.isalpha() for sign in bare) else bare


def _ready(made: Preparation, plan: Plan) -> None:
    """Refused while a caution is not answered, or a label check before drawing is open."""
    faults = [
        Fault(field="caution", rule=one.says, came="no answer", accepted="an answer, once")
        for one in silences.of_sheet(made, plan).open
    ]
    check = checklist.next_check(checklist.checklist(made, plan), drawn=False)
    if check is not None:
        wanted = "; ".join(checklist.name_of(one) for one in check.wanted)
        accepted = f"scan {wanted}, or type its lot"
        faults.append(Fault(field="label check", rule=check.step.says.rstrip("."), came="no scan", accepted=accepted))
    if faults:
        raise Refused(faults)


def _small(request: HttpRequest, made: Preparation, do: str) -> HttpResponse:
    """One step ticked or taken back, one label checked, one caution answered: each press saves."""
    form, number = sent(request), _number(request.POST.get("step", ""))
    if do == "answer":
        said = request.POST.get("said") or request.POST.get("words", "")
        plan = plan_of(made)
        mark = request.POST.get("caution", "")
        outcome = act(lambda: cautions.answer(made, plan, mark, said, by=request.user, key=form.key), key=form.key)
        back = "#cautions"
    elif do == "check":
        outcome, back = act(lambda: check_label(made, request, form.key), key=form.key), ""
    else:
        outcome = act(
            lambda: checklist.tick(made, number, by=request.user, done=do == "tick", key=form.key), key=form.key
        )
        back = "#steps" if do == "tick" else f"?step={number}#steps"
    if not outcome.done:
        return _page(request, made, outcome)
    if do == "check":
        made.refresh_from_db()
        return go(request, _after(made) if made.state == "drawn" else address(made, "draw"), outcome)
    return go(request, address(made, "draw") + ("" if outcome.before is not None else back), outcome)


def check_label(made: Preparation, request: HttpRequest, key: str) -> None:
    """A scan or a typed lot answers the label check that comes next. Refused for anything that is not in hand here."""
    found: Heard = hear(request.POST.get("scan", ""), made.order.site)
    if found.what is not What.CONTAINERS and found.what is not What.ABSENT:
        rule = f"this is {found.what.value}; here the container in your hand is checked"
        raise Refused(
            [Fault(field="label check", rule=rule, came=found.came, accepted="the container's code, or its lot")]
        )
    steps = checklist.checklist(made, plan_of(made))
    due = checklist.next_check(steps, drawn=made.state != "planned")
    seen = (*found.containers, *found.gone)
    kinds = set() if found.exact else {checklist.kind_of(one) for one in seen}
    row = next((one for one in checklist.rows_of(made) if checklist.kind_of(one) in kinds), seen[0] if seen else None)
    if row is None:
        raise Refused(
            [Fault(field="label check", rule=found.says.rstrip("."), came=found.came, accepted="the container in hand")]
        )
    if due is None:
        raise Refused(
            [Fault(field="label check", rule="no label check is open now", came=found.came, accepted="the next step")]
        )
    of = request.POST.get("of", "")
    if of and of != str(due.step.number):
        rule = "the check of this page is done, in another tab or by another person"
        raise Refused([Fault(field="label check", rule=rule, came=found.came, accepted=f"a scan for: {due.step.says}")])
    checklist.scanned(made, row, due.step.number, by=request.user, key=key)


def _number(text: str) -> int:
    return int(text) if text.isascii() and text.isdecimal() and len(text) < 5 else 0


def _page(request: HttpRequest, made: Preparation, outcome: Outcome | None = None) -> HttpResponse:
    if not made.chosen:
        button = Button(words="Take a container", to=address(made, "in-hand"))
        return shown(request, made, "draw", {"waits": True, "button": button}, outcome=outcome)
    plan, book = plan_of(made), load()
    stops = _stops(made)
    known, folded = cautions.answered(made), silences.of_sheet(made, plan)
    asked = tuple(_asked(one, made, plan) for one in folded.open) if made.state == "planned" else ()
    steps = stepping(made, plan, request.GET.get("step", ""))
    mine = mine_to_make(request, made)
    context = {
        "plan": plan,
        "mine": mine,
        "stops": stops,
        "draw_ups": plan_words.draw_ups(plan) if not stops else (),
        "found": plan_words.findings([one for one in plan.findings if one.level is Level.NOTE], book),
        "second_wanted": plan.second_reader,
        "asked": asked,
        "silenced": folded.silenced if made.state == "planned" else (),
        "answered": known,
        "stepping": steps,
        "boxes": _boxes(plan) if made.state == "planned" else (),
        "diluent": plan_words.diluent(plan),
        "diluent_error": plan_words.diluent_error(plan),
        "cup_figure": plan_words.cup(plan),
        "readings": _readings(made, plan),
        "button": _button(made, stops, asked, steps, plan) if mine else None,
    }
    return shown(request, made, "draw", context, outcome=outcome, plan=plan)


def _asked(found: Finding, made: Preparation, plan: Plan) -> Asked:
    source = source_words(found.origin, load())
    drugs = {take.in_hand.presentation.id for take in plan.takes}
    silence = ""
    if len(drugs) == 1 and may_be_silenced(found.rule):
        told = {"rule": found.rule, "presentation": drugs.pop(), "back": address(made, "draw")}
        silence = f"{reverse('silence')}?{urlencode(told)}"
    return Asked(
        mark=cautions.mark_of(found),
        says=found.says,
        do=found.do,
        source=source,
        reasons=cautions.reasons(found),
        silence=silence,
    )


def _stops(made: Preparation) -> tuple[Stop, ...]:
    """What holds it back now: the sheet itself, or a container that ran out of date or was taken meanwhile."""
    found = list(held(made))
    if made.state == "planned":
        live = plan_of(made, live=True)
        found += [stop_of(one) for one in live.findings if one.level is Level.STOP]
        gone = [one for one in checklist.rows_of(made) if one.state not in DRAWABLE]
        for one in gone:
            says = f"{checklist.name_of(one)} is {one.state} meanwhile."
            found.append(Stop(says=says, do="Choose another container.", source="the shelf, now."))
        if live.status is not Status.READY and not found:
            do = "Choose the containers again."
            found.append(Stop(says="The plan does not hold any more.", do=do, source="the plan, made anew now."))
    return tuple(dict.fromkeys(found))


def _boxes(plan: Plan) -> tuple[tuple[str, str], ...]:
    """A box for each measured draw: its name and what it asks."""
    measured = [take for take in plan.takes if take.draw is not None]
    return tuple(
        (f"reading-{place}", f"{take.in_hand.name}: read on the {take.draw.instrument.name}")
        for place, take in enumerate(measured, start=1)
        if take.draw is not None
    )


def _readings(made: Preparation, plan: Plan) -> tuple[str, ...]:
    """What was really read, in words."""
    names = [take.in_hand.name for take in plan.takes if take.draw is not None]
    return tuple(f"{ml(Fraction(read))} of {name}" for read, name in zip(made.readings, names, strict=False))


def _button(
    made: Preparation, stops: tuple[Stop, ...], asked: tuple[Asked, ...], steps: Stepping | None, plan: Plan
) -> Button:
    """The one thing to do next."""
    if made.state not in {"planned", "drawn"}:
        return Button(words="Go on", to=address(made, place_of(made)))
    if stops:
        if made.state == "planned" and not held(made):
            return Button(words="Choose other containers", to=address(made, "in-hand"))
        return Button(words="Break it off", to=address(made, "break-off"))
    if asked:
        words = f"{len(asked)} caution{'s' if len(asked) > 1 else ''} to answer"
        return Button(words=words, to="#cautions")
    if steps is not None and steps.check is not None:
        return Button(words="Check the label: scan it", to="#check")
    if made.state == "drawn":
        if plan.second_reader and made.read_by_id is None:
            return Button(words="To the second reading", to=address(made, "second"))
        return Button(words="Go to the label", to=address(made, "label"))
    measured = any(take.draw is not None for take in plan.takes)
    return Button(words="On the line" if measured else "Emptied into the cup", form="reading-form", value="draw")
