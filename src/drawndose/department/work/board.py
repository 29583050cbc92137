"""The board: what is late, due within two hours, being prepared, prepared and waiting, and given; bounded, by index alone."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from django.db.models import QuerySet

from drawndose.department.work.expected import Expected, expected
from drawndose.department.work.models import DueDose, Order, Preparation, Site
from drawndose.department.work.orders import top_up
from drawndose.department.work.places import local
from drawndose.department.work.policy import own_nebulizers
from drawndose.reference import Nebulizer

AHEAD = timedelta(hours=2)
BACK = timedelta(hours=2)
MOST = 100
"""Rows of one part; that there are more is said."""
Own = tuple[Nebulizer, ...]
AT_WORK = ("begun", "planned", "drawn")
TO_CLOSE = ("given", "not given", "broken off")


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One line of the board. kind: what it is, for its shape: late, due, waiting, hold, work, ready, over, given, open, refill, none.

    at: the time that counts, by the clock of its site. says: the state in words. expects: how long it runs, as a range of the kind of
    nebulizer, and when its reservoir is filled anew.
    """

    order: Order
    kind: str
    at: str
    says: str
    dose: DueDose | None = None
    made: Preparation | None = None
    who: str = ""
    expects: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One part of the board, its rows in their order. more: not all are shown."""

    rows: tuple[Row, ...]
    more: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Board:
    """Everything at one moment. coming: the next due time when nothing is due now. unread: orders that can no longer be read."""

    at: datetime
    due: Part
    work: Part
    ready: Part
    given: Part
    coming: DueDose | None
    unread: tuple[Order, ...]

    @property
    def late(self) -> int:
        """How many doses are late."""
        return sum(row.kind == "late" for row in self.due.rows)

    @property
    def over(self) -> int:
        """How many preparations are past their limit."""
        return sum(row.kind == "over" for part in (self.work, self.ready) for row in part.rows)

    @property
    def refill(self) -> int:
        """How many reservoirs are to be filled anew now."""
        return sum(row.kind == "refill" for row in self.given.rows)

    @property
    def empty(self) -> bool:
        """True when no part has a row."""
        return not any(part.rows for part in (self.due, self.work, self.ready, self.given))


def look(moment: datetime, site: Site | None = None) -> Board:
    """The board of a site, or of all of them. Due doses that are owed meanwhile are planned first."""
    unread, own = top_up(moment), own_nebulizers()
    due = _due(moment, site)
    coming = None
    if not due.rows:
        coming = _of(site, DueDose.objects.filter(state="due", due_at__gt=moment + AHEAD)).order_by("due_at").first()
    return Board(
        at=moment,
        due=due,
        work=_part(_made(site, AT_WORK).order_by("started_at"), lambda one: _at_work(one, moment, own)),
        ready=_part(_made(site, ("labelled",)).order_by("limit_at"), lambda one: _ready(one, moment, own)),
        given=_given(moment, site, own),
        coming=coming,
        unread=tuple(unread),
    )


def _of(site: Site | None, found: QuerySet) -> QuerySet:
    """Only this site's, with what a row shows."""
    mine = found.filter(order__site=site) if site is not None else found
    return mine.select_related("order__patient", "order__site")


def _made(site: Site | None, states: Iterable[str]) -> QuerySet:
    return _of(site, Preparation.objects.filter(state__in=states)).select_related("dose", "by", "given_by")


def _part(found: QuerySet, row: Callable[[Any], Row]) -> Part:
    rows = [row(one) for one in found[: MOST + 1]]
    return Part(rows=tuple(rows[:MOST]), more=len(rows) > MOST)


def _due(moment: datetime, site: Site | None) -> Part:
    """Late first, the latest of all at the top; then by due time; what is on hold at the end."""
    found = _of(site, DueDose.objects.filter(state="due", due_at__lte=moment + AHEAD)).order_by("due_at")
    part = _part(found, lambda dose: _due_row(dose, moment))
    places = {"late": 0, "waiting": 1, "due": 1, "hold": 2}
    return Part(rows=tuple(sorted(part.rows, key=lambda row: places[row.kind])), more=part.more)


def _due_row(dose: DueDose, moment: datetime) -> Row:
    if dose.order.state != "complete":
        kind, says = "hold", f"Order is {dose.order.state}: not to be given"
    elif dose.from_at == dose.to_at and dose.due_at <= moment:
        kind, says = "waiting", f"Waiting {span_words(moment - dose.due_at)}"
    elif dose.to_at < moment:
        kind, says = (
            "late",
            f"Late by {span_words(moment - dose.to_at)}, window ended {clock(dose, dose.to_at, moment)}",
        )
    elif dose.from_at == dose.to_at:
        kind, says = "due", f"In {span_words(dose.due_at - moment)}"
    else:
        kind, says = "due", f"To be given {clock(dose, dose.from_at, moment)} to {clock(dose, dose.to_at, moment)}"
    return Row(order=dose.order, kind=kind, at=clock(dose, dose.due_at, moment), says=says, dose=dose)


