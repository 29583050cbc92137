"""What lies ready on a sheet before it is taken: containers, cup, what is not at hand, what was answered. It stands in the address.

So nothing is half-begun, Back leads back, and a page that is opened again shows the same. `scanned` tells what a scan brought from
what was pressed in a list: a scan is the first label check too.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any
from urllib.parse import urlencode

from django.http import QueryDict

from drawndose.bench.in_hand import InHand
from drawndose.bench.plans import Plan
from drawndose.department.work import shelf
from drawndose.department.work.models import Container, Preparation
from drawndose.department.work.planning import DRAWABLE, picked, plan_of
from drawndose.reference import load

ANSWERS = ("fill", "diluent", "equivalence")
MOST = 40
"""Containers on one tray."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tray:
    """containers: in the order in which they came. scanned: those that a scan brought. without: instruments that are not at hand."""

    containers: tuple[int, ...] = ()
    scanned: frozenset[int] = frozenset()
    cup: str = ""
    without: tuple[str, ...] = ()
    line: str = ""
    answers: Mapping[str, str] = field(default_factory=dict)

    def query(self, **changes: Any) -> str:
        """The tray as the end of an address, with something changed."""
        one = replace(self, **changes) if changes else self
        pairs = [("s" if pk in one.scanned else "c", str(pk)) for pk in one.containers]
        pairs += [("cup", one.cup)] if one.cup else []
        pairs += [("not", ident) for ident in one.without]
        pairs += [("line", one.line)] if one.line else []
        pairs += [(name, said) for name, said in one.answers.items() if said]
        return urlencode(pairs)

    def put(self, container: Container, *, scanned: bool) -> Tray:
        """With one more container. A line was accepted for what lay there before, and is let go."""
        pks = tuple(dict.fromkeys((*self.containers, container.pk)))[:MOST]
        seen = self.scanned | {container.pk} if scanned else self.scanned
        return replace(self, containers=pks, scanned=seen, line="")

    def less(self, pk: int) -> Tray:
        """Without a container."""
        pks = tuple(one for one in self.containers if one != pk)
        return replace(self, containers=pks, scanned=self.scanned - {pk}, line="")

    def instruments(self) -> list[str]:
        """The instruments that are at hand; none named where all are."""
        return [one.id for one in load().instruments if one.id not in self.without] if self.without else []


def read_tray(asked: QueryDict) -> Tray:
    """The tray out of an address or a form. What is no number, cup or instrument of ours is left out."""
    book = load()
    pairs = [(name, value) for name in ("s", "c") for value in asked.getlist(name)]
    numbers = {
        int(value): name for name, value in reversed(pairs) if value.isascii() and value.isdecimal() and len(value) < 19
    }
    order = [
        int(value) for name, values in asked.lists() if name in {"s", "c"} for value in values if value.isdecimal()
    ]
    tools = {one.id for one in book.instruments}
    return Tray(
        containers=tuple(pk for pk in dict.fromkeys(order) if pk in numbers)[:MOST],
        scanned=frozenset(pk for pk, name in numbers.items() if name == "s"),
        cup=next((one.id for one in book.cups if one.id == asked.get("cup")), ""),
        without=tuple(one for one in asked.getlist("not") if one in tools),
        line=asked.get("line", "")[:200],
        answers={name: asked[name][:200] for name in ANSWERS if asked.get(name)},
    )


def tray_of(made: Preparation) -> Tray:
    """What was taken for a sheet; before that an empty tray with the cup that was used last at this site."""
    chosen = made.chosen
    if chosen:
        every = [one.id for one in load().instruments]
        at_hand = chosen.get("instruments") or every
        return Tray(
            containers=tuple(one["id"] for one in chosen["containers"]),
            cup=chosen.get("cup", ""),
            without=tuple(ident for ident in every if ident not in at_hand),
            line=chosen.get("accept", ""),
            answers=chosen.get("answers", {}),
        )
    last = Preparation.objects.filter(order__site=made.order.site).exclude(chosen={}).order_by("-pk").first()
    return Tray(cup=last.chosen.get("cup", "") if last is not None else "")


def rows_on(tray: Tray, made: Preparation) -> list[Container]:
    """The containers of a tray that may still be drawn from, at this site, in the tray's order."""
    rows = (
        Container.objects.filter(site=made.order.site, state__in=DRAWABLE)
        .select_related("owner", "site")
        .in_bulk(tray.containers)
    )
    return [rows[pk] for pk in tray.containers if pk in rows]


def plan_on(tray: Tray, made: Preparation) -> Plan:
    """The plan that this tray would give. Nothing is kept. Refused when the tray holds what cannot be."""
    rows = rows_on(tray, made)
    return plan_of(made, picked(rows, tray.instruments(), tray.cup, accept=tray.line, answers=tray.answers))


def in_hand(row: Container, made: Preparation) -> InHand:
    """A container of the tray as the engine sees it."""
    return shelf.hand(row, person=made.order.patient)
