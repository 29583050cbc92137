"""From the form to everything that the page shows: the order is read, the bench is set, and the engine is asked once."""

from __future__ import annotations

import hashlib
import re
from dataclasses import dataclass, replace
from datetime import datetime
from fractions import Fraction

from django.http import QueryDict

from drawndose.bench.order import Order, read_order
from drawndose.bench.order.fields import read_fields
from drawndose.bench.plans import Plan, plan
from drawndose.bench.policy import Policy
from drawndose.department.web import stand
from drawndose.department.web.asking import Asked, answered, answers, pressed, read_form
from drawndose.department.web.clock import read_clock
from drawndose.quantities import Fault, Manner, Refused, read_quantity
from drawndose.reference import Catalogue, Cup, Instrument


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """A piece of the order's words: what it was read as, or that it was not understood, or "" for words between."""

    text: str
    field: str = ""
    reading: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """One answered form. plan is None while there is no order, or while something was refused."""

    asked: Asked
    order: Order | None = None
    plan: Plan | None = None
    faults: tuple[Fault, ...] = ()
    pieces: tuple[Piece, ...] = ()
    packs: tuple[stand.PackRow, ...] = ()
    tools: tuple[stand.ToolRow, ...] = ()
    cups: tuple[Cup, ...] = ()
    let_go: str = ""
    bound: str = ""
    started: datetime | None = None
    changed: frozenset[str] = frozenset()

    def box_of(self, fault: Fault) -> str:
        """The box that a fault belongs to: its own where it was typed in a box of its own, else the order's words."""
        if fault.field.startswith(("count-", "left-", "bench-")):
            return fault.field
        return fault.field if self.asked.in_fields and not self.asked.text.strip() else "order"

    def at(self, name: str) -> tuple[Fault, ...]:
        """The faults of one box."""
        return tuple(fault for fault in self.faults if self.box_of(fault) == name)

    def told(self) -> tuple[tuple[Fault, str], ...]:
        """Every fault with the id of the element that it is about."""
        return tuple((fault, _element(self.box_of(fault))) for fault in self.faults)


def _element(box: str) -> str:
    if box.startswith("bench-"):
        return box.removeprefix("bench-")
    return box if box == "order" or box.startswith(("count-", "left-")) else f"field-{box}"


def answer_form(post: QueryDict, book: Catalogue, now: datetime | None = None) -> Answer:
    """The answer to a form that was sent. `changed` names the parts of the form that a press has rewritten. now: see `answer`."""
    came = read_form(post)
    asked = pressed(came, post)
    for name, said, asks in answers(post):
        asked = answered(asked, _order_or_none(asked, book), name, said, asks)
    given = answer(asked, book, now)
    changed = {
        part for part in ("text", "fields", "packs", "tools", "cup") if getattr(came, part) != getattr(asked, part)
    }
    if {row.key for row in given.packs} != came.listed:
        changed.add("packs")
    return replace(given, changed=frozenset(changed))


def answer(asked: Asked, book: Catalogue, now: datetime | None = None) -> Answer:
    """Read, set the bench, plan. Faults of the order and of the bench come back together.

    now: what the clock shows, in the zone of the place; without it no moment is counted from.
    """
    faults: list[Fault] = []
    order = None
    if not asked.empty:
        try:
            order = _read(asked, book)
        except Refused as refused:
            faults += refused.faults
    packs = stand.pack_rows(stand.drugs_of(order, asked, book), asked, book)
    tools = stand.tool_rows(asked, book)
    on_bench = stand.containers(packs, faults)
    held = stand.cup(asked, order, book, faults)
    started = _started(asked, now, faults)
    bound = bound_to(asked, order, packs, tools) if order is not None else ""
    policy, let_go = _policy(asked, bound, book, faults)
    made = None
    if order is not None and not faults:
        measures: list[Instrument | Cup] = [*stand.instruments(tools)]
        if held is not None:
            measures.append(held)
        made = plan(order, containers=on_bench, instruments=measures, policy=policy, started=started, catalogue=book)
    return Answer(
        asked=replace(asked, line="", line_for="") if let_go else asked,
        order=order,
        plan=made,
        faults=tuple(dict.fromkeys(faults)),
        pieces=pieces_of(asked, order, faults),
        packs=packs,
        tools=tools,
        cups=book.cups,
        let_go=let_go,
        bound=bound,
        started=started,
    )


