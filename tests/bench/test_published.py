"""A drug's published doses as amounts: volumes in their own strength, parts of combinations, other moieties, ages."""

from dataclasses import replace
from fractions import Fraction
from importlib.resources import files

from drawndose.bench.order import Patient
from drawndose.bench.published import names_alike, published
from drawndose.quantities import Quantity, show
from drawndose.reference import Catalogue, Presentation
from tests.bench.benches import BOOK, amount


def lows(drug: str, moiety: str, *chosen: str) -> dict[str, str]:
    """The low end of each text, by what the text says."""
    texts = published(drug, BOOK, moiety, chosen).texts
    return {text.dose.says: show(text.low.amount) for text in texts if text.low is not None}


def test_a_volume_is_counted_in_the_strength_of_its_own_presentation() -> None:
    found = lows("acetylcysteine", "acetylcysteine")
    assert found["2 to 20 mL every 2 to 6 h"] == "200 mg"
    assert found["1 to 10 mL every 2 to 6 h"] == "200 mg"
    per_kg = lows("racepinephrine", "racepinephrine")
    assert "1.125 mg per kg" in per_kg.values()


def test_a_combination_gives_each_of_its_parts_its_own_amount() -> None:
    half = "guideline, as reported: half a unit dose (1.5 mL) every 20 min, 3 doses"
    assert lows("ipratropium", "ipratropium bromide")[half] == "0.25 mg"
    assert lows("albuterol", "albuterol")[half] == "1.25 mg"


def test_a_text_is_counted_as_the_order_counts_by_every_stated_ratio_or_by_the_chosen_one() -> None:
    units = "80 mg of the prodrug (1 million units) every 12 h"

    def counted(moiety: str, *chosen: str) -> list[str]:
        texts = published("colistimethate", BOOK, moiety, chosen).texts
        return [show(text.low.amount) for text in texts if text.dose.says == units and text.low is not None]

    assert counted("colistin base activity") == ["30 mg", "33 mg"]
    assert counted("colistin base activity", "hospital-guide") == ["33 mg"]
    assert counted("colistimethate sodium") == ["80 mg"]
    assert counted("colistimethate units") == ["1,000,000 units"]
    assert published("colistimethate", BOOK, "colistimethate sodium").uncounted == ("colistin base activity",)
    salt = lows("albuterol", "albuterol sulfate")["guideline, first phase: 2.5 to 5 mg every 20 min, 3 doses"]
    assert salt == "3 mg"
    millimoles = published("magnesium-sulfate", BOOK, "magnesium").texts[0]
    assert millimoles.low.amount.dimension == (("substance", 1),)


def test_a_text_knows_its_kind_and_how_often() -> None:
    by_says = {text.dose.says: text for text in published("albuterol", BOOK, "albuterol").texts}
    runs = by_says["guideline: 10 to 15 mg in an hour, continuous"]
    assert runs.kind == (("mass", 1), ("time", -1))
    child = by_says["start with 0.1 to 0.15 mg per kg a dose; not above 2.5 mg 3 to 4 times daily"]
    assert (child.kind, child.per_kg, child.times_a_day) == ((("mass", 1),), True, 4)
    assert (runs.per_kg, runs.times_a_day) == (False, None)
    day = next(text for text in published("revefenacin", BOOK, "revefenacin").texts if not text.gives)
    assert show(day.in_a_day.amount) == "175 mcg"


def test_what_has_no_amount_to_compare_stands_as_words() -> None:
    delivered = published("iloprost", BOOK, "iloprost")
    assert delivered.texts == ()
    assert any(dose.delivered for dose in delivered.words)
    saline = published("sodium-chloride", BOOK, "sodium chloride")
    assert {text.in_volume_of.printed[:3] for text in saline.texts} == {"3 %", "7 %"}, "no dose of a mere diluent"


class Altered(Catalogue):
    """The packaged catalogue with one presentation altered."""

    def __init__(self, one: Presentation) -> None:
        super().__init__(files("drawndose.reference").joinpath("data"))
        self.one = one

    def presentations_of(self, drug: str) -> tuple[Presentation, ...]:
        return (self.one,) if drug in self.one.drugs else super().presentations_of(drug)


def test_a_volume_of_a_powder_and_a_dose_of_what_the_drug_does_not_count_are_words() -> None:
    vial = BOOK.presentation("pentamidine-300mg-vial")
    volume = replace(vial.doses[0], values=(("each", Quantity.of_text(6, "mL")),))
    powder = Altered(replace(vial, doses=(volume,)))
    assert published("pentamidine", powder, "pentamidine isethionate").texts == ()
    foreign = replace(vial.doses[0], values=(("each", amount(300, "mg", "something else")),))
    other = Altered(replace(vial, doses=(foreign,)))
    assert published("pentamidine", other, "pentamidine isethionate").words == (foreign,)


def test_the_sets_of_texts_by_age_and_by_a_weight_that_goes_with_it() -> None:
    known = published("albuterol", BOOK, "albuterol")
    years = Quantity.of_text(1, "year")

    def population(patient: Patient) -> set[str]:
        return {known.texts[place].dose.population for cell in known.cells(patient) for place in cell}

    assert population(Patient(age=years * 40)) == {
        *("adults", "12 years and older", "adults and 12 years up", "2 years and older and at least 15 kg"),
    }
    assert "adults" in population(Patient())
    assert "adults" not in population(Patient(weight=Quantity.of_text(8, "kg"))), "nobody of 12 years weighs 8 kg"
    assert len(known.cells(Patient(age=years))) == 1
    assert len(known.cells(Patient())) == len(set(known.cells(Patient()))) > 3
    at_twelve = population(Patient(age=years * 12))
    assert {"adults", "children", "2 to 12 years"} <= at_twelve
    assert "2 to 12 years" not in population(Patient(age=years * 13))
    assert "2 to 12 years" in population(Patient(age=years * Fraction(129, 10)))


def test_names_that_hold_one_another() -> None:
    assert [one.id for one in names_alike(BOOK.drug("levalbuterol"), BOOK)] == ["albuterol"]
    assert [one.id for one in names_alike(BOOK.drug("epinephrine"), BOOK)] == ["racepinephrine"]
    assert list(names_alike(BOOK.drug("ipratropium"), BOOK)) == []
