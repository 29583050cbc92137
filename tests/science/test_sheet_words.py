"""A sheet in the words that people type: read whole, or refused with everything that is wrong with it."""

from math import inf

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawndose.quantities import Fault, Refused
from drawndose.science.import_readings import decode_readings
from drawndose.science.sheet_words import BOXES, Filled, Reader, weigh_words
from drawndose.science.verdict import Acceptance, Call
from drawndose.science.weighing import Balance, Blank

HALF = {"target": "0.5 mL"}


def filled(**boxes: str) -> Filled:
    read = Reader({**HALF, **{name.replace("_", "-"): text for name, text in boxes.items()}})
    found = read.filled()
    assert read.faults == []
    return found


def faults(readings: str = "0.5", **boxes: str) -> list[Fault]:
    typed = {**HALF, **{name.replace("_", "-"): text for name, text in boxes.items()}}
    with pytest.raises(Refused) as refusal:
        weigh_words(typed, lambda: readings)
    return list(refusal.value.faults)


def at(readings: str = "0.5", **boxes: str) -> list[str]:
    return [fault.field for fault in faults(readings, **boxes)]


def test_empty_boxes_take_their_defaults_and_what_was_taken_is_told() -> None:
    found = filled()
    sheet = found.sheet
    assert (sheet.target_mL, sheet.tolerance_mL, found.limit) == (0.5, pytest.approx(0.025), 0.05)
    assert (sheet.t_degC, sheet.p_hPa, sheet.rh_percent, sheet.liquid) == (21.0, 1013.0, 50.0, "water")
    assert (sheet.evaporation, sheet.gamma_per_degC, sheet.capacity_mL) == (None, 0.0, inf)
    assert sheet.acceptance is Acceptance.GUARDED
    assert sheet.balance == Balance(readability_g=0.0001, repeatability_g=0.0002)
    assert found.taken == (
        "a display in steps of 0.1 mg",
        "repeated readings that spread by 0.2 mg, two steps of the display",
    )


def test_every_box_is_read() -> None:
    found = filled(
        within="0.02 mL", instrument="syringe-1", limit="10 %", acceptance="simple", liquid="acetylcysteine",
        density="1.06 g/mL", density_uncertainty="0.005", temperature="22.5 degC", pressure="998 hPa", humidity="40 %",
        step="1 mg", repeatability="1.5 mg of 10 readings", most="220 g", blank="0.6 mg", blank_uncertainty="0.2 mg",
        expansion="0.0003",
    )  # fmt: skip
    sheet = found.sheet
    assert (sheet.tolerance_mL, found.limit, sheet.capacity_mL) == (0.02, 0.1, 1.0)
    assert (sheet.density_g_mL, sheet.density_u_g_mL) == (1.06, 0.005)
    assert (sheet.t_degC, sheet.p_hPa, sheet.rh_percent) == (22.5, 998.0, 40.0)
    assert sheet.balance == Balance(readability_g=0.001, repeatability_g=0.0015, nu=9.0, most_g=220.0)
    assert sheet.evaporation == Blank(lost_g=0.0006, lost_u_g=0.0002)
    assert (sheet.gamma_per_degC, sheet.acceptance) == (0.0003, Acceptance.SIMPLE)
    assert found.taken == ()


def test_an_instrument_may_be_told_by_what_it_holds() -> None:
    assert filled(instrument="1 mL").sheet.capacity_mL == 1.0


def test_a_balance_of_the_catalogue_and_what_is_typed_before_it() -> None:
    named = filled(balance="balance-1-mg")
    assert named.sheet.balance == Balance(readability_g=0.001, repeatability_g=0.001)
    assert named.taken == ("repeated readings that spread by 1 mg, from memory for its class",)
    own = filled(balance="balance-1-mg", repeatability="0.6 mg")
    assert own.sheet.balance == Balance(readability_g=0.001, repeatability_g=0.0006)
    assert own.taken == ()
    assert filled(balance="balance-1-mg", step="2 mg").sheet.balance.repeatability_g == 0.001
    unknown = filled(balance="balance-class-iii")
    assert unknown.sheet.balance.repeatability_g == pytest.approx(0.012)
    assert unknown.taken == ("repeated readings that spread by 12 mg, two steps of the display",)
    assert filled(step="1 mg").taken == ("repeated readings that spread by 2 mg, two steps of the display",)


def test_a_blank_without_its_doubt_has_that_of_two_readings() -> None:
    found = filled(blank="0.6 mg").sheet
    assert found.evaporation == Blank(lost_g=0.0006, lost_u_g=found.balance.difference_u_g)


