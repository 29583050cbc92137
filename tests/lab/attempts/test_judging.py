"""Evidence against the task: exact where it can be, in doubt where the balance cannot tell, and refused with a clear sentence."""

from fractions import Fraction

import pytest

from drawndose.lab.attempts.evidence import PARTS, Evidence, Held
from drawndose.lab.attempts.judging import answered, begun, label_read, stopped, volume_read, weighed
from drawndose.lab.tasks.draw_up import draw_up
from drawndose.lab.tasks.template import template
from drawndose.quantities import Refused
from drawndose.science.weighing import Balance
from tests.lab.samples import NOON

FINE = Balance(readability_g=0.0001, repeatability_g=0.0002)
COARSE = Balance(readability_g=0.1, repeatability_g=0.1)
BOTTLE = draw_up(template("bottle-syringe"), (0, 0, 0), NOON)  # 2 mg of 0.5 %: 0.4 mL, made up to 3 mL
SEVERAL = draw_up(template("bottle-dropper"), (1, 0, 0), NOON)  # 1.5 mL in three fills of 0.5 mL
WHOLE = draw_up(template("unit-ready"), (0, 0, 0), NOON)
STOP = draw_up(template("stop-expired-bottle"), (0, 0, 0), NOON)
RIGHT = {line.name: line.text for line in BOTTLE.key.label}


def test_evidence_begins_with_what_the_task_asks() -> None:
    assert begun(BOTTLE) == Evidence(not_asked=("stopped",))
    assert begun(WHOLE).not_asked == ("read", "weighed", "stopped")
    assert set(PARTS) - set(begun(STOP).not_asked) == {"stopped"}
    assert begun(STOP).held("stopped") is Held.ABSENT


@pytest.mark.parametrize("typed", ["0.4 mL", " 0.40 mL ", "0.0004 L", "400 microlitre"])
def test_a_right_sum_is_right_in_any_unit(typed: str) -> None:
    assert (answered(BOTTLE, typed).held, answered(BOTTLE, typed).slip) == (Held.YES, "")


@pytest.mark.parametrize(
    ("typed", "slip"),
    [
        ("4 mL", "percent read as mg per mL"),
        ("2 mL", "dose given as volume"),
        ("2.5 mL", "inverted"),
        ("0.04 mL", "factor 10 too little"),
        ("0.41 mL", ""),
    ],
)
def test_a_wrong_sum_is_told_with_the_way_that_leads_to_it(typed: str, slip: str) -> None:
    found = answered(BOTTLE, typed)
    assert (found.held, found.slip, found.right) == (Held.NO, slip, "0.4 mL")


def test_a_wrong_way_is_known_by_the_digits_that_were_typed_and_never_a_right_one() -> None:
    thirds = draw_up(template("bottle-syringe"), (1, 0, 0), NOON)  # 3 mg of 0.5 %: 0.6 mL; inverted 5/3 mL
    for typed in ("1.67 mL", "1.7 mL", "1.667 mL"):
        assert answered(thirds, typed).slip == "inverted"
    assert answered(thirds, "1.66 mL").slip == answered(thirds, "2 mL").slip == ""
    assert (answered(thirds, "0.61 mL").held, answered(thirds, "0.6001 mL").held) == (Held.NO, Held.NO)


@pytest.mark.parametrize("typed", ["0.4", "2 mg", "a bit", "5 mg/mL"])
def test_what_is_no_volume_is_refused(typed: str) -> None:
    with pytest.raises(Refused, match="sum: "):
        answered(BOTTLE, typed)


def test_where_nothing_is_asked_nothing_is_taken() -> None:
    with pytest.raises(Refused, match="this task asks for no sum"):
        answered(STOP, "0.4 mL")
    for task in (WHOLE, STOP):
        with pytest.raises(Refused, match="no volume is measured in this task"):
            volume_read(task, "0.4 mL")
        with pytest.raises(Refused, match="no volume is measured in this task"):
            weighed(task, without="1", with_="2", t_degC="21", balance=FINE)
    with pytest.raises(Refused, match="this task has no label"):
        label_read(STOP, {"dose": "x"})
    with pytest.raises(Refused, match="this task has a right preparation"):
        stopped(BOTTLE, did=True, said="expired", right_reason=True)


