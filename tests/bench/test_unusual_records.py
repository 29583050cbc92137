"""Records that the packaged catalogue does not hold today and another one may: an ADD rule, units, amounts per container."""

from dataclasses import replace
from fractions import Fraction

from drawndose import InHand, Plan, Policy, Status, plan
from drawndose.bench.working import worked
from drawndose.quantities import read_quantity, read_strength
from drawndose.reference import DilutionRule, Presentation
from tests.bench.benches import BOOK, BOTTLE, amount, bench, order, rules, tools


def with_these(text: str, *presentations: Presentation) -> Plan:
    have = [InHand(presentation=one, pack=one.packs[0]) for one in presentations]
    diluents = [hand for hand in bench() if hand.presentation.diluent]
    return plan(order(text), containers=(*have, *diluents), instruments=tools(), policy=Policy(hazardous_here=True))


def adding(ident: str, volume: str) -> Presentation:
    one = BOOK.presentation(ident)
    rule = replace(
        BOOK.presentation(BOTTLE).dilution,
        rule=DilutionRule.ADD,
        volume=read_quantity(volume),
        undiluted=True,
        says=f"add {volume}",
    )
    return replace(one, dilution=rule)


def test_a_label_that_adds_a_volume_adds_it_and_makes_nothing_up_to_it() -> None:
    made = with_these("ipratropium 0.5 mg by nebulizer", adding("ipratropium-500mcg-2.5ml", "2 mL"))
    assert made.status is Status.READY
    assert (made.fill.rule.value, made.fill.by, made.fill.added, made.fill.total) == ("add", "label", 2, Fraction(9, 2))
    assert "fill-by-label" not in rules(made)


def test_a_total_on_one_label_goes_before_an_added_volume_on_the_other() -> None:
    made = with_these(
        "albuterol 2.5 mg and ipratropium 0.3 mg by nebulizer",
        BOOK.presentation(BOTTLE),
        adding("ipratropium-500mcg-2.5ml", "2 mL"),
    )
    assert (made.fill.rule.value, made.fill.total) == ("to a total", 3)


def colistimethate_solution() -> Presentation:
    vial, bottle = BOOK.presentation("colistimethate-150mg-vial"), BOOK.presentation("ipratropium-500mcg-2.5ml")
    counted = replace(
        bottle.actives[0],
        moiety="colistimethate units",
        strength=read_strength("500,000 units/mL", of="colistimethate units"),
        printed="500,000 units/mL",
    )
    return replace(bottle, id="units", drug=vial.drug, actives=(counted,), container=vial.container)


def test_a_strength_in_units_is_drawn_and_told_in_units() -> None:
    one = replace(colistimethate_solution(), container=BOOK.presentation(BOTTLE).container)
    made = with_these("colistimethate 1 million units by nebulizer", one)
    assert made.status is Status.READY
    assert made.takes[0].volume == 2
    assert made.takes[0].amounts == (amount(10**6, "unit", "colistimethate units"),)
    ((name, strength),) = made.concentrations
    assert (name, str(strength.unit), strength.value) == ("colistimethate units", "unit/mL", 500_000)
    assert [line.text for line in made.label if line.large] == ["colistimethate units 1,000,000 units in 2 mL"]
    assert "colistimethate units: strength in the cup" not in {one.title for one in worked(made)}


def test_an_amount_that_is_printed_for_a_container_only_is_carried_by_the_share_of_its_full_contents() -> None:
    bottle = BOOK.presentation(BOTTLE)
    carried = replace(
        bottle.carries[0], strength=None, amount=read_quantity("2 mg", of="benzalkonium chloride"), substance="x"
    )
    changed = replace(bottle, carries=(carried, replace(carried, amount=None)))
    opened = InHand(presentation=changed, pack=changed.packs[0], left=read_quantity("5 mL"))
    diluents = [hand for hand in bench() if hand.presentation.diluent]
    made = plan(order("albuterol 2.5 mg by nebulizer to 3 mL"), containers=(opened, *diluents), instruments=tools())
    # 2 mg in the full 20 mL, 0.5 mL of it, although only 5 mL is left
    assert [one.amount for one in made.additives] == [amount(50, "mcg", "benzalkonium chloride")]


def test_a_powder_carries_its_excipient_by_the_share_of_what_it_is_made_up_to() -> None:
    vial = BOOK.presentation("pentamidine-300mg-vial")
    carried = replace(
        BOOK.presentation(BOTTLE).carries[0], strength=None, amount=read_quantity("6 mg", of="salt"), role="excipient"
    )
    made = with_these("pentamidine 100 mg by nebulizer", replace(vial, carries=(carried,)))
    assert [one.amount for one in made.additives] == [amount(2, "mg", "salt")]
