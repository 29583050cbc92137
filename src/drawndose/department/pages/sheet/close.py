"""Close: how it was taken, what was seen after it, and where everything went. Prepared is given, wasted and left, or there is a reason."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_http_methods

from drawndose.bench.leftovers import DRAIN, DRUG_WASTE, stream
from drawndose.bench.moments import told
from drawndose.bench.plans import Plan
from drawndose.department.ledger.append import now
from drawndose.department.ledger.models import Event
from drawndose.department.pages.acting import Outcome, act, sent
from drawndose.department.pages.second import second_part, with_second_person
from drawndose.department.pages.sheet.draw import Button, with_unit
from drawndose.department.pages.sheet.frame import (
    UNDONE,
    acted,
    address,
    draft_name,
    go,
    on_sheet,
    shown,
    stop_of,
    typed_in,
)
from drawndose.department.pages.sheet.give import boxes
from drawndose.department.pages.typed import read_clock
from drawndose.department.people.roles import Right
from drawndose.department.work import giving, preparing
from drawndose.department.work.change import nanolitres, volume_words
from drawndose.department.work.models import Preparation
from drawndose.department.work.observing import SEEN, prompts, read_seen, words
from drawndose.department.work.places import local
from drawndose.department.work.planning import plan_of
from drawndose.quantities import Fault, Gathering, Manner, Refused, gather, read_quantity

CLOSABLE = {"given", "not given", "broken off"}
STREAMS = (DRUG_WASTE, DRAIN, "sharps container", "back to the pharmacy")
PARTS = ("given", "wasted", "left")


@dataclass(frozen=True, slots=True, kw_only=True)
class Ending:
    """What closing says without another word: the amounts in nanolitres, and the words of the filled button."""

    given: int
    wasted: int
    left: int
    words: str


@require_http_methods(["GET", "HEAD", "POST"])
@on_sheet(Right.GIVE, Right.PREPARE)
def close(request: HttpRequest, made: Preparation) -> HttpResponse:
    """The end of a sheet. POST: close it, or take "given" back within seconds."""
    if request.method != "POST":
        return _page(request, made)
    if request.POST.get("do") == "undo":
        outcome = acted(
            request,
            made,
            lambda form: giving.take_back(made, by=request.user, version=form.version, key=form.key),
            on_held=True,
        )
        return go(request, address(made, "give"), outcome) if outcome.done else _page(request, made, outcome)
    asked = _prompted(request, made)
    if asked is not None:
        return _page(request, made, asked)
    outcome = acted(
        request, made, lambda form: _close(request, made, form.fields, form.version, form.key), on_held=True
    )
    if not outcome.done:
        return _page(request, made, outcome)
    return go(request, address(made, "record"), outcome, draft_name(made, "close"))


def _prompted(request: HttpRequest, made: Preparation) -> Outcome | None:
    """Before what was seen is kept, whatever stands beside the settings is shown once: a prompt to look, and no more."""
    seen = act(lambda: _after(sent(request).fields))
    found = prompts(made.observed.get("before", {}), seen.value or {}) if seen.done else ()
    if not found or request.POST.get("prompted") == "yes" or made.state != "given":
        return None
    return Outcome(done=False)


def _after(fields: dict[str, str]) -> dict[str, str]:
    return read_seen({one.name: fields.get(f"after {one.name}", "") for one in SEEN}, "after")


def _close(request: HttpRequest, made: Preparation, fields: dict[str, str], version: int, key: str) -> Any:
    """Everything that was typed is read first, and its faults are told together; the witness signs only where all can be read."""
    gathering = Gathering()
    ended = gathering.take(lambda: _ended(fields, made))
    seen = gathering.take(lambda: _after(fields) if made.state == "given" else {})
    amounts = gathering.take(lambda: _amounts(fields, made))
    gather(gathering.faults)
    assert amounts is not None
    needs = fields.get("second_name") or fields.get("second_secret")
    witness = with_second_person(request, Right.WITNESS) if needs else None
    return giving.close(
        made,
        **amounts,
        by=request.user,
        version=version,
        reason=fields.get("difference", ""),
        witness=witness,
        ended_at=ended,
        observed=seen,
        outcome=_outcome(fields, made),
        reaction=fields.get("reaction", "") if made.state == "given" else "",
        stream=fields.get("stream", "") if amounts["wasted_nl"] else "",
        key=key,
    )


def _amounts(fields: dict[str, str], made: Preparation) -> dict[str, int]:
    """What was typed; with nothing typed, what the filled button says. What was left empty beside another
    counts as nothing. Refused for a part that is no volume, and for a stopped dose without amounts."""
    typed = {part: fields.get(part, "").strip() for part in PARTS}
    if not any(typed.values()):
        ending = ending_of(made)
        if fields.get("stopped why") and made.state == "given":
            rule = "it was stopped: how much was given, wasted and left"
            raise Refused([Fault(field="amounts", rule=rule, came="nothing", accepted="three volumes, 0 among them")])
        return {"given_nl": ending.given, "wasted_nl": ending.wasted, "left_nl": ending.left}
    faults: list[Fault] = []
    found: dict[str, int] = {}
    for part, text in typed.items():
        try:
            quantity = read_quantity(with_unit(text or "0", "mL"), field=part, manner=Manner.READING)
            if quantity.dimension != (("volume", 1),):
                raise Refused([Fault(field=part, rule="a volume is wanted", came=text, accepted="0.5 mL")])
            found[f"{part}_nl"] = nanolitres(quantity, part)
        except Refused as refused:
            faults += refused.faults
    gather(faults)
    return found


def _ended(fields: dict[str, str], made: Preparation) -> datetime | None:
    """When giving ended: now by the tick, or the time that was typed; only of what was given."""
    if made.state != "given":
        return None
    if fields.get("ended"):
        return read_clock(fields["ended"], made.order.site, "ended")
    return now()


def _outcome(fields: dict[str, str], made: Preparation) -> str:
    """Stopped, when a reason for it was typed; else tolerated, as the filled button says."""
    if made.state != "given":
        return ""
    why = fields.get("stopped why", "").strip()
    return f"stopped: {why}" if why else "tolerated"


def ending_of(made: Preparation) -> Ending:
    """What closing means when nothing else is said: given whole, or thrown away whole."""
    total = made.total_nl if made.total_nl is not None and made.draw_set.exists() else 0
    if made.state == "given":
        return Ending(given=total or 0, wasted=0, left=0, words="Close: tolerated, nothing left")
    words_ = f"Close: {volume_words(total)} discarded" if total else "Close: nothing was prepared"
    return Ending(given=0, wasted=total or 0, left=0, words=words_)


def _page(request: HttpRequest, made: Preparation, outcome: Outcome | None = None) -> HttpResponse:
    if made.state not in CLOSABLE:
        return shown(request, made, "close", {"waits": made.state != "closed"}, outcome=outcome)
    plan = plan_of(made) if made.chosen else None
    fields = typed_in(request, made, "close")
    seen = act(lambda: _after(fields))
    found = prompts(made.observed.get("before", {}), seen.value or {}) if seen.done else ()
    stops = tuple(stop_of(one) for one in outcome.findings) if outcome is not None else ()
    ending, site = ending_of(made), made.order.site
    context = {
        "stops": stops,
        "ending": ending,
        "given_at": told(local(site, made.given_at)) if made.given_at is not None else "",
        "before": words(made.observed.get("before", {})),
        "boxes": boxes("after", fields) if made.state == "given" else (),
        "prompts": found,
        "undo": _undo(request, made),
        "prepared": volume_words(made.total_nl) if made.total_nl is not None and made.draw_set.exists() else "",
        "streams": STREAMS,
        "stream": fields.get("stream") or _stream(plan),
        "controlled": _controlled(plan),
        "second": second_part(request, Right.WITNESS),
        "leftovers": plan.leftovers if plan is not None and made.draw_set.exists() else (),
        "amounts_open": bool(ending.wasted or stops) or any(fields.get(part) for part in (*PARTS, "stopped why")),
        "button": Button(words=ending.words, form="close-form", value="close"),
    }
    shown_outcome = Outcome(done=False, faults=outcome.faults, moved=outcome.moved) if outcome is not None else None
    return shown(request, made, "close", context, outcome=shown_outcome)


def _undo(request: HttpRequest, made: Preparation) -> int:
    """Seconds in which "given" or "not given" can still be taken back by this person; 0 where it cannot."""
    if made.state not in {"given", "not given"}:
        return 0
    last = Event.objects.filter(subject_kind="preparation", subject=str(made.pk)).order_by("-number").first()
    if last is None or last.actor != request.user.username:
        return 0
    return max(int((giving.UNDO - (now() - last.at)).total_seconds()), 0)


def _stream(plan: Plan | None) -> str:
    """Where waste of this drug goes."""
    if plan is None or not plan.takes:
        return DRUG_WASTE
    return stream(plan.takes[0].in_hand.presentation.drug, plan.policy)


def _controlled(plan: Plan | None) -> bool:
    return plan is not None and any(take.in_hand.presentation.drug in plan.policy.controlled for take in plan.takes)


@require_http_methods(["GET", "HEAD", "POST"])
@on_sheet(Right.PREPARE)
def break_off(request: HttpRequest, made: Preparation) -> HttpResponse:
    """Stop here, with a reason: the dose is due again. With nothing drawn, the sheet is closed at once."""
    if request.method != "POST":
        return shown(request, made, "break-off", {"open": made.state in UNDONE})
    outcome = acted(
        request, made, lambda form: _break_off(request, made, form.fields, form.version, form.key), on_held=True
    )
    if not outcome.done:
        return shown(request, made, "break-off", {"open": made.state in UNDONE}, outcome=outcome)
    made.refresh_from_db()
    to = address(made, "close" if made.state == "broken off" else "record")
    return go(request, to, outcome, draft_name(made, "break-off"))


def _break_off(request: HttpRequest, made: Preparation, fields: dict[str, str], version: int, key: str) -> None:
    with transaction.atomic():
        preparing.break_off(made, by=request.user, version=version, reason=fields.get("reason", ""), key=key)
        if not made.draw_set.exists():
            giving.close(made, given_nl=0, wasted_nl=0, left_nl=0, by=request.user, version=made.version)
