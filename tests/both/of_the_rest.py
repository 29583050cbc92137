"""Pairs of the other safeguards, out of the tables of their own tests: containers, orders, texts, preparations, scans."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta

from drawndose.bench.condition import Condition
from drawndose.bench.in_hand import InHand
from drawndose.bench.moments import read_span
from drawndose.bench.policy import Policy
from drawndose.bench.preparation import Preparation
from drawndose.bench.safeguards import AtHand, container_findings, preparation_findings
from drawndose.bench.safeguards.scanned import Scanned, scan_findings
from drawndose.bench.safeguards.typed import Typed, text_findings
from tests.bench.benches import made, order, rules
from tests.bench.safeguards import (
    test_container_rules,
    test_doses,
    test_how_often,
    test_preparation_rules,
    test_scanned,
    test_sensitivities,
    test_typed,
)
from tests.bench.safeguards.ordered import NOW, rules_on
from tests.bench.safeguards.planted import CONTAINERS, Planted, of_container
from tests.both.pair import Both


def _of_container(one: Planted, text: str) -> bool:
    settings = {name: read_span(str(value)) for name, value in one.settings}
    return one.rule in {finding.rule for finding in of_container(text, **settings)}


def _of_preparation(rule: str, made_so: Preparation) -> bool:
    return rule in {finding.rule for finding in preparation_findings(made_so)}


def _of_text(rule: str, text: str) -> bool:
    return rule in {finding.rule for finding in text_findings(Typed("order", text))}


def _of_scan(rule: str, seen: Scanned) -> bool:
    return rule in {finding.rule for finding in scan_findings(seen)}


def _made_up(hours: int) -> bool:
    """A powder that keeps for 24 h after making up: none in the catalogue does, so the record is altered."""
    powder = test_container_rules.lasting(test_container_rules.POWDER, "reconstituted", "24 h")
    in_hand = InHand(presentation=powder, pack=powder.packs[0])
    condition = Condition(made_up=NOW - timedelta(hours=hours))
    at_hand = AtHand(in_hand=in_hand, condition=condition, now=NOW, policy=Policy())
    return "past-made-up-life" in {finding.rule for finding in container_findings(at_hand)}


def _last_dose(minutes: int) -> bool:
    text = "albuterol 2.5 mg by nebulizer every 4 hours"
    last = (NOW - timedelta(minutes=minutes)).replace(tzinfo=None)
    return "last-dose-too-near" in rules_on(replace(order(text), last_dose=last))


def pairs() -> Iterator[Both]:
    """Every pair but those of a way."""
    for one in CONTAINERS:
        yield Both(one.rule, lambda o=one: _of_container(o, o.fires), lambda o=one: _of_container(o, o.near))  # type: ignore[misc]
    for rule, _, fires, near, _ in (*test_doses.PLANTED, *test_how_often.PLANTED):
        yield Both(rule, lambda r=rule, t=fires: r in rules_on(t), lambda r=rule, t=near: r in rules_on(t))  # type: ignore[misc]
    for rule, _, fires, near, have, _ in test_sensitivities.PLANTED:
        yield Both(
            rule,
            lambda r=rule, t=fires, h=have: r in rules(made(t, *h)),  # type: ignore[misc]
            lambda r=rule, t=near, h=have: r in rules(made(t, *h)),  # type: ignore[misc]
        )
    for rule, brings, only, _ in test_preparation_rules.BOTH:
        yield Both(rule, lambda r=rule, m=brings: _of_preparation(r, m), lambda r=rule, m=only: _of_preparation(r, m))  # type: ignore[misc]
    for rule, text, near, _ in test_typed.BOTH:
        yield Both(rule, lambda r=rule, t=text: _of_text(r, t), lambda r=rule, t=near: _of_text(r, t))  # type: ignore[misc]
    whole = test_scanned.scanned(test_scanned.WHOLE)
    for rule, (seen, _, _) in test_scanned.FIRES.items():
        yield Both(rule, lambda r=rule, s=seen: _of_scan(r, s), lambda r=rule: _of_scan(r, whole))  # type: ignore[misc]
    yield Both("past-made-up-life", lambda: _made_up(24), lambda: _made_up(23))
    yield Both("last-dose-too-near", lambda: _last_dose(239), lambda: _last_dose(240))
    beside = "ipratropium 0.5 mg and albuterol 2.5 mg by nebulizer"
    together = "budesonide and ipratropium 0.5 mg and 0.25 mg by nebulizer"
    yield Both(
        "doses-in-columns",
        lambda: "doses-in-columns" in rules_on(together),
        lambda: "doses-in-columns" in rules_on(beside),
    )
