"""Two published traps, worked from the catalogue's own records: the dose with a floor, and the drug that counts half.

Sources: the emergency dose table of the US national asthma panel, 2007, as a children's hospital's guideline page gives it
(albuterol 0.15 mg per kg, at least 2.5 mg, then 0.15 to 0.3 mg per kg up to 10 mg), and a page that answers for
levalbuterol with half of each figure (0.075 mg per kg, at least 1.25 mg, then up to 0.15 mg per kg and 5 mg). A question
and answer page: 2.5 mg as maintenance for 2 years and older and at least 15 kg. Tolerance: none, the figures are exact.
"""

from fractions import Fraction

import pytest

from drawndose import load
from drawndose.bench.held import Held
from drawndose.quantities import Quantity
from tests.bench.safeguards.ordered import beside, rules_on, the

BOOK = load()
FIRST = "guideline, first phase"
LATER = "guideline, after the first 3 doses"
SOURCES = {"albuterol": "hospital-page-asthma-panel-2007-doses", "levalbuterol": "qa-page-levalbuterol-guideline-dose"}


def text(drug: str, kg: str, says: str) -> Held:
    asked = f"{drug} 2.5 mg by nebulizer, 3 years old, weight {kg} kg"
    (found, *_) = [one for one in beside(asked).texts if one.text.dose.says.startswith(says)]
    assert found.text.dose.origin.source == SOURCES[drug]
    return found


def mg(one: Fraction | None) -> Fraction | None:
    return None if one is None else one * 1000


@pytest.mark.parametrize(
    ("kg", "first", "later"),
    [
        ("5", "2.5", ("0.75", "1.5")),
        ("10", "2.5", ("1.5", "3")),
        ("16", "2.5", ("2.4", "4.8")),
        ("16.6", "2.5", ("2.49", "4.98")),  # below 16.7 kg the first dose is flat
        ("20", "3", ("3", "6")),
        ("40", "6", ("6", "10")),
    ],
)
def test_the_first_dose_of_albuterol_is_flat_below_16_7_kg_and_the_later_ones_end_at_10_mg(
    kg: str, first: str, later: tuple[str, str]
) -> None:
    floored, after = text("albuterol", kg, FIRST), text("albuterol", kg, LATER)
    assert (mg(floored.low), mg(floored.high)) == (Fraction(first), Fraction(first))
    assert floored.floor is (Fraction(kg) * Fraction(15, 100) < Fraction(5, 2))
    assert (mg(after.low), mg(after.high)) == tuple(Fraction(one) for one in later)


@pytest.mark.parametrize("kg", ["5", "10", "16", "20", "40"])
def test_levalbuterol_is_given_in_half_the_mg_of_albuterol(kg: str) -> None:
    for says in (FIRST, LATER):
        racemic, half = text("albuterol", kg, says), text("levalbuterol", kg, f"{says}")
        assert (half.low, half.high) == (racemic.low / 2, racemic.high / 2)  # type: ignore[operator]


def test_below_15_kg_the_purpose_decides_and_nothing_is_stopped() -> None:
    for dose in ("2.5 mg", "0.15 mg/kg"):
        asked = f"albuterol {dose} by nebulizer, 3 years old, weight 12 kg"
        note = the(asked, "floor-dose")
        assert note.level.value == "note"
        assert "The order does not say which." in note.says
        assert "dose-outside-published" not in rules_on(asked)
    assert "floor-dose" not in rules_on("albuterol 2.5 mg by nebulizer, 3 years old, weight 16.7 kg")


def test_the_maintenance_dose_of_2_5_mg_begins_at_15_kg() -> None:
    says = "2.5 mg 3 to 4 times daily"
    whole = [dose for one in BOOK.presentations_of("albuterol") for dose in one.doses if dose.says == says]
    (found,) = [dose for dose in whole if dose.weight.ends]
    assert found.origin.source == "qa-page-albuterol-weight-rule"
    assert found.weight.at_least == Quantity.of_text(15, "kg")


def test_the_mg_of_albuterol_ordered_as_levalbuterol_are_named() -> None:
    grown = the("levalbuterol 2.5 mg by nebulizer, 30 years old", "dose-outside-published")
    assert grown.says.endswith("2.5 mg is a published dose of albuterol, another drug.")
    assert "dose-outside-published" in rules_on("levalbuterol 0.16 mg/kg by nebulizer, 3 years old, weight 12 kg")
    assert "dose-outside-published" not in rules_on("levalbuterol 0.15 mg/kg by nebulizer, 3 years old, weight 12 kg")
