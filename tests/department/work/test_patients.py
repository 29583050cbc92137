"""Patients: two identifiers, a weight with its day, allergies as names; corrections append, and what cannot be is refused whole."""

from __future__ import annotations

from datetime import date

import pytest

from drawndose.quantities import Refused
from tests.department.scene import scene

pytestmark = pytest.mark.usefixtures("storage")
TODAY = date(2026, 11, 25)


def identity(**more):
    from drawndose.department.work.patients import Identity

    return Identity(**{"name": "Specimen, Eli", "born": date(2020, 5, 1), "number": "310472"} | more)


def events() -> list[str]:
    from drawndose.department.ledger.models import Event

    return list(Event.objects.filter(subject_kind="patient").order_by("number").values_list("name", flat=True))


def child():
    from drawndose.department.work import patients

    on = scene()
    return on, patients.add(identity(), by=on.ana, today=TODAY)


def test_a_patient_has_two_identifiers_and_they_are_right() -> None:
    from drawndose.department.work import patients
    from drawndose.department.work.models import Patient

    on = scene()
    with pytest.raises(Refused) as refused:
        patients.add(identity(name=" ", born=date(2027, 1, 1), number=""), by=on.ana, today=TODAY)
    assert [one.field for one in refused.value.faults] == ["name", "number", "born"]
    with pytest.raises(Refused, match="another patient has this number"):
        patients.add(identity(number="204118"), by=on.ana, today=TODAY)
    assert (Patient.objects.count(), events()) == (1, [])


def test_the_same_name_and_birthday_under_another_number_is_asked_about() -> None:
    from drawndose.department.work import patients

    on = scene()
    twin = identity(name="model, dora", born=date(1961, 11, 5), number="204119")
    with pytest.raises(Refused, match="204118"):
        patients.add(twin, by=on.ana, today=TODAY)
    made = patients.add(twin, by=on.ana, today=TODAY, other="another person, seen together")
    assert (made.number, events()) == ("204119", ["patient.added"])


def test_the_same_form_twice_adds_one_patient() -> None:
    from drawndose.department.ledger.append import Replayed
    from drawndose.department.work import patients

    on = scene()
    patients.add(identity(), by=on.ana, today=TODAY, key="form-1")
    with pytest.raises(Replayed):
        patients.add(identity(), by=on.ana, today=TODAY, key="form-1")
    assert events() == ["patient.added"]


def test_a_correction_keeps_what_stood_there() -> None:
    from drawndose.department.ledger.models import Event
    from drawndose.department.work import patients

    on, eli = child()
    with pytest.raises(Refused, match="reason"):
        patients.correct(eli, identity(name="Specimen, Elias"), by=on.ana, version=1, today=TODAY, reason="")
    right = identity(name="Specimen, Elias", number="310473")
    patients.correct(eli, right, by=on.ana, version=1, today=TODAY, reason="misheard")
    assert (eli.name, eli.number, eli.version) == ("Specimen, Elias", "310473", 2)
    event = Event.objects.get(name="patient.corrected")
    assert (event.content["from"]["number"], event.reason) == ("310472", "misheard")
    with pytest.raises(Refused, match="another patient has this number"):
        patients.correct(eli, identity(number="204118"), by=on.ana, version=2, today=TODAY, reason="x")


def test_weights_append_with_their_day() -> None:
    from drawndose.department.work import patients

    on, eli = child()
    assert patients.weight_words(eli) == "Not recorded"
    patients.weigh(eli, "20 kg", date(2026, 11, 20), by=on.ana, version=1, today=TODAY)
    patients.weigh(eli, "20.45 kg", TODAY, by=on.ben, version=2, today=TODAY)
    assert patients.weight_words(eli) == "20.45 kg, weighed 25 Nov 2026"
    assert [(one.grams, one.by) for one in patients.weights(eli)] == [(20_450, "ben"), (20_000, "ana")]
    with pytest.raises(Refused, match="earlier day"):
        patients.weigh(eli, "19 kg", date(2026, 11, 1), by=on.ana, version=3, today=TODAY)
    patients.weigh(eli, "19 kg", date(2026, 11, 1), by=on.ana, version=3, today=TODAY, reason="scale was wrong")
    assert len(patients.weights(eli)) == 3


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("20", "20 kg"),
        ("44 lb", ""),
        ("20,5 kg", "20.5"),
        ("2 kg", "does not go together"),
        ("200 kg", "does not go together"),
        ("400 kg", "between 0.3 and 350 kg"),
        ("20.0004 kg", "to the gram"),
        ("5 mL", "in kg or g"),
        ("heavy", ""),
    ],
)
def test_a_weight_that_cannot_be_is_refused_and_nothing_is_written(text: str, told: str) -> None:
    from drawndose.department.work import patients

    on, eli = child()
    with pytest.raises(Refused) as refused:
        patients.weigh(eli, text, TODAY, by=on.ana, version=1, today=TODAY)
    assert told in str(refused.value)
    eli.refresh_from_db()
    assert (eli.weight_g, events()) == (None, ["patient.added"])


