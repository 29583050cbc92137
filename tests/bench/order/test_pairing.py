import pytest

from drawndose.bench.order import doses as patterns
from drawndose.bench.order.pairing import Item, Kind, pair
from drawndose.quantities import Fault
from tests.bench.benches import BOOK
from tests.bench.order.asked import blocking, doses, faults, order, shown, told

OWN_DOSE = "each drug needs its own dose beside it"
ASTRAY = "a strength stands between two drugs, and could belong to either"


def strengths(text: str) -> list[str]:
    return [shown(line.dose.strength.ratio) if line.dose.strength else "" for line in order(text).lines]


@pytest.mark.parametrize(
    "text",
    [
        "albuterol 2.5 mg and ipratropium 0.5 mg by nebulizer", "2.5 mg albuterol and 0.5 mg ipratropium by nebulizer",
        "2.5 mg of albuterol, 0.5 mg of ipratropium by nebulizer", "albuterol and ipratropium 2.5 mg and 0.5 mg by nebulizer",
        "albuterol 2.5 mg/ipratropium 0.5 mg by nebulizer", "albuterol/ipratropium 2.5 mg and 0.5 mg by nebulizer",
        "albuterol-ipratropium, 2.5 mg + 0.5 mg, by nebulizer", "by nebulizer albuterol 2.5 mg plus ipratropium 0.5 mg",
    ],
)  # fmt: skip
def test_each_drug_gets_the_dose_beside_it(text: str) -> None:
    assert doses(text) == [("albuterol", "2.5 mg"), ("ipratropium", "0.5 mg")]


def test_three_drugs_get_their_three_doses() -> None:
    text = "albuterol 2.5 mg, ipratropium 0.5 mg and budesonide 1 mg by nebulizer"
    assert doses(text) == [("albuterol", "2.5 mg"), ("ipratropium", "0.5 mg"), ("budesonide", "1 mg")]


@pytest.mark.parametrize(
    ("text", "rule"),
    [
        ("2.5 mg albuterol ipratropium 0.5 mg by nebulizer", OWN_DOSE),
        ("2.5 mg albuterol and ipratropium by nebulizer", OWN_DOSE),
        ("0.5 % albuterol 0.5 mL and 0.02 % ipratropium 2.5 mL by nebulizer", OWN_DOSE),
        ("albuterol 2.5 mg, 0.5 mg ipratropium by nebulizer", "the order gives 2 doses of albuterol"),
        ("albuterol 2.5 mg, albuterol 5 mg by nebulizer", "the order names the drug twice"),
        ("albuterol (salbutamol) 2.5 mg by nebulizer", "the order names the drug twice"),
        ("albuterol 2.5 mg 5 mg by nebulizer", "the order gives 2 doses of albuterol"),
        ("albuterol 2.5 mg 3 mL 4 mL by nebulizer", "the order gives 3 doses of albuterol"),
        ("albuterol 2.5 to 5 mg 3 mL by nebulizer", "the order gives 2 doses of albuterol"),
    ],
)
def test_what_does_not_pair_one_to_one_is_refused(text: str, rule: str) -> None:
    assert rule in [found for found, _ in told(text)]


def test_a_drug_without_a_dose_is_asked_for_it_and_a_dose_without_a_drug_too() -> None:
    assert blocking("albuterol 2.5 mg and ipratropium by nebulizer") == ["dose"]
    assert blocking("albuterol by nebulizer") == ["dose"]
    assert blocking("2.5 mg by nebulizer") == ["drug"]


@pytest.mark.parametrize(
    "text",
    [
        "2.5 mL ipratropium, 0.5 % 2.5 mg albuterol by nebulizer",
        "albuterol 2.5 mg 0.02 % ipratropium 0.5 mg by nebulizer",
        "albuterol 2.5 mg, 0.02 % ipratropium 0.5 mg by nebulizer",
        "2.5 mL ipratropium 0.5 % 0.5 mL albuterol by nebulizer",
    ],
)
def test_a_strength_between_two_drugs_is_not_given_to_either(text: str) -> None:
    assert [rule for rule, _ in told(text)] == [ASTRAY]


