"""In hand: what is taken, by scan or by a press, with the plan that it gives; "Use these" keeps it."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Any

from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_http_methods

from drawndose.bench.draws import ml
from drawndose.bench.findings import Finding, Level
from drawndose.bench.plans import Plan, Status
from drawndose.department.ledger.append import now
from drawndose.department.pages.acting import Outcome, act, sent
from drawndose.department.pages.heard import Heard, What, hear
from drawndose.department.pages.sheet.cards import Card, card_of, rows_that_fit
from drawndose.department.pages.sheet.frame import (
    Stop,
    acted,
    address,
    go,
    go_on,
    held,
    mine_to_make,
    on_sheet,
    shown,
    stop_of,
)
from drawndose.department.pages.sheet.tray import ANSWERS, Tray, plan_on, read_tray, rows_on, tray_of
from drawndose.department.people.models import Person
from drawndose.department.people.roles import Right
from drawndose.department.training import before_preparing
from drawndose.department.web.shown import findings
from drawndose.department.work import preparing
from drawndose.department.work.checklist import checklist, kind_of, scanned
from drawndose.department.work.known_codes import remember
from drawndose.department.work.models import Container, Preparation
from drawndose.department.work.orders import reading_of
from drawndose.department.work.places import local
from drawndose.department.work.planning import plan_of
from drawndose.quantities import Fault, Refused, gather, show
from drawndose.reference import load

CHANGEABLE = {"begun", "planned"}


@require_http_methods(["GET", "HEAD", "POST"])
@on_sheet(Right.PREPARE)
def in_hand(request: HttpRequest, made: Preparation) -> HttpResponse:
    """The tray. A scan, or what a product number means, leads back here with the tray changed; taking it leads on."""
    tray = read_tray(request.POST if request.method == "POST" else request.GET)
    if request.method != "POST":
        return _page(request, made, tray if "t" in request.GET else tray_of(made))
    if not mine_to_make(request, made) or made.state not in CHANGEABLE:
        return _page(request, made, tray_of(made), Outcome(done=False, faults=(_not_now(made),)))
    if "use" in request.POST:
        outcome = acted(request, made, lambda form: _use(made, tray, request.user, form.version, form.key))
        return go_on(request, made, outcome, "in-hand") if outcome.done else _page(request, made, tray, outcome)
    return _scan(request, made, tray)


def _not_now(made: Preparation) -> Fault:
    accepted = f"{made.by.name}, before anything is drawn"
    return Fault(
        field="sheet",
        rule=f"it is {made.state}, and {made.by.name} prepares it",
        came="another container",
        accepted=accepted,
    )


def _scan(request: HttpRequest, made: Preparation, tray: Tray) -> HttpResponse:
    """A scanned or typed container goes on to the tray; a product number that is not known is asked, and remembered."""
    form = sent(request)
    if "product" in request.POST:
        presentation, _, pack = request.POST["product"].partition("|")
        gtin = request.POST.get("gtin", "")
        outcome = act(lambda: remember(gtin, presentation, pack, by=request.user, key=form.key), key=form.key)
        if not outcome.done:
            return _page(request, made, tray, outcome)
    heard = act(lambda: hear(request.POST.get("scan", ""), made.order.site))
    if not heard.done:
        return _page(request, made, tray, heard)
    found: Heard = heard.value
    if found.what is What.CONTAINERS:
        row = _pick(found.containers, tray, made)
        if row is not None:
            return go(request, f"{address(made, 'in-hand')}?t=1&{tray.put(row, scanned=True).query()}")
    return _page(request, made, tray, _told(found), found)


def _pick(containers: Iterable[Container], tray: Tray, made: Preparation) -> Container | None:
    """Which of several alike: this person's own, then one that is open, then the first to expire; one not yet on the tray."""
    mine = made.order.patient_id
    left = [one for one in containers if one.pk not in tray.containers]
    return min(left, key=lambda one: (one.owner_id != mine, one.opened_at is None, one.expiry, one.pk), default=None)


