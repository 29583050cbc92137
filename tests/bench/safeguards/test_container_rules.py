"""Every rule of a container, both ways: what brings it up and what only just does not; its level; and its words."""

from dataclasses import replace
from datetime import datetime

import pytest

from drawndose import Policy
from drawndose.bench.condition import Condition
from drawndose.bench.container_life import in_use_life, limits, use_by
from drawndose.bench.in_hand import InHand
from drawndose.bench.moments import Span, read_span
from drawndose.bench.safeguards import OF_A_CONTAINER, AtHand, container_findings
from drawndose.reference import Presentation
from tests.bench.benches import BOOK
from tests.bench.safeguards.planted import ACETYLCYSTEINE, BOTTLE, CONTAINERS, NOW, ZONE, Planted, of_container


def settings(one: Planted) -> dict[str, object]:
    return {name: read_span(str(value)) for name, value in one.settings}


@pytest.mark.parametrize("one", CONTAINERS, ids=[f"{place}-{one.rule}" for place, one in enumerate(CONTAINERS)])
def test_a_planted_fault_is_found_and_its_near_miss_is_not(one: Planted) -> None:
    found = [finding for finding in of_container(one.fires, **settings(one)) if finding.rule == one.rule]
    assert [finding.level.value for finding in found] == [one.level]
    assert one.says in found[0].says
    assert found[0].do
    assert found[0].origin.source in BOOK.sources
    assert len(found[0].says.split()) <= 45
    assert one.rule not in {finding.rule for finding in of_container(one.near, **settings(one))}


def test_every_rule_of_a_container_has_a_planted_fault() -> None:
    rules = {one.id for family in OF_A_CONTAINER for one in family.RULES}
    # No powder in the catalogue keeps for a time after making up: that rule is proved with an altered record below.
    assert rules - {one.rule for one in CONTAINERS} == {"past-made-up-life"}


def test_a_container_that_is_in_order_brings_nothing_up() -> None:
    fine = [
        f"{BOTTLE}; opened 2026-11-01 09:00; discard after 2026-11-29; owner 204118; person 204118",
        f"{ACETYLCYSTEINE}; opened 2026-11-25 08:00; kept refrigerated",
        "epinephrine-1mg-1ml-ampoule; expiry 2027-06; lot 4K21",
    ]
    for text in fine:
        assert of_container(text, bottle_life=Span(28, "day")) == ()


def test_shared_bottles_are_a_written_setting() -> None:
    text = f"{BOTTLE}; opened 2026-11-01 09:00"
    assert of_container(text, bottle_life=Span(28, "day"), shared_bottles=True) == ()


INJECTION = replace(BOOK.presentation("glycopyrrolate-0.2mg-per-ml-injection"), multi_dose=True, lives=())
POWDER = BOOK.presentation("colistimethate-150mg-vial")


def lasting(presentation: Presentation, after: str, lasts: str) -> Presentation:
    """The record as if its label printed this life (read on the label)."""
    life = replace(BOOK.presentation("acetylcysteine-20pct").lives[0], after=after, lasts=lasts, kept="")
    return replace(presentation, lives=(life,))


def test_28_days_reach_an_injectable_multi_dose_vial_and_nothing_else() -> None:
    found = in_use_life(INJECTION, Policy())
    assert found is not None
    assert found.span == Span(28, "day")
    for ident in ("albuterol-0.5pct-bottle-20ml", "lidocaine-4pct-bottle-50ml", "ipratropium-500mcg-2.5ml"):
        assert in_use_life(BOOK.presentation(ident), Policy()) is None
    acetylcysteine = in_use_life(BOOK.presentation("acetylcysteine-20pct"), Policy())
    assert acetylcysteine is not None
    assert acetylcysteine.span == Span(96, "h")


def test_a_label_may_print_more_than_28_days_and_a_facility_may_only_shorten_it() -> None:
    longer = lasting(INJECTION, "opened", "42 d")
    assert in_use_life(longer, Policy()).span == Span(42, "day")  # type: ignore[union-attr]
    assert in_use_life(longer, Policy(vial_life=Span(7, "day"))).span == Span(7, "day")  # type: ignore[union-attr]
    assert in_use_life(lasting(INJECTION, "opened", "24 h"), Policy(vial_life=Span(7, "day"))).span == Span(24, "h")  # type: ignore[union-attr]
    for wrong in (Span(29, "day"), Span(28, "h")):
        with pytest.raises(ValueError, match="may only be shorter"):
            Policy(vial_life=wrong)


@pytest.mark.parametrize("unit", ["min", "h", "day", "week", "month"])
def test_the_shorter_of_label_and_facility_holds_in_every_unit(unit: str) -> None:
    bottle = lasting(BOOK.presentation("albuterol-0.5pct-bottle-20ml"), "opened", "27 d")
    span = Span(1, unit)
    shorter = unit != "month"
    assert in_use_life(bottle, Policy(bottle_life=span)).span == (span if shorter else Span(27, "day"))  # type: ignore[union-attr]


def test_a_made_up_powder_that_keeps_for_a_time_is_stopped_after_it() -> None:
    powder = lasting(POWDER, "reconstituted", "24 h")
    in_hand = InHand(presentation=powder, pack=powder.packs[0])
    condition = Condition(made_up=datetime(2026, 11, 24, 14, 5, tzinfo=ZONE))
    (limit,) = limits(in_hand, condition, Policy(), NOW)
    assert (limit.kind, limit.until) == ("reconstituted", "25 Nov 2026 14:05")
    assert limit == use_by(in_hand, condition, Policy(), NOW)


def test_nothing_known_is_no_limit() -> None:
    in_hand = InHand(presentation=POWDER, pack=POWDER.packs[0])
    assert use_by(in_hand, Condition(), Policy(), NOW) is None


def test_a_single_dose_whose_label_keeps_it_for_a_time_is_kept_so_long_and_only_dated() -> None:
    dose = lasting(BOOK.presentation("ipratropium-500mcg-2.5ml"), "opened", "24 h")
    in_hand = InHand(presentation=dose, pack=dose.packs[0])

    def rules(**said: object) -> set[str]:
        condition = Condition(expiry=NOW.date(), **said)  # type: ignore[arg-type]
        found = container_findings(AtHand(in_hand=in_hand, condition=condition, now=NOW, policy=Policy()))
        return {one.rule for one in found}

    assert rules(opened=NOW) == set()
    assert rules(undated=True) == {"single-dose-opened-before"}