def test_a_strength_joined_to_one_drug_and_parted_from_the_other_is_its_own() -> None:
    text = "albuterol 0.5 mL of 0.5 %, ipratropium 2.5 mL of 0.02 % by nebulizer"
    assert strengths(text) == ["0.005 g per mL", "0.0002 g per mL"]
    text = "0.5 mL albuterol 0.5 % and 2.5 mL ipratropium 0.02 % by nebulizer"
    assert strengths(text) == ["0.005 g per mL", "0.0002 g per mL"]
    assert strengths("3 % saline 4 mL and albuterol 2.5 mg by nebulizer") == ["0.03 g per mL", ""]
    assert strengths("4 mL 3 % saline, 2.5 mg albuterol by nebulizer") == ["0.03 g per mL", ""]


@pytest.mark.parametrize(
    ("words", "rule"),
    [
        ("10 mg max 5 mg", "the dose is more than the order's own maximum"),
        ("2.5 mg at least 5 mg", "the dose is less than the order's own minimum"),
        ("0.15 mg/kg max 5 mg max 10 mg", "the order gives two of a maximum"),
        ("0.15 mg/kg min 5 mg max 2.5 mg", "the minimum is more than the maximum"),
        ("0.15 mg/kg max 5 mL", "the maximum and the dose do not count the same thing"),
        ("0.15 mg/kg max 5 mg/kg", "the maximum and the dose do not count the same thing"),
        ("0.15 mg/kg max 5 mg/h", "the maximum and the dose do not count the same thing"),
        ("0.3 mg/kg/day in 2 doses max 5 mg", "a maximum beside a dose per day must be of one dose"),
        ("0.3 mg/kg/day in 2 doses max 5 mg/day", "a maximum beside a dose per day must be of one dose"),
        ("0.15 mg/kg max .5 mg", "a point without a digit before it is read as ten times more"),
    ],
)
def test_a_limit_that_cannot_be_held_is_refused(words: str, rule: str) -> None:
    assert [found for found, _ in told(f"albuterol {words} by nebulizer, weight 20 kg")] == [rule]


def test_a_limit_of_one_dose_is_kept() -> None:
    dose = order("albuterol 0.15 mg/kg (min 2.5 mg, max 5 mg) by nebulizer, weight 20 kg").lines[0].dose
    assert (shown(dose.minimum), shown(dose.maximum)) == ("2.5 mg", "5 mg")
    dose = order("albuterol 0.3 mg/kg/day in 2 doses max 5 mg per dose by nebulizer, weight 20 kg").lines[0].dose
    assert shown(dose.maximum) == "5 mg"
    dose = order("albuterol 0.5 mg/kg/h max 15 mg/h by nebulizer for 2 h, output 10 mL/h, weight 20 kg").lines[0].dose
    assert shown(dose.maximum) == "15 mg per h"
    assert doses("albuterol 2.5 mg max 5 mg max 5 mg by nebulizer") == [("albuterol", "2.5 mg")]


def test_a_limit_per_day_beside_a_single_dose_is_asked_beside_the_plan() -> None:
    read = order("albuterol 2.5 mg by nebulizer q4h, not more than 10 mg/day")
    assert [(question.blocking, question.asks) for question in read.questions] == [
        (False, "The order's maximum of albuterol is 10 mg per day: is this dose still within it?")
    ]
    assert read.lines[0].dose.maximum is None


def test_a_limit_without_a_dose_asks_for_the_dose() -> None:
    assert blocking("albuterol max 5 mg by nebulizer") == ["dose"]


def test_a_volume_beside_an_amount_needs_its_strength() -> None:
    (asked,) = order("albuterol 2.5 mg 3 mL by nebulizer").blocking
    assert (asked.field, asked.options[:2]) == ("strength", ("made up to 3 mL", "add 3 mL"))
    dose = order("albuterol 2.5 mg (0.5 mL of 0.5 %) by nebulizer").lines[0].dose
    assert (shown(dose.amount), shown(dose.also)) == ("2.5 mg", "0.5 mL")