def _told(found: Heard) -> Outcome:
    """Why a scan puts nothing on the tray."""
    if found.what is What.PERSON and found.patient is not None:
        rule = f"this is the number of {found.patient.name}"
    elif found.what is What.CONTAINERS:
        rule = "it lies here already"
    elif found.what is What.SHEET:
        rule = "this is the label of a preparation"
    else:
        rule = found.says.rstrip(".")
    accepted = "the container that you take, or its lot as printed"
    return Outcome(done=False, faults=(Fault(field="scan", rule=rule, came=found.came, accepted=accepted),))


def _use(made: Preparation, tray: Tray, by: Person, version: int, key: str) -> None:
    """Take what lies there: the plan is kept, and a scan that brought a container is its first label check."""
    rows = rows_on(tray, made)
    with transaction.atomic():
        found = preparing.choose(
            made,
            rows,
            tray.instruments(),
            tray.cup,
            by=by,
            version=version,
            accept=tray.line,
            answers=tray.answers,
            key=key,
        )
        if found.status is not Status.READY:
            rule = "the plan is not ready"
            raise Refused([Fault(field="plan", rule=rule, came=found.status.value, accepted="what this page asks for")])
        gather(before_preparing.faults(by, before_preparing.kinds_of(found), _today(made)))
        for row in rows:
            if row.pk in tray.scanned:
                _first_check(made, row, by)


def _today(made: Preparation) -> date:
    return local(made.order.site, now()).date()


def _first_check(made: Preparation, row: Container, by: Person) -> None:
    """A container that a scan brought: its label was looked at, once."""
    for one in checklist(made, plan_of(made)):
        if (
            one.check
            and one.step.says.lower().startswith("first")
            and kind_of(row) in {kind_of(other) for other in one.wanted}
        ):
            scanned(made, row, one.step.number, by=by)


def _page(
    request: HttpRequest, made: Preparation, tray: Tray, outcome: Outcome | None = None, heard: Heard | None = None
) -> HttpResponse:
    rows = rows_on(tray, made) if made.state in CHANGEABLE else list(_chosen(made))
    cards = tuple(card_of(row, made.order.patient, scanned=row.pk in tray.scanned) for row in rows)
    planned = act(lambda: plan_on(tray, made) if made.state in CHANGEABLE else plan_of(made))
    plan: Plan | None = planned.value if planned.done else None
    faults = (*(outcome.faults if outcome is not None else ()), *planned.faults)
    open_to_me = mine_to_make(request, made) and made.state in CHANGEABLE
    context = {
        "tray": tray,
        "cards": [(one, tray.less(one.row.pk).query()) for one in cards],
        "mine": open_to_me,
        "plan": plan,
        **_plan_parts(plan, cards, made, tray),
        "shelf_rows": [
            (one, tray.put(one.first, scanned=False).query()) for one in rows_that_fit(made, set(tray.containers))
        ]
        if open_to_me
        else [],
        "cups": [(cup, cup.id == tray.cup, tray.query(cup=cup.id)) for cup in load().cups],
        "asked_scans": heard.readings if heard is not None else (),
        "unknown": _products(made) if heard is not None and heard.what is What.PRODUCT else (),
        "heard": heard,
        "not_signed_off": before_preparing.missing(request.user, before_preparing.kinds_of(plan), _today(made))
        if plan is not None and open_to_me
        else (),
        "same": made.state == "planned" and tray == _without_scans(tray_of(made), tray),
    }
    shown_outcome = Outcome(done=False, faults=faults, moved=bool(outcome and outcome.moved)) if faults else outcome
    return shown(request, made, "in-hand", context, outcome=shown_outcome)


def _chosen(made: Preparation) -> Iterable[Container]:
    pks = [one["id"] for one in made.chosen.get("containers", [])]
    return Container.objects.filter(pk__in=pks).select_related("owner", "site").order_by("pk")


def _without_scans(kept: Tray, tray: Tray) -> Tray:
    """What was taken, with the scans of the tray beside it: scans do not make it another one."""
    return Tray(
        **{name: getattr(kept, name) for name in kept.__dataclass_fields__ if name != "scanned"}, scanned=tray.scanned
    )


