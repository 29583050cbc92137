"""The ordered dose against published ones: each rule both ways, its level and its words; and no order that is published is stopped."""

from dataclasses import replace
from fractions import Fraction

import pytest

from drawndose import Order, Status
from drawndose.bench.findings import Level, Waiver
from drawndose.bench.order import Dose, DrugLine, Patient
from drawndose.bench.order.patient import weights_at
from drawndose.bench.published import End, Text, printed_doses
from drawndose.bench.safeguards import OF_AN_ORDER
from drawndose.bench.safeguards.doses import RULES
from drawndose.quantities import Quantity, read_quantity, show
from drawndose.reference import How
from tests.bench.benches import BOOK, EXAMPLES, made, ready
from tests.bench.safeguards.ordered import on, rules_on, the

OUTSIDE = "dose-outside-published"
NEEDS = "range-needs-age-or-weight"
AN_ADULT = "by nebulizer, 40 years old"
A_CHILD = "by nebulizer, 3 years old, weight 8 kg"

# rule, level, an order that brings it up, one that only just does not, and words that its sentence must say
PLANTED = [
    (OUTSIDE, "stop", f"albuterol 10.1 mg {AN_ADULT}", f"albuterol 10 mg {AN_ADULT}", "above every published dose: 10 mg at most"),
    (OUTSIDE, "caution", f"albuterol 2.49 mg {AN_ADULT}", f"albuterol 2.5 mg {AN_ADULT}", "below every published dose: 2.5 mg at least"),
    (OUTSIDE, "caution", "albuterol 1.25 mg by nebulizer, 80 years old", "albuterol 1.25 mg by nebulizer, 8 years old", "at 80 years is below every published dose"),
    (OUTSIDE, "stop", "albuterol 2.5 mcg by nebulizer, made up to 3 mL", "albuterol 2.5 mg by nebulizer, made up to 3 mL", "45 mcg at least. 2.5 mcg is a thousandth of 2.5 mg: mg and mcg look alike."),
    (OUTSIDE, "caution", "albuterol 44 mcg by nebulizer", "albuterol 45 mcg by nebulizer", "45 mcg at least (0.15 mg per kg at only 0.3 kg, acute, later doses)"),
    (OUTSIDE, "caution", "albuterol 0.39 mg by nebulizer, 4 years old", "albuterol 0.4 mg by nebulizer, 4 years old", "0.4 mg at least (0.1 mg per kg at only 4 kg, maintenance)"),
    (OUTSIDE, "stop", "albuterol 12 mg by nebulizer, weight 80 kg", "albuterol 10 mg by nebulizer, weight 80 kg", "at 80 kg is above every published dose: 10 mg at most"),
    (OUTSIDE, "stop", "lidocaine 450 mg by nebulizer, 14 years old, weight 60 kg", "lidocaine 400 mg by nebulizer, 14 years old, weight 60 kg", "400 mg at most (upper limit, bronchoscopy)"),
    (OUTSIDE, "stop", "tobramycin 3000 mg by nebulizer, 2 years old", "tobramycin 300 mg by nebulizer, 2 years old", "at 2 years is above every published dose for anyone: 300 mg at most"),
    (OUTSIDE, "stop", "tobramycin 300 mcg by nebulizer, 2 years old", "tobramycin 100 mg by nebulizer, 2 years old", "is below every published dose for anyone: 300 mg at least"),
    (OUTSIDE, "stop", f"terbutaline 100 mg {AN_ADULT}", f"terbutaline 10 mg {AN_ADULT}", "100 mg is 10 times 10 mg"),
    (OUTSIDE, "caution", f"terbutaline 99 mg {AN_ADULT}", f"terbutaline 10 mg {AN_ADULT}", "10 mg at most"),
    (OUTSIDE, "stop", "albuterol 25 mg by nebulizer", "albuterol 10 mg by nebulizer", "25 mg is 10 times 2.5 mg."),
    (OUTSIDE, "stop", f"albuterol 0.32 mg/kg {A_CHILD}", f"albuterol 0.3 mg/kg {A_CHILD}", "at 3 years and 8 kg"),
    (OUTSIDE, "caution", f"albuterol 0.05 mg/kg {A_CHILD}", f"albuterol 0.1 mg/kg {A_CHILD}", "below every published dose: 0.63 mg"),
    (OUTSIDE, "stop", f"ipratropium 500 mg {AN_ADULT}", f"ipratropium 500 mcg {AN_ADULT}", "500 mg is 1,000 times 0.5 mg: mg and mcg look alike."),
    (OUTSIDE, "stop", "epinephrine 0.51 mg/kg by nebulizer, weight 8 kg", "epinephrine 0.5 mg/kg by nebulizer, weight 8 kg", "4 mg at most (0.5 mg per kg, croup)"),
    (OUTSIDE, "stop", f"levalbuterol 2.5 mg {AN_ADULT}", f"levalbuterol 1.25 mg {AN_ADULT}", "published dose of albuterol, another drug"),
    (OUTSIDE, "stop", "budesonide 2 mg by nebulizer", "budesonide 1 mg by nebulizer", "1 mg at most"),
    (OUTSIDE, "stop", f"revefenacin 180 mcg {AN_ADULT}", f"revefenacin 175 mcg {AN_ADULT}", "175 mcg at most"),
    (OUTSIDE, "caution", f"arformoterol 22 mcg {AN_ADULT}", f"arformoterol 15 mcg {AN_ADULT}", "22 mcg is 15 mcg counted as arformoterol tartrate."),
    (OUTSIDE, "caution", f"glycopyrrolate 200 mcg {AN_ADULT}", f"glycopyrrolate 50 mcg {AN_ADULT}", "200 mcg is 8 times 25 mcg"),
    (OUTSIDE, "caution", f"terbutaline 4.9 mg {AN_ADULT}", f"terbutaline 5 mg {AN_ADULT}", "5 mg at least"),
    (OUTSIDE, "caution", "albuterol 16 mg/h by nebulizer for 4 h, output 25 mL/h, 40 years old", "albuterol 15 mg/h by nebulizer for 4 h, output 25 mL/h, 40 years old", "15 mg per h at most (continuous)"),
    (OUTSIDE, "caution", "sodium chloride 7 % 5 mL by nebulizer, 40 years old", "sodium chloride 7 % 4 mL by nebulizer, 40 years old", "350 mg of sodium chloride"),
    ("no-dose-for-population", "caution", "formoterol 20 mcg by nebulizer, 11 years old", "formoterol 20 mcg by nebulizer, 12 years old", "For children: not indicated."),
    ("no-dose-for-population", "caution", "cromolyn 20 mg by nebulizer, 23 months old", "cromolyn 20 mg by nebulizer, 2 years old", "not recommended"),
    ("published-dose-missing", "note", f"epinephrine 5 mg {AN_ADULT}", "epinephrine 5 mg by nebulizer, 4 years old", "No published dose of epinephrine at 40 years"),
    ("published-dose-missing", "note", "iloprost 10 mcg by nebulizer", "tobramycin 300 mg by nebulizer", "count what the device delivers"),
    ("published-dose-missing", "note", "ipratropium 1 mg/h by nebulizer for 2 h, output 25 mL/h", "albuterol 10 mg/h by nebulizer for 2 h, output 25 mL/h", "per hour"),
    ("published-dose-missing", "note", "tobramycin sulfate 300 mg by nebulizer", "tobramycin 300 mg by nebulizer", "no stated ratio leads there"),
    ("published-dose-missing", "note", "albuterol 3 breaths by nebulizer", "albuterol 3 mg by nebulizer", "The order counts 3 breaths"),
    ("published-dose-missing", "note", f"magnesium sulfate 151 mg {AN_ADULT}", "magnesium sulfate 151 mg by nebulizer, 10 years old", "evidence for nebulized magnesium is insufficient"),
    (NEEDS, "note", "albuterol 2 mg by nebulizer, 4 years old", "albuterol 2 mg by nebulizer, 4 years old, weight 16 kg", "it goes by weight, and the order gives none"),
    (NEEDS, "caution", "albuterol 0.25 mg by nebulizer", "albuterol 0.25 mg by nebulizer, 3 months old, weight 2 kg", "0.25 mg is a tenth of 2.5 mg."),
    (NEEDS, "note", "ipratropium 250 mcg by nebulizer", "ipratropium 500 mcg by nebulizer", "less than the 0.5 mg published for adults; the order gives no age"),
    (OUTSIDE, "stop", "albuterol 0.15 mg/kg by nebulizer, 200 kg", "albuterol 0.15 mg/kg by nebulizer, 60 kg", "30 mg of albuterol at 200 kg is above every published dose"),
    (NEEDS, "caution", "terbutaline 8 mg by nebulizer", "terbutaline 5 mg by nebulizer", "8 mg of terbutaline is more than the 5 mg published for children; the order gives no age"),
    (NEEDS, "caution", "levalbuterol 2.5 mg by nebulizer", "levalbuterol 1.25 mg by nebulizer", "2.5 mg of levalbuterol is more than the 1.25 mg published for 12 years and older"),
    (NEEDS, "note", "levalbuterol 0.31 mg by nebulizer", "levalbuterol 0.63 mg by nebulizer", "gives no age"),
    ("floor-dose", "note", f"albuterol 2.5 mg {A_CHILD}", "albuterol 2.5 mg by nebulizer, 3 years old, weight 17 kg", "never less than 2.5 mg (acute, first 3 doses), 0.8 mg to 1.2 mg (maintenance)"),
    ("floor-dose", "note", f"albuterol 0.15 mg/kg {A_CHILD}", "albuterol 0.15 mg/kg by nebulizer, 3 years old, weight 17 kg", "1.2 mg of albuterol"),
]  # fmt: skip