@pytest.mark.parametrize(
    ("typed", "held"),
    [("0.36 mL", Held.YES), ("0.44 mL", Held.YES), ("0.359 mL", Held.NO), ("0.441 mL", Held.NO), ("4 mL", Held.NO)],
)
def test_a_volume_read_counts_to_the_very_edge(typed: str, held: Held) -> None:
    found = volume_read(BOTTLE, typed)
    assert (found.held, found.target_mL, found.tolerance_mL) == (held, Fraction(2, 5), Fraction(1, 25))
    with pytest.raises(Refused, match="a volume with its unit is wanted"):
        volume_read(BOTTLE, "2 mg")


@pytest.mark.parametrize(
    ("with_", "held"), [("12.7444", Held.YES), ("12.6456", Held.NO), ("12.7840", Held.DOUBT), ("13.2456", Held.NO)]
)
def test_the_balance_says_inside_outside_or_that_it_cannot_tell(with_: str, held: Held) -> None:
    found = weighed(BOTTLE, without="12.3456", with_=with_, t_degC="21", balance=FINE)
    assert found.held is held
    assert found.target_mL == 0.4
    assert found.readings == ("12.3456", with_)
    assert found.says


def test_a_coarse_balance_cannot_tell_what_a_fine_one_can() -> None:
    assert weighed(BOTTLE, without="12.3", with_="12.7", t_degC="21", balance=COARSE).held is Held.DOUBT
    assert weighed(BOTTLE, without="12.3", with_="12.7", t_degC="21", balance=FINE).held is Held.YES


def test_a_weight_without_a_temperature_is_refused_with_everything_else_that_is_wrong() -> None:
    with pytest.raises(Refused) as caught:
        weighed(BOTTLE, without="", with_="twelve", t_degC=" ", balance=FINE, again="1,5")
    assert [one.field for one in caught.value.faults] == ["without", "with", "temperature", "without again"]
    assert "temperature: the temperature of the liquid is needed: its density depends on it" in str(caught.value)


def test_a_reading_of_an_emptied_syringe_may_be_negative_and_a_slip_is_refused() -> None:
    found = weighed(BOTTLE, without="-0.2000", with_="0.2000", t_degC="21", balance=FINE, again="-0.2000")
    assert found.held is Held.YES
    assert found.readings == ("-0.2000", "0.2000", "-0.2000")
    with pytest.raises(Refused):
        weighed(BOTTLE, without="12.7", with_="12.3", t_degC="21", balance=FINE)
    with pytest.raises(Refused):
        weighed(BOTTLE, without="12.3", with_="12.7", t_degC="210", balance=FINE)


def test_several_fills_are_weighed_as_one_draw() -> None:
    assert weighed(SEVERAL, without="0", with_="1.4960", t_degC="21", balance=FINE).held is Held.YES


def test_a_right_label_and_every_way_it_can_be_wrong() -> None:
    hand = {"person": "Ada Alder 4471", "made by": "LB", "started": "12:00", "start giving by": "13:00"}
    assert label_read(BOTTLE, RIGHT | hand).held is Held.YES
    assert label_read(BOTTLE, {name: text.upper() + " " for name, text in (RIGHT | hand).items()}).held is Held.YES
    found = label_read(BOTTLE, RIGHT | hand | {"dose": "albuterol 2 mg in 5 mL", "route": " "})
    assert (found.held, found.missing, found.wrong) == (
        Held.NO,
        ("route",),
        (("dose", "albuterol 2 mg in 5 mL"),),
    )
    assert label_read(BOTTLE, {}).missing == tuple(RIGHT)
    with pytest.raises(Refused, match="the label has no such line"):
        label_read(BOTTLE, {"colour": "red"})


@pytest.mark.parametrize(
    ("did", "right_reason", "held"), [(True, True, Held.YES), (True, False, Held.NO), (False, False, Held.NO)]
)
def test_stopping_counts_with_its_reason_only(did: bool, right_reason: bool, held: Held) -> None:
    assert stopped(STOP, did=did, said=" past its date ", right_reason=right_reason).held is held
    assert stopped(STOP, did=did, said=" past its date ", right_reason=right_reason).said == "past its date"


def test_a_reason_is_written_down() -> None:
    with pytest.raises(Refused, match="write down the reason"):
        stopped(STOP, did=True, said=" ", right_reason=True)
    assert stopped(STOP, did=False, said="", right_reason=False).held is Held.NO
