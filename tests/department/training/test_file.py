"""The file: CSV of a class, the content of one learner and of a class; erasing words with every event and hash as it was."""

from __future__ import annotations

import csv
import io
from dataclasses import replace

import pytest

from drawndose.quantities import Refused
from tests.department.people.staff import OTHER, person
from tests.department.training.school import School, marks, moment, passed, practice_day, proved, school

pytestmark = pytest.mark.usefixtures("storage")


def rows(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text)))


def full() -> tuple[School, object]:
    """A learner with a failed try, notes, practice, a changed decision and a signature; another one who passed with two evaluators."""
    from drawndose.department.training import attempts, deciding

    on = school()
    sheet = on.begin("101")
    attempt = sheet.attempt
    proved(attempt)
    noted = [
        replace(one, note="Lea was nervous") if place == 0 else one
        for place, one in enumerate(marks(sheet, order="not done"))
    ]
    attempts.send(sheet, noted, by=on.fay, version=sheet.version, note="Lea cried")
    attempt.refresh_from_db()
    deciding.take(attempt, by=on.fay, version=attempt.version)
    deciding.alter(attempt, _failed(), by=on.gil, version=attempt.version, why="Lea left the room")
    deciding.plan_practice(attempt, "Lea reads five orders", by=on.fay)
    deciding.sign(attempt, by=on.lea, version=attempt.version, comment="I, Lea, was ill")
    sheet = on.begin("102")
    second = attempts.begin_second(sheet.attempt, by=on.gil)
    proved(sheet.attempt)
    attempts.send(second, marks(second), by=on.gil, version=second.version)
    attempts.send(sheet, marks(sheet), by=on.fay, version=sheet.version)
    sheet.attempt.refresh_from_db()
    deciding.take(sheet.attempt, by=on.fay, version=sheet.attempt.version)
    return on, attempt


def _failed():
    from drawndose.lab.deciding.decide import Outcome

    return Outcome.FAILED


def test_each_csv_says_what_the_records_say() -> None:
    from drawndose.department.training.files import FILES

    on, _ = full()
    made = {name: rows(write(on.cohort)) for name, write in FILES.items()}
    grades = {(one["number"], one["skill"]): one for one in made["grades"]}
    assert len(grades) == 4 * 5
    outcomes = sorted(one["outcome"] for one in made["grades"] if one["outcome"])
    assert outcomes == ["failed", "passed"]
    lea, nia = made["attempts"]
    assert (lea["number"], lea["critical failures"], lea["comment"]) == ("101", "order", "I, Lea, was ill")
    assert (nia["evaluators"], nia["percents"], nia["answer"]) == ("fay; gil", "100 %; 100 %", "yes")
    assert [one["state"] for one in made["decisions"]] == ["superseded", "stands", "stands"]
    assert made["decisions"][1]["why"] == "Lea left the room"
    assert made["sign-offs"][0]["name"] == "Nia Sample"
    assert made["practice"][0]["plan"] == "Lea reads five orders"
    assert made["actions"] == []
    hers = [one for one in made["marks"] if one["number"] == "101"]
    assert (hers[0]["mark"], hers[0]["note"], hers[0]["critical"]) == ("not done", "Lea was nervous", "yes")
    assert {one["evaluator"] for one in made["marks"] if one["number"] == "102"} == {"Fay Mockup", "Gil Mockup"}
    assert made["forms"][0]["says"] == hers[0]["says"]
    (pair,) = made["agreement"]
    assert (pair["first"], pair["attempts"], pair["alike"]) == ("Fay Mockup", "1", "1.0")
    assert "not estimable" in pair["kappa"]
    assert (pair["kappa low 95 %"], pair["kappa high 95 %"]) == ("", "")
    together = {one["coefficient"]: one for one in made["evaluators"]}
    assert list(together) == [
        "pairs of marks alike",
        "AC1",
        "Fleiss's kappa, with marks missing",
        "Brennan-Prediger",
        "Krippendorff's alpha",
        "ICC(1,1) of the percentages",
        "ICC(1,2), of the mean of two",
    ]
    assert (together["pairs of marks alike"]["value"], together["AC1"]["evaluators"], together["AC1"]["attempts"]) == (
        "1.0",
        "2",
        "1",
    )
    assert "not estimable" in together["Krippendorff's alpha"]["value"]
    assert {one["day"] for one in made["resources"]} == {"Check-off"}


def test_a_learners_own_files_hold_their_rows_alone() -> None:
    from drawndose.department.training.files import OF_LEARNER, of_learner

    on, _ = full()
    for name in OF_LEARNER:
        assert {one["number"] for one in rows(of_learner(on.learner("101"), name))} <= {"101"}, name
    assert len(rows(of_learner(on.learner("101"), "decisions"))) == 2
    assert rows(of_learner(on.learner("103"), "marks")) == []
    with pytest.raises(KeyError):
        of_learner(on.learner("101"), "actions")


