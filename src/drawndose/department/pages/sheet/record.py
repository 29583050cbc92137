"""The record: one column out of the ledger, who and when for each step, and notes beside it. Nothing that stands there is changed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_http_methods

from drawndose.bench.draws import ml
from drawndose.bench.moments import told
from drawndose.department.ledger.models import Event
from drawndose.department.pages.acting import Outcome
from drawndose.department.pages.misread import misread
from drawndose.department.pages.own_codes import code_of
from drawndose.department.pages.sheet.draw import Button
from drawndose.department.pages.sheet.frame import acted, address, draft_name, go, on_sheet, place_of, shown
from drawndose.department.pages.sheet.label import SHOWN, lines_of
from drawndose.department.pages.sheet.new import read_context
from drawndose.department.people.models import Person
from drawndose.department.people.roles import Right
from drawndose.department.work import giving
from drawndose.department.work.change import volume_words
from drawndose.department.work.checklist import name_of
from drawndose.department.work.models import Container, Preparation
from drawndose.department.work.observing import words
from drawndose.department.work.places import local


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One thing that happened: when, who, what in words, its details, and whether it is a note, and what in it has been misread."""

    at: str
    who: str
    what: str
    details: tuple[str, ...] = ()
    note: bool = False
    misread: tuple[str, ...] = ()


@require_http_methods(["GET", "HEAD", "POST"])
@on_sheet(Right.SEE_WORK)
def record(request: HttpRequest, made: Preparation) -> HttpResponse:
    """The record of a sheet, closed or not yet. POST: a dated note beside a closed one."""
    outcome = None
    if request.method == "POST":
        outcome = acted(
            request,
            made,
            lambda form: giving.note(
                made, form.fields.get("note", ""), by=request.user, version=form.version, key=form.key
            ),
        )
        if outcome.done:
            return go(request, f"{address(made, 'record')}#notes", outcome, draft_name(made, "record"))
    return _page(request, made, outcome)


def _page(request: HttpRequest, made: Preparation, outcome: Outcome | None) -> HttpResponse:
    events = Event.objects.filter(subject_kind__in=["preparation", "steps"], subject=str(made.pk)).order_by("number")
    names = dict(Person.objects.values_list("username", "name"))
    lines = [_line(one, made, names) for one in events]
    open_ = made.state != "closed"
    context = {
        **read_context(made.order, made.dose),
        "lines": [one for one in lines if not one.note],
        "notes": [one for one in lines if one.note],
        "closed": not open_,
        "go_on": Button(words="Go on with it", to=address(made, place_of(made))),
        "label_lines": lines_of(made) if made.state in SHOWN and made.label else (),
        "code": code_of(made),
        "sums": _sums(made),
        "containers": [
            (name_of(one.container), volume_words(one.volume_nl)) for one in made.draw_set.select_related("container")
        ],
    }
    return shown(request, made, "record", context, outcome=outcome)


def _sums(made: Preparation) -> tuple[tuple[str, str], ...]:
    """Prepared, and what became of it."""
    if made.given_nl is None or made.total_nl is None or made.wasted_nl is None or made.left_nl is None:
        return ()
    prepared = made.total_nl if made.draw_set.exists() else 0
    amounts = (("Prepared", prepared), ("Given", made.given_nl), ("Wasted", made.wasted_nl), ("Left", made.left_nl))
    return tuple((name, volume_words(nl)) for name, nl in amounts)


def _line(event: Event, made: Preparation, names: dict[str, str]) -> Line:
    """One event in words."""
    told_of = SAID.get(event.name)
    what, details = (
        told_of(event, made) if told_of is not None else (event.name.partition(".")[2].replace("_", " "), ())
    )
    at, who = told(local(made.order.site, event.at)), names.get(event.actor, event.actor)
    noted = event.name == "preparation.noted"
    return Line(at=at, who=who, what=what, details=details, note=noted, misread=misread(event))


Said = tuple[str, tuple[str, ...]]


def _begun(event: Event, made: Preparation) -> Said:
    return "Began; the reading of the order was called right", ()


