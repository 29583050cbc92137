"""Published doses as data: for whom each holds, what kind each value is, and a second typing of the ages."""

import pytest

from drawndose import load
from drawndose.quantities import Fault, Quantity, Unlike, read_quantity, show
from drawndose.reference import Bounds, How, PublishedDose
from drawndose.reference.published import VALUES_OF_A_DOSE, take_dose
from drawndose.reference.table import Table

BOOK = load()
DOSES = [(one.id, dose) for one in BOOK.presentations for dose in one.doses]
BARE = {"population": "children", "purpose": "acute", "says": "so much", "source": "s", "at": "-", "how": "read"}


def taken(moiety: str = "albuterol", **values: object) -> tuple[PublishedDose, list[Fault]]:
    faults: list[Fault] = []
    return take_dose(Table({**BARE, **values}, "dose", faults), moiety), faults


def test_every_value_of_the_catalogue_is_a_quantity_of_what_the_label_counts() -> None:
    given = [(ident, key, value) for ident, dose in DOSES for key, value in dose.values]
    assert len(given) > 150
    assert {key for _, key, _ in given} <= set(VALUES_OF_A_DOSE)
    assert all(value.value > 0 for _, _, value in given)
    amounts = [(ident, value) for ident, _, value in given if any(part[0] == "mass" for part in value.dimension)]
    for ident, value in amounts:
        assert value.of, ident
        assert value.of[0][0] in {active.moiety for active in BOOK.presentation(ident).actives}


# The ages of populations that print one, typed a second time from their words.
AGES = {
    "12 years and older": ("12 years", ""),
    "adults and 12 years up": ("12 years", ""),
    "2 to 12 years": ("2 years", "13 years"),
    "6 to 11 years": ("6 years", "12 years"),
    "12 years and under": ("", "13 years"),
    "2 to 16 years": ("2 years", "17 years"),
    "4 years and older": ("4 years", ""),
    "under 18 years": ("", "18 years"),
    "under 2 years": ("", "2 years"),
    "children": ("", "18 years"),
    "adults": ("12 years", ""),
    "adults and children": ("", ""),
}


@pytest.mark.parametrize("population", AGES)
def test_the_words_of_a_population_and_its_bounds_say_the_same(population: str) -> None:
    low, below = (read_quantity(text) if text else None for text in AGES[population])
    found = {dose.age for _, dose in DOSES if dose.population == population}
    assert found == {Bounds(at_least=low, below=below)}


def test_every_population_that_prints_an_age_or_a_weight_has_a_bound() -> None:
    for ident, dose in DOSES:
        if any(word in dose.population for word in ("year", "month", "kg")):
            assert dose.age.ends or dose.weight.ends, (ident, dose.population)
    assert {dose.weight for _, dose in DOSES if dose.weight.ends} == {
        Bounds(at_least=read_quantity("15 kg")),
        Bounds(above=read_quantity("40 kg")),
        Bounds(at_most=read_quantity("40 kg")),
    }


def test_a_text_that_says_how_often_has_it_as_a_value() -> None:
    words = {"twice daily": "2", "4 times daily": "4", "3 to 4 times daily": "4", "once daily": "1"}
    for ident, dose in DOSES:
        if dose.says.endswith(tuple(words)) and dose.value("each", "from") is not None:
            assert dose.value("most_often") is not None, (ident, dose.says)


def test_a_text_without_a_dose_says_so_and_what_a_device_delivers_is_marked() -> None:
    assert {dose.says for _, dose in DOSES if dose.no_dose} == {
        "not indicated",
        "not labelled for adults",
        "not recommended",
        "not established",
        "not indicated in adults",
    }
    delivered = {ident.partition("-")[0] for ident, dose in DOSES if dose.delivered}
    assert delivered == {"iloprost", "treprostinil"}


