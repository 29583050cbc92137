"""What every page of a sheet shares: which sheet, where it has come to, what holds it back, the strip, drafts, and going on.

A view is `@on_sheet(Right...)` and gets the preparation. It draws with `shown`, acts with `acted`, and goes on with `go`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import wraps
from typing import Any

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse

from drawndose.bench.findings import Finding
from drawndose.bench.moments import told
from drawndose.bench.plans import Plan
from drawndose.department.ledger.append import now
from drawndose.department.ledger.models import Event
from drawndose.department.pages.access import allowed
from drawndose.department.pages.acting import Outcome, Sent, act, new_key, sent
from drawndose.department.pages.links import GOES_ON
from drawndose.department.pages.page import page
from drawndose.department.pages.sheet.strip import strip_of
from drawndose.department.people.roles import Right
from drawndose.department.web.shown import source_words
from drawndose.department.work import drafts
from drawndose.department.work.change import Moved
from drawndose.department.work.models import Order, Preparation
from drawndose.department.work.places import local
from drawndose.department.work.preparing import judged_now
from drawndose.quantities import Fault, gather
from drawndose.reference import load

PLACES = (("order", "Order"), ("in-hand", "In hand"), ("draw", "Draw"), ("label", "Label"), ("give", "Give"))
REACHED = {"begun": 1, "planned": 2, "drawn": 3, "labelled": 4}
"""How many of the places are behind a preparation of this state; every other state has all behind it."""
UNDONE = ("begun", "planned", "drawn", "labelled")
"""The states in which nothing was given or decided yet: a preparation can be held back, and broken off."""

View = Callable[..., HttpResponse]


def on_sheet(*rights: Right) -> Callable[[View], View]:
    """Only for persons with one of the rights, on a sheet that there is; the view gets the preparation in place of its number."""

    def guard(view: View) -> View:
        @wraps(view)
        def guarded(request: HttpRequest, number: int, *args: Any, **more: Any) -> HttpResponse:
            rows = Preparation.objects.select_related(
                "order__patient", "order__site", "dose", "by", "read_by", "given_by", "witness"
            )
            made = rows.filter(pk=number).first()
            if made is None:
                context = {"title": "No such sheet, or not yours to see", "words": f"There is no sheet {number} here."}
                return page(request, "department/told.html", context, status=404)
            return view(request, made, *args, **more)

        return allowed(*rights)(guarded)

    return guard


def address(made: Preparation, place: str) -> str:
    """The address of a place of a sheet."""
    return reverse(f"sheet-{place}", args=[made.pk])


def place_of(made: Preparation) -> str:
    """Where the work on a sheet goes on."""
    return GOES_ON.get(made.state, "close")


def shown(
    request: HttpRequest,
    made: Preparation,
    place: str,
    context: dict[str, Any],
    *,
    outcome: Outcome | None = None,
    plan: Plan | None = None,
    status: int | None = None,
) -> HttpResponse:
    """A place of a sheet. After an act that was refused: what was refused first, and everything typed kept."""
    kept = drafts.kept(request.user, draft_name(made, place))
    back = request.GET.get("kept") == "1"
    shared = {
        "made": made,
        "row": made,
        "key": new_key(),
        "place": place,
        "own_address": address(made, place),
        "places_of_sheet": _places(made),
        "strip": strip_of(made, plan),
        "clock": clock(made),
        "outcome": outcome,
        "again": _again(request),
        "draft": draft_name(made, place),
        "kept_at": _clock_time(made, kept.saved_at) if kept is not None and not back and outcome is None else "",
        "typed": typed_in(request, made, place),
        "saved": _saved(made),
        "can_break_off": made.state in UNDONE and request.user.may(Right.PREPARE),
        "site": made.order.site,
    }
    code = status or (outcome.status if outcome is not None else 200)
    template = f"department/sheet/{place.replace('-', '_')}.html"
    return page(request, template, shared | context, status=code)


def typed_in(request: HttpRequest, made: Preparation, place: str) -> dict[str, str]:
    """What stands in the boxes of a place: what was just sent, or what was kept and is asked back."""
    if request.method == "POST":
        return sent(request).fields
    kept = drafts.kept(request.user, draft_name(made, place)) if request.GET.get("kept") == "1" else None
    return dict(kept.content) if kept is not None else {}


def draft_name(made: Preparation, place: str) -> str:
    """What the draft of a place is called."""
    return f"sheet-{made.pk}-{place}"


def acted(request: HttpRequest, made: Preparation, do: Callable[[Sent], Any], *, on_held: bool = False) -> Outcome:
    """Carry a form out on a sheet: once, only on what the person saw, and (unless on_held) not where something holds it back."""
    form = sent(request)

    def carry_out() -> Any:
        if form.version != made.version:
            raise Moved(made)
        if not on_held:
            gather([Fault(field="sheet", rule=one.says, came="this sheet", accepted=one.do) for one in held(made)])
        return do(form)

    return act(carry_out, key=form.key)


def go(request: HttpRequest, to: str, outcome: Outcome | None = None, draft: str = "") -> HttpResponse:
    """On to another page. A page with scripts is told where to, and lets go of what it kept."""
    if draft:
        drafts.let_go(request.user, draft)
    if outcome is not None and outcome.before is not None:
        path, _, place = to.partition("#")
        to = f"{path}{'&' if '?' in path else '?'}again={outcome.before.number}{'#' if place else ''}{place}"
    if getattr(request, "htmx", False):
        return HttpResponse(headers={"HX-Redirect": to})
    return HttpResponseRedirect(to)


def go_on(request: HttpRequest, made: Preparation, outcome: Outcome, place: str) -> HttpResponse:
    """To where the work goes on, after an act at a place."""
    made.refresh_from_db()
    return go(request, address(made, place_of(made)), outcome, draft_name(made, place))


def _again(request: HttpRequest) -> str:
    """What the same form had done before, in a sentence: nothing was done again."""
    number = request.GET.get("again", "")
    event = Event.objects.filter(pk=int(number)).first() if number.isascii() and number.isdecimal() else None
    if event is None or event.subject_kind not in {"preparation", "steps"}:
        return ""
    made = Preparation.objects.filter(pk=int(event.subject)).select_related("order__site").first()
    at = _clock_time(made, event.at) if made is not None else f"{event.at:%H:%M} UTC"
    what = event.name.partition(".")[2].replace("_", " ")
    return f"This form was carried out already at {at} by {event.actor} ({what}). Nothing was done again."


def _saved(made: Preparation) -> str:
    """When something of this sheet was last kept."""
    events = Event.objects.filter(subject_kind__in=["preparation", "steps"], subject=str(made.pk))
    last = events.order_by("-number").first()
    return _clock_time(made, last.at) if last is not None else ""


def _clock_time(made: Preparation, moment: Any) -> str:
    return f"{local(made.order.site, moment):%H:%M}"


def _places(made: Preparation) -> list[dict[str, Any]]:
    """The five places, each with what it is: done, here the work goes on, or not yet."""
    behind = REACHED.get(made.state, len(PLACES))
    found = []
    for at, (name, word) in enumerate(PLACES):
        state = "done" if at < behind else "now" if at == behind else "not yet"
        found.append({"name": name, "word": word, "state": state, "address": address(made, name)})
    return found


def clock(made: Preparation) -> dict[str, str]:
    """The limit clock: until when giving must have started; empty where that is over or not known."""
    if made.limit_at is None or made.state not in {"planned", "drawn", "labelled"}:
        return {}
    until = local(made.order.site, made.limit_at)
    left = int((made.limit_at - now()).total_seconds() // 60)
    words = f"in {left} min" if left >= 0 else f"passed {-left} min ago"
    today = until.date() == local(made.order.site, now()).date()
    return {
        "until": f"{until:%H:%M}" if today else told(until),
        "at": made.limit_at.isoformat(),
        "now": now().isoformat(),
        "words": words,
    }


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """What holds a sheet back: what is wrong, what to do, where it is from."""

    says: str
    do: str
    source: str


def stop_of(found: Finding) -> Stop:
    """A finding of the engine as it is shown."""
    return Stop(says=found.says, do=found.do, source=source_words(found.origin, load()))


def held(made: Preparation) -> tuple[Stop, ...]:
    """What holds a sheet back whatever its place: its order does not stand any more, or the limit has passed."""
    if made.state not in UNDONE:
        return ()
    found = []
    order = Order.objects.select_related("site").get(pk=made.order_id)
    if order.state != "complete":
        do = "Break this off, and begin from the order that stands."
        source = f"the order of {told(local(order.site, order.ordered_at))}."
        found.append(Stop(says=f"The order of this sheet is {order.state}.", do=do, source=source))
    if made.state != "begun":
        found += [stop_of(one) for one in judged_now(made) if one.rule == "limit-time-passed"]
    return tuple(found)


def mine_to_make(request: HttpRequest, made: Preparation) -> bool:
    """True for the one who began it: who prepares a dose prepares all of it."""
    return bool(made.by_id == request.user.pk)
