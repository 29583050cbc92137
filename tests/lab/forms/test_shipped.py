"""The shipped forms: one for each kind of container, every step resting on a rule that the catalogue has."""

import pytest

from drawndose.lab.forms.form import Form, form_data
from drawndose.lab.forms.reading import read_form
from drawndose.lab.forms.shipped import shipped, shipped_form
from drawndose.quantities import Refused
from drawndose.reference import Container, load
from drawndose.reference.rule_text import Sure

ALL = pytest.mark.parametrize("form", shipped(), ids=lambda form: form.id)
ORDER = ("order", "hands", "first-check", "third-check", "label", "record")
"""Steps that every procedure text shares, in their order; what is stopped at is neither checked a third time nor labelled."""


def test_there_is_one_for_each_kind() -> None:
    assert [one.container for one in shipped()] == [
        Container.DROPPER_BOTTLE,
        Container.STOPPERED_VIAL,
        Container.GLASS_AMPOULE,
        Container.PLASTIC_UNIT_DOSE,
        None,
    ]
    assert [len(one.shown) for one in shipped()] == [19, 19, 18, 13, 8]
    assert [len(one.critical) for one in shipped()] == [15, 15, 15, 12, 7]


@ALL
def test_every_step_rests_on_rules_of_the_catalogue(form: Form) -> None:
    rules = load().rules
    confirmed = {sure.value for sure in Sure} - {"derived"}
    for step in form.steps:
        assert step.rules, step.id
        assert [one for one in step.rules if one not in rules] == [], step.id
        assert step.how in confirmed, step.id


@ALL
def test_common_steps_stand_in_the_order_of_the_procedure_texts(form: Form) -> None:
    ids = [one.id for one in form.shown]
    assert [one for one in ids if one in ORDER] == [
        one for one in ORDER if form.container or one not in {"third-check", "label"}
    ]


@ALL
def test_data_are_the_way_there_and_back(form: Form) -> None:
    assert read_form(form_data(form)).version == form.version


@ALL
def test_steps_say_what_is_done_and_what_failing_looks_like(form: Form) -> None:
    for step in form.steps:
        assert step.says.endswith("."), step.id
        assert not step.failure.endswith("."), step.id
        assert step.failure[0].islower(), step.id


def test_sources_disagree_on_two_things_and_both_are_choices() -> None:
    ampoule = shipped_form("t3-glass-ampoule")
    assert [one.id for one in ampoule.choices] == ["snap", "filter"]
    assert {one.only for one in ampoule.steps if one.only} == {
        (one.id, option) for one in ampoule.choices for option in one.options
    }


def test_an_unknown_form_is_refused_with_those_there_are() -> None:
    with pytest.raises(Refused, match="t1-dropper-bottle, t2-stoppered-vial"):
        shipped_form("t9")