def test_a_doubtful_weight_is_taken_when_it_is_sure() -> None:
    from drawndose.department.work import patients

    on, eli = child()
    patients.weigh(eli, "20 kg", TODAY, by=on.ana, version=1, today=TODAY)
    with pytest.raises(Refused, match="the last weight was 20 kg"):
        patients.weigh(eli, "9.5 kg", TODAY, by=on.ana, version=2, today=TODAY)
    patients.weigh(eli, "9.5 kg", TODAY, by=on.ana, version=2, today=TODAY, sure=True)
    assert eli.weight_g == 9_500
    for on_day in (date(2026, 11, 26), date(2020, 4, 30)):
        with pytest.raises(Refused, match="between birth and today"):
            patients.weigh(eli, "9 kg", on_day, by=on.ana, version=3, today=TODAY, sure=True, reason="x")


def test_two_tabs_cannot_both_write_and_a_form_sent_twice_writes_once() -> None:
    from drawndose.department.ledger.append import Replayed
    from drawndose.department.work import patients
    from drawndose.department.work.change import Moved

    on, eli = child()
    patients.set_allergies(eli, "sulfites", none_known=False, by=on.ana, version=1, key="form-1")
    with pytest.raises(Replayed):
        patients.set_allergies(eli, "sulfites", none_known=False, by=on.ana, version=1, key="form-1")
    with pytest.raises(Moved):
        patients.set_allergies(eli, "", none_known=True, by=on.ben, version=1)
    eli.refresh_from_db()
    assert (eli.allergies, events()) == ("sulfites", ["patient.added", "patient.allergies"])


def test_allergies_are_asked_named_and_reach_the_engine() -> None:
    from drawndose.department.work import patients
    from drawndose.department.work.reading import allergies_of

    on, eli = child()
    assert patients.allergy_words(eli) == "Not asked"
    for text, none_known in (("", False), ("sulfites", True), ("2.5 mg", False), ("x" * 501, False)):
        with pytest.raises(Refused):
            patients.set_allergies(eli, text, none_known=none_known, by=on.ana, version=1)
    patients.set_allergies(eli, "", none_known=True, by=on.ana, version=1)
    assert (patients.allergy_words(eli), allergies_of(eli)) == ("None known", ())
    patients.set_allergies(eli, "Albuterol, latex", none_known=False, by=on.ana, version=2)
    assert allergies_of(eli) == ("albuterol", "latex")


def test_an_allergy_written_down_today_stops_a_dose_that_was_planned() -> None:
    from drawndose.department.work import patients, preparing
    from tests.department.scene import planned

    on = scene()
    made, _, _ = planned(on)
    patients.set_allergies(on.patient, "albuterol", none_known=False, by=on.ana, version=1)
    made.refresh_from_db()
    with pytest.raises(Refused, match="albuterol"):
        preparing.drawn(made, ["0.5 mL"], by=on.ana, version=made.version)


def test_a_number_with_one_wrong_digit_finds_nobody() -> None:
    from drawndose.department.work.patients import find

    on = scene()
    assert find("204118") == [on.patient]
    assert find("204119") == []
    assert find("20411") == []
    assert find("model") == [on.patient]
    assert find(" ") == []


def test_an_allergy_written_down_today_stops_what_is_labelled() -> None:
    from drawndose.department.work import giving, patients
    from tests.department.scene import labelled

    on = scene()
    made, _, _ = labelled(on)
    patients.set_allergies(on.patient, "albuterol", none_known=False, by=on.ana, version=1)
    with pytest.raises(Refused, match="albuterol"):
        giving.give(made, "204118", "1961-11-05", by=on.cleo, version=made.version)
    made.refresh_from_db()
    assert made.state == "labelled"