def test_a_blank_of_another_length_is_scaled_to_a_draw() -> None:
    found = filled(blank="3 mg", blank_uncertainty="0.5 mg", blank_minutes="5 min", minutes="1.5").sheet.evaporation
    assert isinstance(found, Blank)
    assert (found.lost_g, found.lost_u_g) == (pytest.approx(0.0009), pytest.approx(0.00015))


def test_minutes_alone_are_doubt_only() -> None:
    assert filled(minutes="1.5").sheet.evaporation == 1.5
    assert filled(minutes="0").sheet.evaporation == 0.0


@pytest.mark.parametrize(
    ("boxes", "where", "rule"),
    [
        ({"target": ""}, "target", "an amount is a number and then a unit"),
        ({"target": "0.5"}, "target", "a number needs a unit"),
        ({"target": "0.5 mg"}, "target", "a volume above 0 is wanted"),
        ({"target": "0 mL"}, "target", "a volume above 0 is wanted"),
        ({"target": "5 L"}, "target", "the volume asked for lies outside the range"),
        ({"within": "0 %"}, "within", "a tolerance above 0 is wanted"),
        ({"within": "5 mg"}, "within", "a volume above 0 is wanted"),
        ({"within": "5"}, "within", "a number needs a unit"),
        ({"within": "500 %"}, "within", "a tolerance lies between these shares of the volume asked for"),
        ({"within": "0.6 mL"}, "within", "a tolerance lies between these shares of the volume asked for"),
        ({"within": "0.01 %"}, "within", "a tolerance lies between these shares of the volume asked for"),
        ({"limit": "60 %"}, "limit", "the limit is a share of the volume"),
        ({"limit": "1 mL"}, "limit", "the limit is a share of the volume"),
        ({"instrument": "syringe-99"}, "instrument", "the instrument is not in the catalogue"),
        ({"instrument": "0.3 mL"}, "target", "the volume asked for is more than the instrument holds"),
        ({"acceptance": "lenient"}, "acceptance", "this is not one of the words that are known"),
        ({"liquid": "oil"}, "liquid", "the density of this liquid is not known here"),
        ({"liquid": "oil", "density": "920"}, "density", "the density is in kg/m3"),
        ({"liquid": "oil", "density": "920 kg/m3"}, "density", "this is in kg/m3, and g/mL is wanted"),
        ({"density": "0.92"}, "density", "the density is that of another liquid than water"),
        ({"density": "1.0", "density-uncertainty": "1"}, "density-uncertainty", "the standard uncertainty of the density lies"),
        ({"temperature": "72"}, "temperature", "the room is as hot as that only in degrees Fahrenheit"),
        ({"temperature": "72 °F"}, "temperature", "this is in F, and degC is wanted"),
        ({"temperature": "21,5"}, "temperature", "a comma must part thousands"),
        ({"temperature": "warm"}, "temperature", "a number is digits with at most one point"),
        ({"temperature": "39"}, "temperature", "the air temperature lies outside the range"),
        ({"liquid": "saline", "temperature": "12"}, "temperature", "the temperature of the saline lies outside the range"),
        ({"pressure": "760 mmHg"}, "pressure", "this is in mmHg, and hPa is wanted"),
        ({"pressure": "101.3"}, "pressure", "the pressure is that only in kPa"),
        ({"pressure": "29.9 inHg"}, "pressure", "this is in inHg, and hPa is wanted"),
        ({"humidity": "101"}, "humidity", "the relative humidity lies outside the range"),
        ({"balance": "kitchen"}, "balance", "the balance is not in the catalogue"),
        ({"step": "2 g"}, "step", "the readability of the balance lies outside the range"),
        ({"step": "1 mL"}, "step", "a mass above 0 is wanted"),
        ({"repeatability": "2 g"}, "repeatability", "the repeatability of the balance lies outside the range"),
        ({"repeatability": "0.2 mg of 1 readings"}, "repeatability", "readings are counted from 2 to 10,001"),
        ({"repeatability": "0.2 mg of ten"}, "repeatability", "readings are counted from 2 to 10,001"),
        ({"most": "1 mg"}, "most", "the greatest load of the balance lies outside the range"),
        ({"blank": "1 g"}, "blank", "the mass evaporated lies outside the range"),
        ({"blank-uncertainty": "0.1 mg"}, "blank-uncertainty", "this is told with a blank"),
        ({"blank-minutes": "5"}, "blank-minutes", "this is told with a blank"),
        ({"blank": "3 mg", "minutes": "1"}, "blank-minutes", "a blank of another length needs"),
        ({"blank": "3 mg", "blank-minutes": "5"}, "minutes", "a blank of another length needs"),
        ({"blank": "3 mg", "blank-minutes": "0", "minutes": "1"}, "blank-minutes", "the time of the blank lies"),
        ({"minutes": "601"}, "minutes", "the time in the open lies outside the range"),
        ({"expansion": "0.1"}, "expansion", "the cubic expansion of the device lies outside the range"),
        ({"columns": "full"}, "columns", "this is not one of the words that are known"),
        ({"unit": "kg"}, "unit", "this is not one of the words that are known"),
    ],
)  # fmt: skip
def test_a_fault_stands_at_its_own_box_and_nowhere_else(boxes: dict[str, str], where: str, rule: str) -> None:
    (found,) = faults(**{name.replace("-", "_"): text for name, text in boxes.items()})
    assert found.field == where
    assert found.rule.startswith(rule)
    assert found.came
    assert found.accepted