def test_no_csv_tells_what_came_of_a_try_that_is_not_decided_or_open_again() -> None:
    from drawndose.department.training import attempts
    from drawndose.department.training.files import FILES

    on, attempt = full()
    own = attempt.evaluation_set.get(place=1)  # type: ignore[attr-defined]
    attempts.correct(own, replace(marks(own)[0], id="again", note="looked again"), by=on.fay, version=own.version)
    made = {name: rows(write(on.cohort)) for name, write in FILES.items()}
    lea = made["attempts"][0]
    assert (lea["state"], lea["outcome"]) == ("sent", "not decided yet")
    empty = ("evaluators", "percents", "critical failures", "unmarked", "answer", "label", "seconds", "reasons", "comment", "signed")  # fmt: skip
    assert {lea[name] for name in empty} == {""}
    assert sorted(one["outcome"] for one in made["grades"] if one["outcome"]) == ["not decided yet", "passed"]
    of_lea = [one for one in made["decisions"] if one["number"] == "101"]
    assert [(one["outcome"], one["percent"], one["why"]) for one in of_lea] == [("not decided yet", "", "")] * 2
    assert made["decisions"][2]["outcome"] == "passed"


def test_a_cell_is_never_a_formula() -> None:
    from drawndose.department.training.csv_cells import cell

    assert [cell(one) for one in ("=1+1", "@x", "-2", "plain", None, 3, -0.5)] == [
        "'=1+1",
        "'@x",
        "'-2",
        "plain",
        "",
        "3",
        "-0.5",
    ]


def test_the_content_of_a_learner_is_whole_and_an_action_needs_its_figure_and_its_evaluators() -> None:
    from drawndose.department.training import agreement
    from drawndose.department.training.content import learner_file

    on, attempt = full()
    found = learner_file(on.learner("101"))
    (tried,) = found.attempts
    assert tried.row == attempt
    assert tried.evaluators[0][0] == "Fay Mockup"
    assert any("Lea was nervous" in line.notes for line in tried.steps)
    assert len(tried.decisions) == 2
    assert tried.practice is not None
    assert found.sign_offs == ()
    assert len(learner_file(on.learner("102")).sign_offs) == 1
    agreement.take_action(on.cohort, "Fay and Gil", "kappa 0.2", "watched one try together", by=on.fay)
    with pytest.raises(Refused, match="this is needed"):
        agreement.take_action(on.cohort, "Fay and Gil", "kappa 0.2", " ", by=on.fay)
    with pytest.raises(Refused, match="whom it is about"):
        agreement.take_action(on.cohort, " ", "kappa 0.2", "talked", by=on.fay)


def test_erasing_takes_every_personal_word_and_leaves_every_event_and_hash() -> None:
    from django.core import serializers

    from drawndose.department.keeping.audit import audit
    from drawndose.department.ledger.models import Event
    from drawndose.department.training import erasing, sealed
    from drawndose.department.training.models import Attempt, Decision, Evaluation, Learner, Remediation, SignOff

    on, attempt = full()
    learner = on.learner("101")
    before = list(Event.objects.order_by("number").values_list("number", "hash", "content"))
    assert not any(
        word in str(one) for one in before for word in ("nervous", "cried", "five orders", "was ill", "left the room")
    )
    with pytest.raises(Refused, match="is not this person's"):
        erasing.erase(learner, by=on.fay, version=learner.version, reason="asked")
    with pytest.raises(Refused, match="this is needed"):
        erasing.erase(learner, by=on.max, version=learner.version, reason="")
    erasing.erase(learner, by=on.max, version=learner.version, reason="at their own wish")
    tables = (Learner, Attempt, Evaluation, Decision, Remediation, SignOff)
    words = serializers.serialize("json", [row for model in tables for row in model.objects.all()])
    assert "Lea" not in words
    assert "Nia Sample" in words
    assert list(Event.objects.order_by("number").values_list("number", "hash", "content"))[: len(before)] == before
    assert audit().fault == ""
    attempt.refresh_from_db()  # type: ignore[attr-defined]
    with pytest.raises(ValueError, match="the salt was erased"):
        sealed.holds(attempt, "I, Lea, was ill", "x")  # type: ignore[arg-type]