def _planned(event: Event, made: Preparation) -> Said:
    chosen = event.content.get("chosen", {})
    rows = Container.objects.filter(pk__in=[one["id"] for one in chosen.get("containers", [])]).order_by("pk")
    answers = tuple(f"answered: {said}" for said in chosen.get("answers", {}).values())
    line = (f"line taken: {chosen['accept'].partition('@')[0]}",) if chosen.get("accept") else ()
    return "Took what it is made of", (*(name_of(one) for one in rows), *answers, *line)


def _drawn(event: Event, made: Preparation) -> Said:
    read = tuple(ml(Fraction(one)) for one in event.content.get("readings", []))
    how = {"typed": "typed", "on the line": "the plan's line, by a press"}.get(event.content.get("how", ""), "")
    weight = (f"weighed {event.content['weight']}",) if event.content.get("weight") else ()
    return "Drew it", (*(f"read {one}{f' ({how})' if how else ''}" for one in read), *weight)


def _read(event: Event, made: Preparation) -> Said:
    read = tuple(f"read {ml(Fraction(one))}" for one in event.content.get("readings", []))
    return (
        f"Read it as the second person: {'both agree' if event.content.get('agrees') else 'the readings differ'}",
        read,
    )


def _labelled(event: Event, made: Preparation) -> Said:
    return "Labelled it", ()


def _given(event: Event, made: Preparation) -> Said:
    seen = event.content.get("before", {})
    started = (f"started {told(local(made.order.site, made.given_at))}",) if made.given_at is not None else ()
    rights = event.content.get("rights", [])
    more = (f"confirmed: {', '.join(rights)}",) if rights else ()
    return "Gave it: two identifiers matched", (*started, f"before: {words(seen)}", *more)


def _not_given(event: Event, made: Preparation) -> Said:
    return "Did not give it", (f"why: {event.reason}", f"told: {event.content.get('told', '')}")


def _closed(event: Event, made: Preparation) -> Said:
    content = event.content
    parts = [f"{name} {volume_words(int(content[f'{name}_nl']))}" for name in ("prepared", "given", "wasted", "left")]
    details = [", ".join(parts)]
    if content.get("outcome"):
        details += [content["outcome"], f"after: {words(content.get('after', {}))}"]
    details += [f"ended {told(local(made.order.site, made.ended_at))}"] if made.ended_at is not None else []
    details += [f"waste: {content['stream']}"] if content.get("stream") else []
    details += [f"witness: {made.witness.name}"] if made.witness is not None else []
    details += [f"difference: {event.reason}"] if event.reason else []
    return "Closed it", tuple(details)


def _with_reason(what: str) -> Callable[[Event, Preparation], Said]:
    return lambda event, made: (what, (f"why: {event.reason}",) if event.reason else ())


def _step(what: str) -> Callable[[Event, Preparation], Said]:
    return lambda event, made: (f"{what} {event.content['step']}", (event.content["says"],))


def _checked(event: Event, made: Preparation) -> Said:
    row: Any = Container.objects.filter(pk=event.content.get("container")).first()
    return f"Checked a label at step {event.content['step']}", (name_of(row),) if row is not None else ()


def _answered(event: Event, made: Preparation) -> Said:
    return "Answered a caution", (event.content["says"], f"answer: {event.reason}")


def _reacted(event: Event, made: Preparation) -> Said:
    return "Saw a reaction", (event.content["seen"], *event.content["of"])


def _noted(event: Event, made: Preparation) -> Said:
    return event.content["note"], ()


SAID: dict[str, Callable[[Event, Preparation], Said]] = {
    "preparation.begun": _begun,
    "preparation.planned": _planned,
    "preparation.drawn": _drawn,
    "preparation.read": _read,
    "preparation.labelled": _labelled,
    "preparation.given": _given,
    "preparation.not_given": _not_given,
    "preparation.taken_back": _with_reason("Took it back: pressed by mistake"),
    "preparation.broken_off": _with_reason("Broke it off"),
    "preparation.closed": _closed,
    "preparation.noted": _noted,
    "step.done": _step("Did step"),
    "step.taken_back": _step("Took back step"),
    "label.checked": _checked,
    "caution.answered": _answered,
    "reaction.seen": _reacted,
}
"""How each event of a sheet is told. A test holds it to the state table."""