def test_a_facility_may_call_less_than_ten_times_far() -> None:
    text = f"terbutaline 60 mg {AN_ADULT}"  # 6 times the most that is published, which one source alone bounds
    assert [the(text, OUTSIDE, far_beyond=far).level for far in (10, 7, 6)] == [
        Level.CAUTION,
        Level.CAUTION,
        Level.STOP,
    ]


@pytest.mark.parametrize(
    ("rule", "level", "fires", "near", "says"), PLANTED, ids=[f"{place}-{one[0]}" for place, one in enumerate(PLANTED)]
)
def test_a_planted_fault_is_found_and_its_near_miss_is_not(
    rule: str, level: str, fires: str, near: str, says: str
) -> None:
    finding = the(fires, rule)
    assert finding.level.value == level
    assert says in finding.says
    assert finding.do
    assert finding.origin.source in BOOK.sources
    assert len(finding.says.split()) <= 40
    assert rule not in rules_on(near)


def test_every_rule_on_an_order_has_a_planted_fault_and_one_shape() -> None:
    assert {one.id for one in RULES} == {one[0] for one in PLANTED}
    for one in (rule for family in OF_AN_ORDER for rule in family.RULES):
        assert one.asks.endswith("?")
        assert one.needs


def test_a_stop_is_lifted_by_the_prescriber_alone_and_a_doubtful_figure_by_the_preparer() -> None:
    stop = the(f"albuterol 25 mg {AN_ADULT}", OUTSIDE)
    assert (stop.level, stop.waiver) == (Level.STOP, Waiver.PRESCRIBER)
    assert stop.do == "Ask the prescriber; only a changed order goes on."
    single = the(f"arformoterol 30 mcg {AN_ADULT}", OUTSIDE)
    assert (single.level, single.waiver) == (Level.CAUTION, Waiver.PREPARER)
    assert single.do.endswith("one source alone bounds this figure.")
    memory = the(f"terbutaline 30 mg {AN_ADULT}", OUTSIDE)
    assert (memory.level, memory.origin.how) == (Level.CAUTION, How.MEMORY)
    assert memory.do.endswith("this figure is from memory.")


