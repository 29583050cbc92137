"""The board: what is due, being prepared, prepared and waiting, given. Late first; it renews itself."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db import DatabaseError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.template.loader import render_to_string
from django.views.decorators.http import require_safe

from drawndose.department.ledger.append import now
from drawndose.department.ledger.storage import last_event
from drawndose.department.pages.access import allowed
from drawndose.department.pages.idle import left_open
from drawndose.department.pages.links import may_any, sheet_address, there
from drawndose.department.pages.page import page
from drawndose.department.pages.sites import site_of
from drawndose.department.people.models import Person
from drawndose.department.people.roles import Right, rights_of
from drawndose.department.work.board import Board, Part, Row, look
from drawndose.department.work.models import Site
from drawndose.department.work.orders import reading_of
from drawndose.department.work.places import local
from drawndose.quantities import Refused

MARKS = {
    "late": ("triangle-alert", "Late"),
    "waiting": ("clock", "Asked for"),
    "due": ("clock", "Due"),
    "hold": ("info", "On hold"),
    "work": ("syringe", "Preparing"),
    "over": ("octagon-x", "Stop"),
    "ready": ("tag", "Waiting"),
    "open": ("pencil", "To close"),
    "refill": ("droplet", "Fill anew"),
    "given": ("check", "Given"),
    "none": ("info", "Not given"),
}
"""Icon and word of each kind of row: shape and word carry it, colour only helps."""
FRESH_S = 5
"""So many seconds a drawing may be shown again when nothing happened: spans are told in minutes, a board asks every 20 s."""
_DRAWN: dict[tuple[int | None, bool, bool], tuple[tuple[str, int], dict[str, Any]]] = {}
"""The last drawing for each site and set of rights; a process that has none draws it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A row as it is drawn. names: of the drugs in the order's words. go: where it is worked on, with the word to press."""

    row: Row
    icon: str
    word: str
    names: tuple[str, ...]
    go: str
    does: str


@left_open(lambda request: "wall" in request.GET)
@require_safe
@allowed(Right.SEE_WORK)
def board(request: HttpRequest) -> HttpResponse:
    """Now and the next two hours. htmx asks for the parts alone."""
    site, moment = site_of(request), now()
    shared = {"here": "board", "site": site, "sites": Site.objects.count(), "wall": "wall" in request.GET}
    shared |= {"begins": may_any(request.user, Right.PREPARE)}
    clock = _clock(moment, site)
    try:
        context = _drawn(moment, site, request.user)
        status = 200
    except DatabaseError:
        context, status = {"failed": True}, 503
    context |= shared | {"clock": clock, "changed": request.GET.get("told", "") != context.get("told", "")}
    context |= {"self": request.get_full_path(), "live": getattr(request, "htmx", False)}
    if context["live"]:
        return render(request, "department/_board.html", context, status=status)
    return page(request, "department/board.html", context, status=status)


def _drawn(moment: datetime, site: Site | None, person: Person) -> dict[str, Any]:
    """The parts as they are drawn, and what is read out.

    Every change of what a board shows is an event. So while the last event is the same one, whoever has the same rights is
    shown the same few seconds' drawing: many screens that renew themselves ask for one.
    """
    held = rights_of(person.roles())
    who = (site.pk if site is not None else None, Right.PREPARE in held, Right.GIVE in held)
    state = (last_event(), int(moment.timestamp()) // FRESH_S)
    before = _DRAWN.get(who)
    if before is not None and before[0] == state:
        return dict(before[1])
    parts = _parts(look(moment, site), *who[1:]) | {"clock": _clock(moment, site)}
    words = render_to_string("department/_board_parts.html", parts)
    drawn = {"told": parts["told"], "at": parts["at"], "drawn": words}
    _DRAWN[who] = (state, drawn)
    return dict(drawn)


def _clock(moment: datetime, site: Site | None) -> str:
    return f"{local(site, moment):%H:%M}" if site is not None else f"{moment:%H:%M} UTC"


def _parts(seen: Board, prepares: bool, gives: bool) -> dict[str, Any]:
    empty = "Nothing is due in the next 2 h."
    if seen.coming is not None:
        empty = f"Nothing is due in the next 2 h. The next dose: {local(seen.coming.order.site, seen.coming.due_at):%d %b %Y %H:%M}."
    parts = (
        ("due", "Due now and in 2 h", seen.due, empty),
        ("work", "Being prepared", seen.work, "Nobody is preparing."),
        ("ready", "Prepared, waiting", seen.ready, "Nothing waits to be given."),
        ("given", "Given in the last 2 h", seen.given, "Nothing was given in the last 2 h."),
    )
    return {
        "parts": [(name, title, _lines(part, prepares, gives), part.more, words) for name, title, part, words in parts],
        "late": seen.late,
        "refill": seen.refill,
        "over": seen.over,
        "over_part": "ready" if any(row.kind == "over" for row in seen.ready.rows) else "work",
        "told": _told(seen),
        "empty": seen.empty,
        "unread": seen.unread,
        "at": seen.at.isoformat(),
    }


def _told(seen: Board) -> str:
    """What is read out when it changes."""
    found = [f"{seen.over} past the limit"] if seen.over else []
    found += [f"{seen.late} late"] if seen.late else []
    found += [f"{seen.refill} to fill anew"] if seen.refill else []
    return ", ".join(found) or "Nothing is late"


def _lines(part: Part, prepares: bool, gives: bool) -> list[Line]:
    return [_line(row, prepares, gives) for row in part.rows]


def _line(row: Row, prepares: bool, gives: bool) -> Line:
    icon, word = MARKS[row.kind]
    go, does = "", ""
    if row.dose is not None and row.kind in {"late", "due", "waiting"} and prepares:
        go, does = there("sheet-new"), "Prepare"
        go = f"{go}?dose={row.dose.pk}" if go else ""
    elif row.made is not None:
        go, does = sheet_address(row.made), "Give" if row.kind == "ready" and gives else "Open the sheet"
    return Line(row=row, icon=icon, word=word, names=_names(row), go=go, does=does)


def _names(row: Row) -> tuple[str, ...]:
    try:
        return tuple(line.as_written for line in reading_of(row.order.text).lines)
    except Refused:
        return ()