def _started(asked: Asked, now: datetime | None, faults: list[Fault]) -> datetime | None:
    """When preparing begins: now, or what was typed by the clock of the place."""
    if asked.started is None or now is None:
        return None
    if not asked.started.strip():
        return now
    try:
        return read_clock(asked.started, now, "bench-started")
    except Refused as refused:
        faults += refused.faults
        return None


def _read(asked: Asked, book: Catalogue) -> Order:
    """The order in words or in fields; in both it is said twice, and which one counts is not ours to choose."""
    if not asked.in_fields:
        return read_order(asked.text, catalogue=book)
    if asked.text.strip():
        rule = "the order stands in words and in fields; one of them must be empty"
        raise Refused([Fault(field="order", rule=rule, came=asked.text[:80], accepted="words, or fields")])
    return read_fields(asked.fields, catalogue=book)


def _order_or_none(asked: Asked, book: Catalogue) -> Order | None:
    try:
        return _read(asked, book)
    except Refused:
        return None


def _policy(asked: Asked, bound: str, book: Catalogue, faults: list[Fault]) -> tuple[Policy, str]:
    """The settings with what was chosen. A line was accepted for one order on one bench; elsewhere it is let go."""
    known = {one.id for drug in book.drugs for moiety in drug.moieties for one in moiety.equivalences}
    chosen = tuple(one for one in asked.equivalences if one in known)
    if not asked.line or not bound:
        return Policy(equivalences=chosen), ""
    if asked.line_for != bound:
        says = f"The {asked.line.partition('@')[0][:20]} line was accepted for another order or another bench and no longer counts."
        return Policy(equivalences=chosen), says
    line, _, on = asked.line.partition("@")
    return Policy(equivalences=chosen, accepted_line=_line(line, faults), accepted_on=on.strip()), ""


def _line(text: str, faults: list[Fault]) -> Fraction | None:
    try:
        return read_quantity(text, field="line", manner=Manner.READING).to("mL").value
    except (Refused, ValueError) as refused:
        faults += refused.faults if isinstance(refused, Refused) else ()
        return None


def bound_to(asked: Asked, order: Order, packs: tuple[stand.PackRow, ...], tools: tuple[stand.ToolRow, ...]) -> str:
    """A short mark of this order on this bench, to which an accepted line is bound."""
    ticked = [row.key for row in packs if row.ticked] + [tool.id for row in tools for tool, on in row.tips if on]
    return hashlib.sha256("\n".join((order_words(asked, order), *ticked)).encode()).hexdigest()[:16]


def order_words(asked: Asked, order: Order) -> str:
    """The order in one line, as it was written; out of fields, their contents in the fields' order."""
    return order.text or ", ".join(value.strip() for value in asked.fields.values() if value.strip())


def pieces_of(asked: Asked, order: Order | None, faults: list[Fault]) -> tuple[Piece, ...]:
    """The words of the order cut into what was read and what was not."""
    if order is not None and order.text:
        text, spans = order.text, [(span.start, span.end, span.field, span.reading) for span in order.spans]
    elif order is None and asked.text.strip():
        text = re.sub(r"\s+", " ", asked.text).strip()
        spans = _not_understood(text, faults)
    else:
        return ()
    pieces, at = [], 0
    for start, end, name, reading in sorted(spans):
        if start < at:
            continue
        words = text[start:end].strip()
        # The engine's reading may repeat the words after what they mean; what is said once is enough.
        told = reading if reading.casefold() != words.casefold() else ""
        told = told.removesuffix(words).rstrip(" :") if len(told) > len(words) else told
        told = "" if told.casefold() == words.casefold() else told
        pieces += [Piece(text=text[at:start].strip(" ,;.")), Piece(text=words, field=name, reading=told)]
        at = end
    pieces.append(Piece(text=text[at:].strip(" ,;.")))
    return tuple(piece for piece in pieces if piece.text)


def _not_understood(text: str, faults: list[Fault]) -> list[tuple[int, int, str, str]]:
    """Where the words stand that a fault quotes."""
    found, low = [], text.lower()
    for fault in faults:
        came = re.sub(r"\s+", " ", fault.came).strip()
        start = low.find(came.lower()) if came else -1
        if start >= 0 and len(came) < len(text):
            found.append((start, start + len(came), "not accepted", fault.rule))
        elif came == text:
            found.append((0, len(text), "not accepted", fault.rule))
    return found