def test_of_equal_ends_the_one_that_was_read_most_surely_is_named() -> None:
    assert the(f"albuterol 2 mg {AN_ADULT}", OUTSIDE).origin.how is How.SECONDARY
    read = the(f"levalbuterol 1.3 mg {AN_ADULT}", OUTSIDE).origin
    assert (read.source, read.how) == ("us-label-levalbuterol-3ml-official", How.READ)


def test_a_stop_of_the_dose_holds_the_plan_and_shows_the_way_out() -> None:
    plan = made(f"albuterol 25 mg {AN_ADULT}, to 6 mL")
    assert plan.status is Status.STOPPED
    assert (plan.takes, plan.fill, plan.steps, plan.label, plan.leftovers, plan.not_taken) == ((), None, (), (), (), ())
    assert plan.ways_out == ("Ask the prescriber; only a changed order goes on.", "Ask the pharmacy.")
    assert [finding.level for finding in plan.findings] == [Level.STOP]
    assert [question.field for question in plan.questions] == ["frequency"]


def test_a_caution_or_a_note_stands_with_those_of_the_way_and_holds_nothing() -> None:
    plan = ready("albuterol 2.5 mg by nebulizer to 3 mL, 3 years old, weight 8 kg", "albuterol-0.5pct-bottle-20ml")
    found = [finding.rule for finding in plan.findings]
    assert "floor-dose" in found
    assert "preservative-carried" in found
    levels = [finding.level for finding in plan.findings]
    assert levels == sorted(levels, key=[Level.STOP, Level.CAUTION, Level.NOTE].index)