def _at_work(made: Preparation, moment: datetime, own: Own) -> Row:
    says = f"{made.state.capitalize()}, started {clock(made, made.started_at, moment)}"
    kind = "work"
    if made.limit_at is not None and made.limit_at <= moment:
        kind, says = "over", f"Past its limit since {clock(made, made.limit_at, moment)}: begin again"
    elif made.limit_at is not None:
        says = f"{made.state.capitalize()}, {_until(made, moment)}"
    return _made_row(made, kind, says, moment, own)


def _ready(made: Preparation, moment: datetime, own: Own) -> Row:
    if made.limit_at is not None and made.limit_at <= moment:
        kind, says = "over", f"Past its limit since {clock(made, made.limit_at, moment)}: throw it away"
    else:
        kind, says = "ready", _until(made, moment)
    return _made_row(made, kind, says, moment, own)


def _made_row(made: Preparation, kind: str, says: str, moment: datetime, own: Own) -> Row:
    """What is made and not given: how long it will run is told, unless it is past its limit and runs no more."""
    time = expected(made, own).time if kind != "over" else ""
    expects = f"Once it runs: {time}" if time else ""
    at = _due_clock(made, moment)
    return Row(order=made.order, kind=kind, at=at, says=says, made=made, who=made.by.name, expects=expects)


def _until(made: Preparation, moment: datetime) -> str:
    if made.limit_at is None:
        return "No limit is known"
    return f"{span_words(made.limit_at - moment)} left, until {clock(made, made.limit_at, moment)}"


def _given(moment: datetime, site: Site | None, own: Own) -> Part:
    """What is not closed yet, then what was given lately, the last one first; and what nobody began and is not given.

    A reservoir that is to be filled anew stands before them all.
    """
    since = moment - BACK
    still = _part(_made(site, TO_CLOSE).order_by("-pk"), lambda one: _done(one, moment, own))
    lately = _of(site, Preparation.objects.filter(state="closed", given_at__gt=since)).select_related("given_by", "by")
    closed = _part(lately.order_by("-given_at"), lambda one: _done(one, moment, own))
    left_out = _of(site, DueDose.objects.filter(state="not given", due_at__gt=since, preparation=None))
    none = _part(left_out.order_by("-due_at"), lambda dose: _none(dose, moment))
    parts = (still, closed, none)
    rows = sorted((row for part in parts for row in part.rows), key=lambda row: row.kind != "refill")
    return Part(rows=tuple(rows), more=any(part.more for part in parts))


def _done(made: Preparation, moment: datetime, own: Own) -> Row:
    at = made.given_at or made.started_at
    who = (made.given_by or made.by).name
    if made.state == "closed":
        return Row(order=made.order, kind="given", at=clock(made, at, moment), says="Given", made=made, who=who)
    says = f"{made.state.capitalize()}, not closed yet"
    running = expected(made, own) if made.state == "given" else Expected(time="")
    again = running.refill_at(moment)
    kind = "refill" if again is not None and again <= moment else "open"
    expects = _running_words(made, running, again, moment)
    return Row(order=made.order, kind=kind, at=clock(made, at, moment), says=says, made=made, who=who, expects=expects)


def _running_words(made: Preparation, running: Expected, again: datetime | None, moment: datetime) -> str:
    """When a reservoir is filled anew, else when a run that has begun will end."""
    if again is not None:
        empty = clock(made, again + running.early, moment)
        later = [clock(made, at, moment) for at in running.refills if at > again]
        then = f", then {', '.join(later)}" if later else ""
        if again <= moment:
            return f"Fill it anew now: it may be empty from {empty}{then}"
        return f"Fill it anew at {clock(made, again, moment)}, in {span_words(again - moment)}{then}"
    if running.ends is None:
        return ""
    low, high = (clock(made, at, moment) for at in running.ends)
    return f"Runs until about {low} to {high}"


def _none(dose: DueDose, moment: datetime) -> Row:
    at = clock(dose, dose.due_at, moment)
    return Row(order=dose.order, kind="none", at=at, says="Not given", dose=dose)


def _due_clock(made: Preparation, moment: datetime) -> str:
    return clock(made, made.dose.due_at if made.dose is not None else made.started_at, moment)


def clock(row: DueDose | Preparation, at: datetime, moment: datetime) -> str:
    """A time by the clock of the row's site; with its day when that is another one."""
    here, today = local(row.order.site, at), local(row.order.site, moment).date()
    return f"{here:%H:%M}" if here.date() == today else f"{here:%d %b %H:%M}"


def span_words(span: timedelta) -> str:
    """25 min, 2 h 10 min, 3 days 4 h: begun minutes are not counted."""
    minutes = int(span.total_seconds()) // 60
    hours, minutes = divmod(minutes, 60)
    days, hours = divmod(hours, 24)
    if days:
        told = f"{days} day{'s' if days > 1 else ''}"
        return f"{told} {hours} h" if hours else told
    if hours:
        return f"{hours} h {minutes} min" if minutes else f"{hours} h"
    return f"{minutes} min"