def test_bounds_count_their_ends_in_or_out() -> None:
    year = Quantity.of_text(1, "year")
    assert Bounds(at_least=year, at_most=year).admit(year)
    assert not Bounds(above=year).admit(year)
    assert not Bounds(below=year).admit(year)
    assert Bounds().admit(year)
    assert Bounds().ends == ()
    assert Bounds(above=year, below=year * 2).admit(year * 3 / 2)
    assert not Bounds(at_most=year).admit(year * 2)
    assert not Bounds(at_least=year * 2).admit(year)
    with pytest.raises(Unlike):
        Bounds(above=year).admit(Quantity.of_text(3, "kg"))


def test_a_dose_is_read_with_its_values_bounds_and_moiety() -> None:
    dose, faults = taken(
        **{"from": "0.1 mg/kg", "to": "0.15 mg/kg"}, maximum="2.5 mg", age_from="2 years", weight_to="40 kg"
    )
    assert faults == []
    assert [(key, show(value)) for key, value in dose.values] == [
        ("from", "0.1 mg per kg"),
        ("to", "0.15 mg per kg"),
        ("maximum", "2.5 mg"),
    ]
    assert dose.value("each", "to") == read_quantity("0.15 mg/kg", of="albuterol")
    assert dose.value("each") is None
    assert (dose.age.at_least, dose.weight.at_most) == (read_quantity("2 years"), read_quantity("40 kg"))
    assert dose.origin.how is How.READ
    units, faults = taken(each="1,000,000 units", of="colistimethate units")
    assert faults == []
    assert units.value("each").of == (("colistimethate units", 1),)  # type: ignore[union-attr]
    nothing, faults = taken(moiety="", no_dose=True)
    assert (nothing.values, nothing.no_dose, faults) == ((), True, [])


@pytest.mark.parametrize(
    ("values", "key", "accepted"),
    [
        ({"each": "2.5 h"}, "each", "2.5 mg, 0.5 mL"),
        ({"each": "5 mg/mL"}, "each", "2.5 mg, 0.5 mL"),
        ({"per_kg": "2.5 mg"}, "per_kg", "0.15 mg/kg"),
        ({"per_hour": "0.5 mg/kg/h"}, "per_hour", "10 mg/h"),
        ({"per_kg_hour": "0.5 mg/kg"}, "per_kg_hour", "0.5 mg/kg/h"),
        ({"minimum": "2.5 mg/kg"}, "minimum", "2.5 mg, 0.5 mL"),
        ({"most_in_a_day": "2.5 mg/kg"}, "most_in_a_day", "2.5 mg, 0.5 mL"),
        ({"least_interval": "4 mg"}, "least_interval", "4 h"),
        ({"most_often": "4 h"}, "most_often", "4 doses/day"),
        ({"from": "5 mg", "to": "2.5 mg"}, "to", "more than from"),
        ({"from": "5 mg", "to": "6 mg/kg"}, "to", "more than from"),
        ({"minimum": "5 mg", "maximum": "2.5 mg"}, "maximum", "more than minimum"),
        ({"each": "5 mg", "no_dose": True}, "no_dose", "no_dose, or values"),
        ({"age_from": "2 kg"}, "age_from", "a time with its unit"),
    ],
)
def test_a_value_of_another_kind_is_a_fault_at_its_key(values: dict[str, object], key: str, accepted: str) -> None:
    _, faults = taken(**values)
    assert [(fault.field, fault.accepted) for fault in faults] == [(f"dose.{key}", accepted)]


def test_good_values_of_every_kind_are_no_fault() -> None:
    good = {"per_kg": "0.1 mg/kg", "minimum": "2.5 mg", "maximum": "5 mg", "least_interval": "4 weeks"}
    rates = {"per_hour": "10 mg/h"}, {"per_kg_hour": "0.5 mg/kg/h"}, {"from": "10 mg/h", "to": "15 mg/h"}
    for values in (good, *rates, {"each": "3 mL", "most_in_a_day": "18 mL"}, {"each": "1 mmol"}):
        assert taken(**values)[1] == [], values
