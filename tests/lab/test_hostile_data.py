"""Whatever comes as a form or a rule, it is read or refused with its faults: nothing else happens, and nothing takes long."""

import copy
from collections.abc import Callable
from typing import TypeVar

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawndose.lab.deciding.rule import read_rule, rule_data
from drawndose.lab.forms.form import form_data
from drawndose.lab.forms.reading import read_form
from drawndose.lab.forms.shipped import shipped_form
from drawndose.quantities import Refused
from tests.lab.samples import FORM, RULE

Made = TypeVar("Made")
json = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | st.text(max_size=20),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3),
    max_leaves=6,
)


def places(data: object, path: tuple[object, ...] = ()) -> list[tuple[object, ...]]:
    inside = data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ()
    return [path, *(found for key, one in inside for found in places(one, (*path, key)))]


def put(data: object, path: tuple[object, ...], value: object) -> object:
    made = copy.deepcopy(data)
    spot = made
    for key in path[:-1]:
        spot = spot[key]  # type: ignore[index]
    if not path:
        return value
    spot[path[-1]] = value  # type: ignore[index]
    return made


def read_or_none(read: Callable[[], Made]) -> Made | None:
    """What is read, or None where it is refused with faults that can be told; any other exception fails the test."""
    try:
        return read()
    except Refused as refused:
        if not all(one.rule and str(one) for one in refused.faults):
            raise AssertionError("a fault without words") from refused
        return None


@given(st.sampled_from(places(form_data(FORM))), json)
def test_a_form_with_anything_anywhere(path: tuple[object, ...], value: object) -> None:
    made = read_or_none(lambda: read_form(put(form_data(FORM), path, value)))
    assert made is None or read_form(form_data(made)) == made


@given(st.sampled_from(places(rule_data(RULE))), json)
def test_a_rule_with_anything_anywhere(path: tuple[object, ...], value: object) -> None:
    made = read_or_none(lambda: read_rule(put(rule_data(RULE), path, value)))
    assert made is None or read_rule(rule_data(made)) == made


def test_every_fault_of_a_spoilt_form_comes_at_once() -> None:
    data = form_data(shipped_form("t1-dropper-bottle"))
    for step in data["step"]:  # type: ignore[attr-defined]
        step["weight"] = -1
    with pytest.raises(Refused) as caught:
        read_form(data)
    assert sum(one.field.endswith(".weight") for one in caught.value.faults) == 19