def test_after_erasing_the_name_is_nowhere_in_the_storage() -> None:
    import json

    from django.core import serializers

    from drawndose.department.keeping.audit import audit
    from drawndose.department.keeping.tables import tables
    from drawndose.department.ledger.models import Event
    from drawndose.department.people import roster
    from drawndose.department.people.models import Person
    from drawndose.department.people.roles import Role
    from drawndose.department.training import attempts, class_list, cohort, deciding, erasing
    from drawndose.department.work import drafts

    on = school()
    head = person("head", "Hed Person", Role.ADMINISTRATOR)
    roster.add("u.7", "Zelda Quill", {Role.LEARNER}, OTHER, by=head, reason="autumn class")
    text = "number,name,username\nz-77,Zelda Quill,u.7\n"
    drafts.keep(on.fay, f"lab-list-{on.cohort.pk}", {"list": text})
    class_list.write(on.cohort, text, same=(), by=on.max)
    class_list.write(on.cohort, text.replace("Quill", "Quillon"), same=("z-77",), by=on.max)
    other = cohort.open_cohort("Evening", by=on.max)
    class_list.write(other, text, same=(), by=on.max)
    day = practice_day(on.cohort, on.fay)
    sheet = School(on.fay, on.gil, on.max, on.lea, on.cohort, on.rule, day).begin("z-77")
    proved(sheet.attempt)
    noted = [replace(one, note="Zelda hurried") for one in marks(sheet, order="not done")]
    attempts.send(sheet, noted, by=on.fay, version=sheet.version, note="Quill was late")
    attempt = sheet.attempt
    attempt.refresh_from_db()
    deciding.take(attempt, by=on.fay, version=attempt.version)
    deciding.plan_practice(attempt, "Zelda reads orders", by=on.fay)
    drafts.keep(on.gil, f"lab-attempt-{attempt.pk}", {"why": "Zelda asked"})
    deciding.sign(attempt, by=Person.objects.get(username="u.7"), version=attempt.version, comment="Quill, Zelda")

    def whole() -> str:
        every = [row for model in tables().values() for row in model._base_manager.all()]
        return json.dumps(json.loads(serializers.serialize("json", every)), ensure_ascii=False)

    words = ("Zelda", "Quill", "z-77")
    assert all(word in whole() for word in words)
    before = list(Event.objects.order_by("number").values_list("number", "hash", "content"))
    assert not any(word in str(one) for one in before for word in words)
    first, second = on.learner("z-77"), other.learner_set.get()
    erasing.erase(first, by=on.max, version=first.version, reason="at their own wish")
    assert Person.objects.get(username="u.7").name == "Zelda Quill"  # the evening class still has them
    erasing.erase(second, by=on.max, version=second.version, reason="at their own wish")
    assert not [word for word in words if word in whole()]
    gone = Person.objects.get(username="u.7")
    assert (gone.is_active, gone.has_usable_password(), gone.pin) == (False, False, "")
    assert list(Event.objects.order_by("number").values_list("number", "hash", "content"))[: len(before)] == before
    assert audit().fault == ""


def test_a_name_of_staff_stays_when_their_record_as_a_learner_is_erased() -> None:
    from drawndose.department.people import roster
    from drawndose.department.people.models import Person
    from drawndose.department.people.roles import Role
    from drawndose.department.training import erasing

    on = school()
    head = person("head", "Hed Person", Role.ADMINISTRATOR)
    roster.give(on.lea, Role.PREPARER, by=head, reason="hired")
    roster.take(on.lea, Role.PREPARER, by=head, reason="left again")
    learner = on.learner("101")
    erasing.erase(learner, by=on.max, version=learner.version, reason="at their own wish")
    kept = Person.objects.get(username="lea")
    assert (kept.name, kept.is_active) == ("Lea Model", True)
    with pytest.raises(ValueError, match="was not only a learner"):
        roster.forget(kept, by=on.max)


def test_a_learner_with_an_open_try_is_not_erased() -> None:
    from drawndose.department.training import erasing

    on = school()
    on.begin("101")
    learner = on.learner("101")
    with pytest.raises(Refused, match="a try of this learner is open"):
        erasing.erase(learner, by=on.max, version=learner.version, reason="asked")


def test_nothing_is_due_to_be_erased_before_the_department_decides() -> None:
    from drawndose.department.training import erasing
    from drawndose.department.work import policy

    on = school()
    passed(on)
    far = moment(days=3 * 366 + 2).date()
    assert erasing.due(far) == ()
    policy.choose("training_years", "3", reason="board", by=on.max)
    assert {one.number for one in erasing.due(far)} == {"101", "102", "103", "104"}
    assert erasing.due(moment().date()) == ()


def test_the_department_asks_for_a_sign_off_only_as_its_setting_says() -> None:
    from drawndose.department.training import before_preparing
    from drawndose.department.training.forms import form_of
    from drawndose.department.work import policy
    from drawndose.reference import Container

    on = school()
    form = form_of(passed(on).attempt.form)
    kind, stop = form.container, "Lea Model is not signed off today for: When to stop."
    today = moment().date()
    assert before_preparing.missing(on.lea, [Container.GLASS_AMPOULE], today) == ()
    policy.choose("sign_off_asked", "caution", reason="board", by=on.max)
    assert before_preparing.missing(on.lea, [kind], today) == (stop,)
    both = before_preparing.missing(on.lea, [Container.GLASS_AMPOULE, kind], today)
    assert both == ("Lea Model is not signed off today for: Glass ampoule.", stop)
    untaught = next(one for one in Container if one not in {row.container for row in map(form_of, _in_use())})
    assert before_preparing.missing(on.lea, [untaught], today) == ()
    assert before_preparing.faults(on.lea, [Container.GLASS_AMPOULE], today) == []
    policy.choose("sign_off_asked", "stop", reason="board", by=on.max)
    assert len(before_preparing.faults(on.lea, [kind], today)) == 1
    with pytest.raises(Refused, match="one of the words"):
        policy.choose("sign_off_asked", "maybe", reason="board", by=on.max)


def _in_use():
    from drawndose.department.training.models import FormVersion

    return FormVersion.objects.filter(state="in use")