def _plan_parts(plan: Plan | None, cards: tuple[Card, ...], made: Preparation, tray: Tray) -> dict[str, Any]:
    """What the plan says of this tray: stops first, what is still missing, questions with their answers as links, instruments."""
    book, found = load(), plan.findings if plan is not None else ()
    has_drug = any(not book.presentation(card.row.presentation).diluent for card in cards)
    missing = [one for one in found if one.rule == "fill-cannot-be-made" and " is needed" in one.says]
    against = [one for card in cards for one in card.stops] if made.state in CHANGEABLE else []
    stops = [one for one in found if one.level is Level.STOP and one not in missing and has_drug]
    ready = plan is not None and plan.status is Status.READY
    nothing = plan is not None and plan.status is Status.STOPPED and not stops and not missing
    return {
        "ready": ready and not against,
        "has_drug": has_drug,
        "stops": (*held(made), *_once([*against, *stops])),
        "put_back": next((tray.less(card.row.pk).query() for card in cards if card.stops), ""),
        "missing": [one.says for one in missing if has_drug],
        "short": [(way.what, way.why) for way in plan.not_taken][:3]
        if plan is not None and nothing and has_drug
        else [],
        "found": findings([one for one in found if one.level is not Level.STOP] if ready else (), book),
        "questions": _questions(plan, tray) if plan is not None and has_drug else [],
        "choices": _lines(plan, tray) if plan is not None else [],
        "instruments": _instruments(plan, tray) if plan is not None and ready else [],
    }


def _once(found: Iterable[Finding]) -> list[Stop]:
    """Each stop once, whoever found it."""
    return [stop_of(one) for one in {(one.rule, one.says): one for one in found}.values()]


def _questions(plan: Plan, tray: Tray) -> list[tuple[str, list[tuple[str, str]]]]:
    """What the plan asks and waits for: each option with the tray that it leads to; none where the order has to be changed."""
    asked = []
    for question in plan.questions:
        if not question.blocking:
            continue
        options = question.options if question.field in ANSWERS else ()
        links = [(one, tray.query(answers={**tray.answers, question.field: one})) for one in options]
        asked.append((question.asks, links))
    return asked


def _lines(plan: Plan, tray: Tray) -> list[dict[str, Any]]:
    """A volume between two lines: what each line would give, and the tray that it leads to."""
    return [
        {
            "asked": choice.asked,
            "instrument": choice.instrument.name,
            "container": choice.container,
            "lines": [
                (show(line), given, change, tray.query(line=f"{show(line)}@{choice.key}"))
                for line, given, change in choice.lines
            ],
            "without": tray.query(without=(*tray.without, choice.instrument.id)),
        }
        for choice in plan.choices
    ]


def _instruments(plan: Plan, tray: Tray) -> list[tuple[str, str, str]]:
    """Each instrument that the plan takes: what for, and the tray without it."""
    found = []
    for take in plan.takes:
        if take.draw is not None:
            found.append((take.draw.instrument, f"measures {ml(take.draw.volume)} of {take.in_hand.name}"))
    if plan.fill is not None and plan.fill.drawn is not None:
        found.append((plan.fill.drawn.instrument, f"measures {ml(plan.fill.drawn.volume)} of {plan.fill.diluent}"))
    return [(one.name, why, tray.query(without=(*tray.without, one.id), line="")) for one, why in found]


def _products(made: Preparation) -> list[tuple[str, str]]:
    """What an unknown product number may be: every product and size, those of this order first."""
    drugs = {line.drug.id for line in reading_of(made.order.text).lines}
    every = [
        (not drugs & {one.drug, *one.also_drugs}, not one.diluent, one.name, f"{one.id}|{show(size)}", show(size))
        for one in load().presentations
        for pack in one.packs
        if (size := pack.volume or pack.amount) is not None
    ]
    return [(value, f"{name}, {size}") for _, _, name, value, size in sorted(every)]