def test_a_volume_needs_a_strength_per_ml() -> None:
    assert told("pentamidine 300 mg/vial 6 mL by nebulizer") == [("a volume needs a strength per mL", "6 mL")]


def test_units_count_the_drugs_units_and_are_refused_for_a_drug_that_has_none() -> None:
    assert order("colistimethate sodium 1 million units by nebulizer").lines[0].moiety == "colistimethate units"
    assert told("albuterol 5 units by nebulizer") == [("albuterol is not counted in units", "5 units")]


def test_a_mass_of_units_is_two_units() -> None:
    rule = "units of colistimethate is counted in units, and the dose is not"
    assert told("give 1 million g units of colistimethate by nebulizer") == [(rule, "1,000,000 g")]
    assert doses("5 mL of 100,000 units/mL colistimethate by nebulizer") == [("colistimethate", "5 mL")]


def test_a_mass_beside_a_strength_in_units_is_still_a_mass_of_what_the_name_says() -> None:
    line = order("colistin base activity 75 mg, 100,000 units/mL by nebulizer").lines[0]
    assert (line.moiety, line.dose.amount.of) == ("colistin base activity", (("colistin base activity", 1),))


def test_a_name_that_counts_nothing_is_asked_what_it_counts() -> None:
    (asked,) = order("colistimethate 75 mg by nebulizer").blocking
    assert (asked.field, asked.options) == ("drug", ("colistin base activity", "colistimethate sodium"))
    assert blocking("colistimethate 1 million units by nebulizer") == []


@pytest.mark.parametrize(
    ("name", "drug", "moiety"),
    [
        ("albuterol sulfate", "albuterol", "albuterol sulfate"), ("salbutamol", "albuterol", "albuterol"),
        ("levalbuterol", "levalbuterol", "levalbuterol"), ("R-albuterol", "levalbuterol", "levalbuterol"),
        ("racepinephrine", "racepinephrine", "racepinephrine"), ("racemic epinephrine", "racepinephrine", "racepinephrine"),
        ("epinephrine", "epinephrine", "epinephrine"), ("arformoterol", "arformoterol", "arformoterol"),
        ("formoterol", "formoterol", "formoterol fumarate"), ("ipratropium bromide monohydrate", "ipratropium", "ipratropium bromide monohydrate"),
    ],
)  # fmt: skip
def test_a_name_inside_a_longer_name_is_the_longer_one(name: str, drug: str, moiety: str) -> None:
    (line,) = order(f"{name} 2.5 mg by nebulizer").lines
    assert (line.drug.id, line.moiety, line.as_written) == (drug, moiety, name)


@pytest.mark.parametrize(
    "name",
    [
        "albuterols", "xalbuterol", "albuterol2", "2albuterol", "L-albuterol", "R albuterol", "nor-epinephrine", "racemic-epinephrine",
        "norepinephrine", "\u0430lbuterol", "albuter\u043el", "alb\u200buterol", "al buterol", "albuterol-", "dorna\u017fe", "col\u0131stin",
        "non-albuterol", "albuterol sulf", "albuterol\u00ae",
    ],
)  # fmt: skip
def test_a_name_that_is_not_quite_a_name_is_refused(name: str) -> None:
    assert faults(f"{name} 2.5 mg by nebulizer")


def test_a_name_and_a_number_run_together_are_refused() -> None:
    assert faults("albuterol2.5 mg by nebulizer")
    assert faults("2.5mgalbuterol by nebulizer")


def test_items_without_their_text_pair_too_and_a_ranged_limit_is_refused() -> None:
    ranged = patterns.RANGE.fullmatch("2.5 to 5 mg")
    found: list[Fault] = []
    items = [
        Item(0, Kind.DRUG, "albuterol", "albuterol", "albuterol"),
        Item(1, Kind.MAXIMUM, "2.5 to 5 mg", match=ranged, ranged=True),
    ]
    pair(items, found, BOOK)
    assert [(fault.rule, fault.accepted) for fault in found] == [("a maximum is one amount", "maximum 5 mg")]
    astray = order("albuterol 2.5 mg of 0.5 %, ipratropium 0.5 mg by nebulizer")
    assert len(astray.lines) == 2