def test_an_order_that_asks_something_is_not_yet_compared() -> None:
    asking = made("albuterol 0.15 mg/kg by nebulizer")
    assert (asking.status, asking.findings) == (Status.ASK, ())
    assert on("albuterol 0.5 mL by nebulizer") == (), "a volume of no strength is no dose yet"


def test_each_drug_of_an_order_is_compared() -> None:
    both = made(f"albuterol 2.5 mg and ipratropium 5 mg {AN_ADULT}")
    assert both.status is Status.STOPPED
    assert "5 mg is 10 times 0.5 mg" in both.findings[0].says


def test_a_strength_that_the_order_names_is_what_its_label_says() -> None:
    # 0.083 % of 3 mL is 2.49 mg by the percent, and 2.5 mg by the label, which counts.
    assert OUTSIDE not in rules_on(f"albuterol 0.083 % 3 mL {AN_ADULT}")
    assert OUTSIDE not in rules_on(f"albuterol sulfate 0.083 % 3 mL {AN_ADULT}")
    assert OUTSIDE in rules_on(f"albuterol 0.083 % 2.9 mL {AN_ADULT}")
    assert OUTSIDE not in rules_on(f"albuterol 0.1 % 3 mL {AN_ADULT}"), (
        "a strength that no label prints: by its percent"
    )


def test_a_volume_is_held_against_volumes_of_the_named_strength_only() -> None:
    assert rules_on("sodium chloride 3 % 4 mL by nebulizer, 40 years old") == set()
    # 4 mL of 7 % is 280 mg and published; 9.3 mL of 3 % is nearly as much sodium chloride, and is not.
    assert OUTSIDE in rules_on("sodium chloride 3 % 9 mL by nebulizer, 40 years old")
    missing = the("sodium chloride 10 % 4 mL by nebulizer, 40 years old", "published-dose-missing")
    assert missing.says == "No published amount of sodium chloride is in the catalogue: not compared."


def test_a_salt_is_compared_with_doses_of_its_base() -> None:
    assert OUTSIDE not in rules_on(f"albuterol sulfate 12 mg {AN_ADULT}")
    assert OUTSIDE in rules_on(f"albuterol sulfate 12.1 mg {AN_ADULT}")


def test_where_published_ratios_disagree_the_widest_range_counts_until_one_is_chosen() -> None:
    text = f"colistimethate base activity 14 mg {AN_ADULT}, weight 30 kg"
    assert "75 mg at least" not in the(text, OUTSIDE).says
    assert "15 mg at least" in the(text, OUTSIDE).says
    assert "16.5 mg at least" in the(text, OUTSIDE, equivalences=("hospital-guide",)).says


def test_a_long_text_is_not_quoted() -> None:
    assert "reservoir" not in the("ribavirin 6 g by nebulizer", "published-dose-missing").says


def test_without_an_age_a_stop_needs_every_age_to_be_sure_of_it() -> None:
    # Below 4 years one page alone bounds racepinephrine; from 4 years on there are two.
    assert the("racepinephrine 12 mg by nebulizer", OUTSIDE).level is Level.CAUTION
    assert the("racepinephrine 12 mg by nebulizer, 5 years old", OUTSIDE).level is Level.STOP


def test_an_order_without_a_problem_brings_nothing_up() -> None:
    fine = (
        "albuterol 2.5 mg by nebulizer, made up to 3 mL, every 4 hours",
        "levalbuterol 0.63 mg by nebulizer 3 times daily",
        "racepinephrine 2.25 % 0.05 mL/kg max 0.5 mL by nebulizer to 3 mL, weight 8 kg",
        "tobramycin 300 mg by nebulizer twice daily",
        "acetylcysteine 600 mg by nebulizer every 6 hours",
        "albuterol 2.5 mg and ipratropium 0.5 mg by nebulizer every 6 hours",
        f"formoterol 20 mcg {AN_ADULT}, every 12 hours",
        "albuterol 0.15 mg/kg max 5 mg by nebulizer to 3 mL, weight 20 kg",
    )
    assert {text: on(text) for text in fine if on(text)} == {}


@pytest.mark.parametrize("text", [text for text, _, _ in EXAMPLES])
def test_no_example_of_the_house_is_stopped_or_cautioned_for_its_dose(text: str) -> None:
    assert [one for one in on(text) if one.level is not Level.NOTE] == []


