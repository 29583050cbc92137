"""The state tables, the forms and rules as versions, and evidence that comes back as it was kept."""

from __future__ import annotations

from dataclasses import replace

import pytest

from drawndose.department.training.states import OF_KIND, TABLES
from drawndose.quantities import Refused
from tests.department.training.school import school
from tests.lab.samples import PROVEN


@pytest.mark.parametrize("kind", TABLES)
def test_every_state_is_reached_and_every_event_leads_to_one(kind: str) -> None:
    table = TABLES[kind]
    led_to = {to for events in table.values() for to in events.values()}
    assert led_to <= set(table)
    assert led_to | {""} == set(table)
    assert all(name.startswith(f"{kind}.") for events in table.values() for name in events)
    assert kind in OF_KIND


def test_no_field_of_a_patient_stands_in_the_training_records(storage: None) -> None:
    from django.apps import apps

    models = list(apps.get_app_config("training").get_models())
    assert len(models) == len(TABLES) + 2
    fields = [field for model in models for field in model._meta.get_fields()]
    pointed = {field.related_model._meta.label for field in fields if field.is_relation}
    assert all(one.startswith(("training.", "people.")) for one in pointed)
    assert not any(word in field.name for field in fields for word in ("patient", "born", "allerg", "weight"))


def test_evidence_is_kept_exactly() -> None:
    from drawndose.department.ledger.chain import exact
    from drawndose.department.training.kept_evidence import evidence_of, kept

    data = kept(PROVEN)
    assert exact(data) == data
    assert evidence_of(data) == PROVEN


def test_a_rule_is_written_anew_with_a_reason_and_only_over_the_one_that_was_seen(storage: None) -> None:
    from drawndose.department.training import rules
    from drawndose.department.work.change import Moved

    on = school()
    old = rules.rule_of(on.rule)
    with pytest.raises(Refused, match="who decided it"):
        rules.write(replace(old, attempts=2), reason="", by=on.max, seen=on.rule)
    with pytest.raises(Moved):
        rules.write(replace(old, attempts=2), reason="x", by=on.max, seen=None)
    new = rules.write(replace(old, attempts=2), reason="board of May", by=on.max, seen=on.rule)
    assert rules.rule_of(new).replaces == on.rule.digest
    assert (new.edition, rules.current()) == (2, new)
    assert rules.write(rules.rule_of(new), reason="same", by=on.max, seen=new) == new
    on.day.refresh_from_db()
    assert on.day.rule == on.rule  # a day keeps the rule that it was set up with


def test_a_form_is_taken_up_once_and_an_edit_that_lost_the_race_is_told(storage: None) -> None:
    from drawndose.department.training import forms
    from drawndose.department.work.change import Moved

    on = school()
    row = forms.in_use("t3-glass-ampoule")
    with pytest.raises(Refused, match="the programme has a form of this skill"):
        forms.take_up("t3-glass-ampoule", by=on.max)
    with pytest.raises(Refused, match="taken up no form"):
        forms.in_use("t9")
    draft = replace(forms.form_of(row), minutes=15)
    new = forms.revise(row, draft, by=on.max, version=row.version)
    assert forms.form_of(new).based_on == row.digest
    with pytest.raises(Moved):
        forms.revise(row, draft, by=on.max, version=1)
    assert forms.revise(new, forms.form_of(new), by=on.max, version=new.version) == new


def test_marks_that_are_none_are_named_all_together() -> None:
    from drawndose.department.training.as_lab import read_marks

    good = {"id": "a", "step": "hands", "point": "done", "at": "2026-03-02T13:05:00+00:00"}
    assert read_marks([good])[0].step == "hands"
    with pytest.raises(Refused) as told:
        read_marks([{}, 7, good | {"at": "noon"}, good | {"at": "2026-03-02T13:05:00"}, good | {"note": "n" * 501}])
    assert [fault.field for fault in told.value.faults] == ["mark 1", "mark 2", "mark 3", "mark 4", "mark 5"]
    with pytest.raises(Refused, match="a list of marks"):
        read_marks({"a": 1})
    with pytest.raises(Refused, match="up to 1,000"):
        read_marks([good] * 1001)
