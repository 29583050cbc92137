"""May this be prepared here, and by one person: each rule both ways, and the reasons for a second reader."""

from dataclasses import replace
from fractions import Fraction

import pytest

from drawndose import InHand, Plan, Policy, Status, plan
from drawndose.bench.policy import CHOSEN, TIGHTER, SecondReading
from drawndose.quantities import Quantity, read_quantity
from tests.bench.benches import BOOK, BOTTLE, bench, found, made, one, order, ready, rules, tools

EPINEPHRINE = "epinephrine-1mg-1ml-ampoule"
ACETYLCYSTEINE = "acetylcysteine-20pct"
TO_3 = "by nebulizer, made up to 3 mL"


def test_a_hazardous_drug_is_for_the_pharmacy_unless_the_place_is_set_up_for_it() -> None:
    stopped = made("pentamidine 300 mg by nebulizer once", hazardous_here=False)
    assert stopped.status is Status.STOPPED
    assert found(stopped, "hazardous-at-bedside").waiver.value.startswith("nobody")
    assert "pharmacy" in " ".join(stopped.ways_out)
    assert "hazardous-at-bedside" not in rules(ready("pentamidine 300 mg by nebulizer once", hazardous_here=True))
    assert ready("pentamidine 300 mg by nebulizer once", hazardous_here=False, hazardous=())
    assert ready(f"albuterol 2.5 mg {TO_3}", BOTTLE, hazardous_here=False)


@pytest.mark.parametrize(
    ("text", "idents", "why"),
    [
        ("racepinephrine 2.25 % 0.05 mL/kg max 0.5 mL by nebulizer to 3 mL, 8 kg", (), "a dose by weight"),
        ("albuterol 0.15 mg/kg by nebulizer to 3 mL, 20 kg, 6 years old", (BOTTLE,), "a dose by weight at 6 years"),
        ("10 mg/h albuterol by nebulizer for 4 h, output 25 mL/h", (BOTTLE,), "a continuous mixture"),
        ("epinephrine 2.5 mg by nebulizer to 3 mL", (EPINEPHRINE,), "epinephrine out of a container for injection"),
        (f"albuterol 0.15 mg {TO_3}", (BOTTLE,), "a dilution made before the dose is measured"),
    ],
)  # fmt: skip
def test_what_the_facility_selects_is_read_by_a_second_person(text: str, idents: tuple[str, ...], why: str) -> None:
    cup = "reservoir-240" if "output" in text else "cup-6"
    plan_of = ready(text, *idents, cup=cup, caution_above=Fraction(2, 10))
    assert why in plan_of.second_reader
    finding = found(plan_of, "second-check-needed")
    assert why in finding.says
    assert finding.waiver.value.startswith("a second person")
    alone = ready(text, *idents, cup=cup, second_reading=())
    assert alone.second_reader == ()
    assert "second-check-needed" not in rules(alone)


def test_a_grown_persons_dose_by_weight_and_a_concentrate_are_read_once() -> None:
    for text in ("albuterol 0.05 mg/kg by nebulizer to 3 mL, 50 kg, 18 years old", f"albuterol 2.5 mg {TO_3}"):
        assert ready(text, BOTTLE).second_reader == ()


def test_a_facility_may_select_concentrates_and_prostacyclins() -> None:
    text = f"albuterol 2.5 mg {TO_3}"
    assert ready(text, BOTTLE, second_reading=(SecondReading.CONCENTRATE,)).second_reader == ("a concentrate",)
    iloprost = made("iloprost 10 mcg by nebulizer", second_reading=CHOSEN)
    assert "iloprost, a prostacyclin" in found(iloprost, "second-check-needed").says


def test_four_products_in_one_cup_are_too_many_and_three_are_not() -> None:
    four = "albuterol 2.5 mg and ipratropium 0.5 mg by nebulizer to 6 mL"
    idents = (BOTTLE, "ipratropium-500mcg-2.5ml")
    assert "too-many-products" not in rules(made(four, *idents))
    stopped = found(made(four, *idents, most_products=2), "too-many-products")
    assert stopped.level.value == "stop"
    assert "3 different products" in stopped.says


def test_a_vial_is_not_entered_more_than_twice() -> None:
    text = "acetylcysteine 600 mg by nebulizer"
    vial = one(ACETYLCYSTEINE, "4 mL")

    def drawn(*instruments: str) -> Plan:
        return made(text, have=(vial, *bench(BOTTLE)[1:]), using=instruments, refuse_above=Fraction(4, 10))

    assert "3 fills" in found(drawn("syringe-1"), "too-many-entries").says
    assert "too-many-entries" not in rules(drawn("syringe-3"))
    assert "too-many-entries" not in rules(drawn("syringe-2"))