# ------------------------------------------------------------------------- every published dose, ordered exactly

WEIGHTS = [read_quantity(f"{kg} kg") for kg in ("8", "16", "25", "40", "41", "70")]
TEXTS = [(drug.id, text) for drug in BOOK.drugs for text in printed_doses(drug.id, BOOK)[0]]


def patients(text: Text) -> list[Patient]:
    """Patients at both ends of the text's ages and inside, with every weight that goes with the text and the age."""
    age = text.dose.age
    low = age.at_least or Quantity.of_text(1, "day")
    high = age.below * Fraction(999, 1000) if age.below is not None else Quantity.of_text(60, "year")
    ages = [low, (low + high) / 2, high]
    weights = [one for one in WEIGHTS if text.dose.weight.admit(one)]
    known = [Patient(age=one, weight=weight) for one in ages for weight in weights if goes_with(one, weight)]
    alone = [Patient(weight=weight) for weight in weights if any(goes_with(one, weight) for one in ages)]
    return [*known, *alone, *(Patient(age=one) for one in ages), Patient()]


def goes_with(age: Quantity, weight: Quantity) -> bool:
    least, most = weights_at(age)
    return least <= weight <= most


def exactly(drug: str, text: Text, patient: Patient) -> list[Quantity]:
    """Every value of the text as one dose of this patient: a minimum and a maximum where they act, at any weight not known.

    A dose per kg without a maximum of its own goes no further than the largest amount that is printed for anyone.
    """

    def at(end: End) -> Quantity | None:
        if not end.per_kg:
            return end.amount
        return end.amount * patient.weight if patient.weight is not None else None

    found = [amount for end in (text.low, text.high) if end is not None and (amount := at(end)) is not None]
    least, most = text.least, text.most
    if least is not None:
        found = [max(one, least.amount) for one in found] or [least.amount]
    if most is None and text.high is not None and text.high.per_kg:
        most = max(flat(drug, text), key=lambda end: end.base, default=None)
    if most is not None:
        found = [min(one, most.amount) for one in found] or [most.amount]
    return found


def flat(drug: str, text: Text) -> list[End]:
    """Every amount that a text of this drug and kind prints as a dose, without a weight in it."""
    alike = [one for name, one in TEXTS if (name, one.kind, one.moiety) == (drug, text.kind, text.moiety)]
    ends = [end for one in alike for end in (one.low, one.high, one.least, one.most)]
    return [end for end in ends if end is not None and not end.per_kg]


def as_order(drug: str, amount: Quantity, patient: Patient) -> Order:
    runs = ("time", -1) in amount.dimension
    line = DrugLine(drug=BOOK.drug(drug), moiety=amount.of[0][0], as_written=drug, dose=Dose(amount=amount))
    duration = Quantity.of_text(4, "h") if runs else None
    return Order(lines=(line,), route="nebulized", patient=patient, duration=duration)


@pytest.mark.parametrize(("drug", "text"), TEXTS, ids=[f"{place}-{drug}" for place, (drug, _) in enumerate(TEXTS)])
def test_a_published_dose_ordered_exactly_for_its_population_is_never_outside(drug: str, text: Text) -> None:
    tried = [
        (as_order(drug, amount, patient), amount)
        for patient in patients(text)
        for amount in exactly(drug, text, patient)
    ]
    assert tried or not text.gives
    for asked, amount in tried:
        found = [one for one in on(asked) if one.level is Level.STOP or one.rule == OUTSIDE]
        assert found == [], (show(amount), asked.patient)


def test_every_dose_in_the_catalogue_is_a_text_or_stands_as_words() -> None:
    whole = {dose for one in BOOK.presentations if not one.diluent for dose in one.doses}
    words = {dose for drug in BOOK.drugs for dose in printed_doses(drug.id, BOOK)[1]}
    assert {text.dose for _, text in TEXTS} | words == whole


def test_a_planted_range_too_narrow_is_caught_by_the_sweep() -> None:
    text = next(text for drug, text in TEXTS if drug == "budesonide" and text.high is not None)
    wider = replace(text, high=End(text.high.amount * 20, text.high.base * 20, False))
    child = Patient(age=Quantity.of_text(4, "year"))
    assert any(
        one.rule == OUTSIDE
        for amount in exactly("budesonide", wider, child)
        for one in on(as_order("budesonide", amount, child))
    )
