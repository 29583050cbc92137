"""What explains a dose outside every published one, each kind once and not where it only nearly fits."""

import pytest

from drawndose.bench.slips import power_of_ten, slip
from tests.bench.benches import BOOK
from tests.bench.safeguards.ordered import beside

ADULT = "by nebulizer, 40 years old"


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (f"albuterol 25 mg {ADULT}", "25 mg is 10 times 2.5 mg."),
        (f"albuterol 26 mg {ADULT}", ""),
        (f"albuterol 0.25 mg {ADULT}", "0.25 mg is a tenth of 2.5 mg."),
        (f"albuterol 250 mg {ADULT}", "250 mg is 100 times 2.5 mg."),
        (f"albuterol 0.025 mg {ADULT}", "0.025 mg is a hundredth of 2.5 mg."),
        (f"albuterol 2.5 mcg {ADULT}", "2.5 mcg is a thousandth of 2.5 mg: mg and mcg look alike."),
        (f"budesonide 500 mg {ADULT}".replace("40", "4"), "500 mg is 1,000 times 0.5 mg: mg and mcg look alike."),
        ("albuterol 12 mg by nebulizer, 3 years old, weight 8 kg", "12 mg is 10 times 1.2 mg."),
        ("albuterol 100 mg/h by nebulizer for 1 h, output 25 mL/h, 40 years old", "100 mg per h is 10 times 10 mg per h."),
        ("colistimethate 10 million units by nebulizer, weight 50 kg", "10,000,000 units is 10 times 1,000,000 units."),
        (f"arformoterol 22 mcg {ADULT}", "22 mcg is 15 mcg counted as arformoterol tartrate."),
        (f"levalbuterol 1.44 mg {ADULT}", "1.44 mg is 1.25 mg counted as levalbuterol hydrochloride."),
        (f"levalbuterol 2.5 mg {ADULT}", "2.5 mg is a published dose of albuterol, another drug."),
        (f"albuterol 0.31 mg {ADULT}", "0.31 mg is a published dose of levalbuterol, another drug."),
        (f"arformoterol 20 mcg {ADULT}", "20 mcg is a published dose of formoterol, another drug."),
        (f"albuterol 15 mg {ADULT}", "15 mg is 6 times 2.5 mg, as 5 mg per mL is of 2.5 mg in 3 mL."),
        (f"glycopyrrolate 6.25 mcg {ADULT}", "50 mcg is 8 times 6.25 mcg, as 0.2 mg per mL is of 25 mcg per mL."),
        ("sodium chloride 7 % 8 mL by nebulizer, 40 years old", ""),
        (f"cromolyn 30 mg {ADULT}", ""),
    ],
)  # fmt: skip
def test_the_explanation_of_a_slip(text: str, says: str) -> None:
    assert slip(beside(text), BOOK) == says


def test_beside_a_missing_weight_only_a_texts_one_value_explains() -> None:
    assert power_of_ten(beside("albuterol 1 mg by nebulizer, 4 years old")) == "1 mg is a tenth of 10 mg."
    assert power_of_ten(beside("albuterol 1 mg by nebulizer, 4 years old"), single=True) == ""
    assert power_of_ten(beside("albuterol 0.063 mg by nebulizer, 4 years old"), single=True)