def test_a_unit_taken_by_mistake_is_told_in_the_unit_wanted() -> None:
    told = {
        name: faults(**{name: text})[0].accepted for name, text in (("temperature", "68 F"), ("pressure", "760 mmHg"))
    }
    assert told == {"temperature": "20 degC", "pressure": "1013 hPa"}


def test_boxes_ranges_and_rows_are_told_together_the_rows_in_their_order() -> None:
    assert at(
        "12.8;12.3\n0,5\n12.1;12.6\n12.1;-12.6", temperature="72", blank_minutes="3", balance="x", expansion="1",
        columns="without, with", limit="x",
    ) == ["balance", "blank-minutes", "limit", "temperature", "expansion", "row 1, readings", "row 2", "row 4, with"]  # fmt: skip


def test_a_column_is_looked_over_with_what_is_certain() -> None:
    assert at("500\n0.5", density="x") == ["density", "row 1, readings"]
    assert at("500\n0.5", target="x") == ["target"]
    assert at("0.2\n0.9", instrument="0.8 mL", humidity="101") == ["humidity", "row 2, readings"]


def test_what_the_readings_themselves_refuse_is_told_with_the_boxes() -> None:
    with pytest.raises(Refused) as refusal:
        weigh_words({"target": "x"}, lambda: decode_readings(b"\xff"))
    assert [fault.field for fault in refusal.value.faults] == ["target", "readings"]


def test_headings_of_a_file_go_before_the_columns_that_were_chosen() -> None:
    _, found = weigh_words(HALF, lambda: "empty (g),full (mg),empty again (g)\n12.1,12600,12.1002")
    assert found.weighed[0].weighing.without_again_g == 12.1002
    assert found.weighed[0].verdict.call is Call.WITHIN


@given(
    st.dictionaries(st.sampled_from(sorted(BOXES)), st.text(max_size=12), max_size=5),
    st.text("0123456789.,;gm\n", max_size=20),
)
def test_any_words_give_a_round_or_faults_and_nothing_else(boxes: dict[str, str], readings: str) -> None:
    try:
        _, found = weigh_words(boxes, lambda: readings)
    except Refused:
        return  # a Refused cannot be made without a fault
    assert len(found.weighed) == len([line for line in readings.splitlines() if line.strip()])


@pytest.mark.parametrize(
    ("box", "text", "accepted", "near"),
    [
        ("pressure", "760", "1013 hPa, or 760 hPa where it is so", "760 hPa"),
        ("pressure", "760.0", "1013 hPa, or 760.0 hPa where it is so", "791"),
        ("humidity", "0.5", "50 %, or 0.5 % where it is so", "0.5 %"),
        ("humidity", "1", "100 %, or 1 % where it is so", "1.1"),
    ],
)
def test_a_bare_number_that_could_be_of_another_unit_is_asked_for_its_unit(
    box: str, text: str, accepted: str, near: str
) -> None:
    (fault,) = faults(**{box: text})
    assert (fault.field, fault.came, fault.accepted) == (box, text, accepted)
    assert fault.rule.endswith(": write the unit that is meant")
    weigh_words({**HALF, box: near}, lambda: "0.5")


def test_a_net_mass_of_nothing_is_refused_with_its_row() -> None:
    (fault,) = faults("0.4962\n0\n0.4988")
    assert (fault.field, fault.rule) == ("row 2, readings", "the vessel is no heavier than before")