def test_a_luer_tip_is_noted_where_a_needle_needs_it_and_an_oral_tip_is_not() -> None:
    noted = found(ready("epinephrine 2.5 mg by nebulizer to 3 mL", EPINEPHRINE), "tip-fits-a-vein-line")
    assert "the needle needs that tip" in noted.says
    assert "tip-fits-a-vein-line" not in rules(ready("budesonide 0.3 mg by nebulizer"))
    luer = found(ready("budesonide 0.3 mg by nebulizer", using=["syringe-2"]), "tip-fits-a-vein-line")
    assert luer.says.endswith("vein.")


def diluted_with(**altered: object) -> Plan:
    """The bottle made up out of one diluent whose record is altered."""
    saline = BOOK.presentation("sodium-chloride-0.9pct-unit-dose")
    left = altered.pop("left", None)
    record = replace(saline, **altered)  # type: ignore[arg-type]
    pack = next(pack for pack in record.packs if pack.volume == Quantity.of_text(5, "mL"))
    hand = InHand(presentation=record, pack=pack, left=left)  # type: ignore[arg-type]
    return plan(order(f"albuterol 2.5 mg {TO_3}"), containers=[one(BOTTLE), hand], instruments=tools())


def test_the_diluent_is_fresh_single_dose_and_without_preservative() -> None:
    fine = diluted_with()
    assert fine.status is Status.READY
    assert "diluent-preserved" not in rules(fine)
    preserved = diluted_with(carries=BOOK.presentation(BOTTLE).carries)
    assert "benzalkonium" in found(preserved, "diluent-preserved").says
    assert "multi-dose" in found(diluted_with(multi_dose=True), "diluent-for-many").says
    assert "diluent-for-many" not in rules(fine)
    assert "fill-cannot-be-made" in rules(diluted_with(left=Quantity.of_text(4, "mL")))


def test_another_strength_in_the_same_clothes_is_named_with_its_factor() -> None:
    alike = [
        (presentation, finding)
        for presentation in BOOK.presentations
        for finding in [look_alike(presentation.id)]
        if finding
    ]
    assert alike
    for ident, says in alike:
        assert "times" in says, ident
    assert look_alike("ipratropium-500mcg-2.5ml") == ""


def look_alike(ident: str) -> str:
    from drawndose.bench.safeguards.preparing import look_alike_strength
    from drawndose.bench.safeguards.seen import OneTake
    from drawndose.bench.takes import Take

    hand = one(ident)
    take = Take(in_hand=hand, lines=(0,), amounts=(), volume=Fraction(1), whole=0, draw=None, containers=1)
    finding = look_alike_strength.check(OneTake(take, None))  # type: ignore[arg-type]
    assert finding is None or finding.rule == "look-alike-strength"
    return finding.says if finding else ""


@pytest.mark.parametrize("name", TIGHTER)
def test_a_facility_may_only_tighten(name: str) -> None:
    least, most = TIGHTER[name]
    assert getattr(Policy(), name) == most
    assert getattr(Policy(**{name: least}), name) == least  # type: ignore[arg-type]
    for beyond in (least - 1, most + 1):
        with pytest.raises(ValueError, match=f"{name} is {least} to {most}: a facility may only tighten it"):
            Policy(**{name: beyond})  # type: ignore[arg-type]


@pytest.mark.parametrize("text", ["0.9 mL", "1 h"])
def test_what_a_bottle_keeps_may_only_be_more(text: str) -> None:
    assert Policy(bottle_rest=read_quantity("2 mL")).bottle_rest == read_quantity("2 mL")
    with pytest.raises(ValueError, match="bottle_rest is at least 1 mL: a facility may only tighten it"):
        Policy(bottle_rest=read_quantity(text))


def test_giving_starts_within_four_hours_at_most() -> None:
    assert Policy(start_within=Quantity.of_text(4, "h")).start_within == Quantity.of_text(240, "min")
    with pytest.raises(ValueError, match="at most 4 h"):
        Policy(start_within=Quantity.of_text(241, "min"))


def test_strengths_that_count_different_things_are_not_compared() -> None:
    from drawndose.bench.safeguards.preparing import _times

    units, mass = BOOK.presentation(BOTTLE), BOOK.presentation("ipratropium-500mcg-2.5ml")
    strength = replace(units.actives[0].strength, amount=Quantity.of_text(5, "unit", "albuterol"))
    assert _times(mass, replace(units, actives=(replace(units.actives[0], strength=strength),))) == 1
