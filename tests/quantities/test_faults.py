import copy
import pickle
from fractions import Fraction

import pytest

from drawndose.quantities import Fault, Gathering, Manner, Refused, gather, read_number, read_quantity

ONE = Fault(field="dose", rule="a rule", came="this", accepted="that")
OTHER = Fault(field="fill", rule="another rule", came="this", accepted="that")


def test_a_fault_tells_field_rule_what_came_and_what_is_accepted() -> None:
    assert str(ONE) == 'dose: a rule. Came: "this". Accepted: that.'


@pytest.mark.parametrize(("length", "shown"), [(80, "x" * 80), (81, "x" * 77 + "...")])
def test_a_long_text_is_cut_in_the_message_and_kept_whole_in_the_fault(length: int, shown: str) -> None:
    fault = Fault(field="dose", rule="a rule", came="x" * length, accepted="that")
    assert f'Came: "{shown}".' in str(fault)
    assert len(fault.came) == length


def test_a_refusal_lists_every_fault_once_and_in_order() -> None:
    refused = Refused([ONE, OTHER, ONE])
    assert refused.faults == (ONE, OTHER)
    assert str(refused) == f"{ONE}\n{OTHER}"


def test_a_refusal_is_a_value_error() -> None:
    assert isinstance(Refused([ONE]), ValueError)


def test_a_refusal_without_a_fault_cannot_be_made() -> None:
    with pytest.raises(ValueError, match="at least one fault"):
        Refused([])


@pytest.mark.parametrize("travel", [lambda it: pickle.loads(pickle.dumps(it)), copy.copy, copy.deepcopy])
def test_a_refusal_survives_pickle_and_copy(travel) -> None:
    refused = Refused([ONE, OTHER])
    arrived = travel(refused)
    assert type(arrived) is Refused
    assert (arrived.faults, str(arrived)) == (refused.faults, str(refused))


def test_gather_raises_what_it_is_given_and_nothing_otherwise() -> None:
    gather(())
    with pytest.raises(Refused) as refusal:
        gather(fault for fault in (ONE, OTHER))
    assert refusal.value.faults == (ONE, OTHER)


def test_every_fault_carries_the_field_it_was_read_for() -> None:
    with pytest.raises(Refused) as refusal:
        read_quantity("-.50 cc/furlong", field="fill volume", manner=Manner.ORDER)
    assert {fault.field for fault in refusal.value.faults} == {"fill volume"}
    assert len(refusal.value.faults) == 5


def test_a_gathering_keeps_what_was_made_and_every_fault() -> None:
    gathering = Gathering()
    made = [gathering.take(lambda text=text: read_number(text)) for text in ("0.5", "half", "2,5")]
    assert made == [Fraction(1, 2), None, None]
    assert [fault.came for fault in gathering.faults] == ["half", "2,5"]
