"""The lab's pages: an evaluator's whole way from the next learner to the decision, the learner's own result, the programme."""

from __future__ import annotations

import csv
import io
import json
import re
from datetime import date, timedelta
from typing import Any

import pytest

from tests.department.training.school import School, marks, passed, proved, school
from tests.pages import client, words

pytestmark = pytest.mark.usefixtures("storage")


def browser(person: Any) -> Any:
    one = client()
    one.force_login(person)
    return one


def form_of(page: str, do: str = "") -> dict[str, str]:
    """The hidden parts of the first form of a page that holds a text."""
    forms = re.findall(r"<form\b.*?</form>", page, re.DOTALL)
    found = next(one for one in forms if do in one)
    return dict(re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', found))


def sheet_data(sheet: Any, **points: str) -> dict[str, str]:
    from drawndose.lab.attempts.marks import mark_data

    return {"marks": json.dumps([mark_data(one) for one in marks(sheet, **points)]), "do": "send"}


def prepare(on: School) -> dict[str, str]:
    """The card of the first seat at the first station that is to be prepared."""
    from drawndose.department.training import days

    cards = days.cards_for(on.station(), on.learner("101"))
    return {"card": next(str(one["id"]) for one in cards if one["kind"] == "prepare")}


def begun(on: School) -> tuple[Any, Any]:
    fay = browser(on.fay)
    page = fay.get("/lab/").content.decode()
    answer = fay.post("/lab/begin/", form_of(page, "/lab/begin/") | prepare(on))
    assert answer.status_code == 302
    return fay, answer["Location"]


def test_today_shows_each_station_and_who_is_next() -> None:
    from drawndose.department.training import days

    on = school()
    days.give_stations(on.day, {2: on.fay}, by=on.max)
    said = words(browser(on.fay).get("/lab/").content.decode())
    assert said.index("Station 2") < said.index("Station 1")
    assert "Next Lea Model card 2.01" in said
    assert "0 of" in said


def test_the_evaluators_way_from_begin_to_decision() -> None:
    from drawndose.department.training.models import Attempt, Evaluation

    on = school()
    fay, address = begun(on)
    page = fay.get(address).content.decode()
    assert "Lea Model" in page
    assert "%" not in words(page).partition("Whole")[0].partition("Card and key")[0]
    sheet = Evaluation.objects.get()
    hidden = form_of(page, "sheet-form")
    answer = fay.post(address, hidden | sheet_data(sheet))
    assert answer["Location"] == f"/lab/attempt/{sheet.attempt_id}/"
    attempt = Attempt.objects.get()
    shown = fay.get(answer["Location"]).content.decode()
    assert "not taken yet" in words(shown)
    proved(attempt)
    shown = fay.get(answer["Location"]).content.decode()
    decided = fay.post(answer["Location"], form_of(shown, 'value="decide"') | {"do": "decide"})
    assert decided.status_code == 302, words(decided.content.decode())
    attempt.refresh_from_db()
    assert attempt.state == "decided"
    assert "passed" in words(fay.get(answer["Location"]).content.decode())


def test_begun_and_handed_in_twice_is_one() -> None:
    from drawndose.department.training.models import Attempt, Evaluation

    on = school()
    fay = browser(on.fay)
    hidden = form_of(fay.get("/lab/").content.decode(), "/lab/begin/") | prepare(on)
    first, again = (fay.post("/lab/begin/", hidden)["Location"] for _ in range(2))
    assert first == again
    sheet = Evaluation.objects.get()
    sent = form_of(fay.get(first).content.decode(), "sheet-form") | sheet_data(sheet)
    to = [fay.post(first, sent)["Location"] for _ in range(2)]
    assert to[0] == to[1] == f"/lab/attempt/{sheet.attempt_id}/"
    assert Attempt.objects.get().state == "sent"


def test_without_scripts_the_same_form_is_sent_by_its_fields() -> None:
    from drawndose.department.training.forms import form_of as form
    from drawndose.department.training.models import Evaluation

    on = school()
    fay, address = begun(on)
    sheet = Evaluation.objects.get()
    steps = form(sheet.attempt.form).shown
    fields = {f"point-{one.id}": one.scale.points[0].word for one in steps}
    fields |= {f"note-{steps[0].id}": "well done", "rating": "4"}
    fay.post(address, form_of(fay.get(address).content.decode(), "sheet-form") | fields)
    sheet.refresh_from_db()
    assert (sheet.state, len(sheet.marks), sheet.rating) == ("sent", len(steps), 4)
    assert list(sheet.notes.values()) == ["well done"]


def test_what_cannot_be_read_is_refused_on_the_page_and_the_sheet_stays_open() -> None:
    on = school()
    fay, address = begun(on)
    hidden = form_of(fay.get(address).content.decode(), "sheet-form")
    for sent in ({"marks": "{"}, {"marks": "[{}]"}, {"ended": "noon"}, {"ended": "2026-01-01T10:00:00"}):
        answer = fay.post(address, hidden | sent)
        assert answer.status_code == 422, sent
        assert 'id="refused"' in answer.content.decode()
    assert "sheet-form" in fay.get(address).content.decode()


def test_a_draft_is_kept_for_its_evaluator_alone() -> None:
    from drawndose.department.training.models import Evaluation

    on = school()
    fay, address = begun(on)
    sheet = Evaluation.objects.get()
    sent = {"marks": sheet_data(sheet)["marks"]}
    assert fay.post(f"{address}draft/", sent).status_code == 204
    assert fay.post(f"{address}draft/", {"marks": "{"}).status_code == 422
    assert browser(on.gil).post(f"{address}draft/", sent).status_code == 409
    assert fay.post("/lab/sheet/999/draft/", sent).status_code == 404
    page = fay.get(address).content.decode()
    assert f"{sheet.pk}-0" in page
    assert "checked" in page


def test_the_second_evaluator_sees_nothing_of_the_first_before_the_own_sheet_is_in() -> None:
    from drawndose.department.training.models import Evaluation

    on = school()
    fay, address = begun(on)
    first = Evaluation.objects.get()
    fay.post(address, form_of(fay.get(address).content.decode(), "sheet-form") | sheet_data(first, order="not done"))
    gil = browser(on.gil)
    at = f"/lab/attempt/{first.attempt_id}/"
    page = gil.get(at).content.decode()
    assert "not shown to you" in page
    assert "Critical" not in page
    elsewhere = gil.get(f"/lab/learners/{first.attempt.learner_id}/").content.decode()
    assert "Fay Mockup" not in elsewhere
    assert "not decided yet" in elsewhere
    (row,) = csv.DictReader(io.StringIO(gil.get(f"/lab/classes/{on.cohort.pk}/attempts.csv").content.decode()))
    assert (row["percents"], row["critical failures"]) == ("", "")
    assert gil.get(address).status_code == 404
    second = gil.post(at, form_of(page, 'value="second"') | {"do": "second"})["Location"]
    assert second != address
    assert gil.get(at)["Location"] == second
    page = gil.get(second).content.decode()
    assert "second sheet" in page
    assert "checked" not in page
    own = Evaluation.objects.get(evaluator=on.gil)
    gil.post(second, form_of(page, "sheet-form") | sheet_data(own))
    assert "Critical" in gil.get(at).content.decode()


def test_evidence_is_typed_judged_and_refused_with_every_fault() -> None:
    from drawndose.department.training.models import Attempt, Evaluation

    on = school()
    fay, address = begun(on)
    sheet = Evaluation.objects.get()
    fay.post(address, form_of(fay.get(address).content.decode(), "sheet-form") | sheet_data(sheet))
    at = f"/lab/attempt/{sheet.attempt_id}/"
    hidden = form_of(fay.get(at).content.decode(), 'value="evidence"')
    wrong = {"sum": "half", "volume": "5 mg", "without": "8.000", "with": "8.5", "balance": "kitchen-scale-1g"}
    answer = fay.post(at, hidden | wrong | {"do": "evidence"})
    said = words(answer.content.decode())
    assert answer.status_code == 422
    assert "Nothing was done sum" in said
    assert 'value="8.000"' in answer.content.decode()
    attempt = Attempt.objects.get()
    if "weighed" not in attempt.evidence.get("not_asked", []):
        assert "balance" in said or "temperature of the liquid is needed" in said
    answer = fay.post(at, hidden | {"do": "evidence"})
    assert "nothing was typed" in words(answer.content.decode())
    label = {f"line-{place}": "right" for place in range(1, 20)} | {"label": "looked at"}
    assert fay.post(at, hidden | label | {"do": "evidence"}).status_code == 302
    attempt.refresh_from_db()
    assert attempt.evidence["label"]["held"] == "yes"


def test_a_weight_needs_its_temperature() -> None:
    from drawndose.department.training.models import Attempt
    from drawndose.quantities import Refused

    on = school()
    sheet = None
    for station in (1, 2, 3):
        sheet = on.begin("103", station=station)
        if "weighed" not in sheet.attempt.evidence["not_asked"]:
            break
        Attempt.objects.filter(pk=sheet.attempt.pk).update(state="broken off")
    from drawndose.department.training import evidence
    from drawndose.reference import load

    typed = {"without": "8.000", "with": "8.500", "balance": load().balances[0].id}
    with pytest.raises(Refused, match="temperature of the liquid is needed"):
        evidence.judged(sheet.attempt, typed, None)
    found = evidence.add(sheet.attempt, typed | {"temperature": "21"}, by=on.fay, version=sheet.attempt.version)
    assert found.weighed is not None
    assert sheet.attempt.evidence["weighed"]["t_degC"] == "21"
    with pytest.raises(Refused, match="not by the learner"):
        evidence.add(sheet.attempt, typed, by=on.lea, version=sheet.attempt.version)


def test_stopping_is_evidence_of_its_own_and_what_was_said_stays_out_of_the_event() -> None:
    from drawndose.department.ledger.models import Event
    from drawndose.department.training import days, evidence

    on = school()
    station = next(
        one
        for one in (1, 2, 3, 4)
        if any(card["kind"] == "stop" for card in days.cards_for(on.station(one), on.learner("101")))
    )
    attempt = on.begin("101", station=station, kind="stop").attempt
    typed = {"stopped": "yes", "said": "it smells of oranges", "reason": "yes"}
    evidence.add(attempt, typed, by=on.fay, version=attempt.version)
    assert attempt.evidence["stopped"]["held"] == "yes"
    assert "oranges" not in str(Event.objects.get(name="attempt.evidence").content)


def test_the_learner_sees_and_signs_their_own_result_and_no_one_elses() -> None:
    on = school()
    mine, other = passed(on, order="not done").attempt, passed(on, "102").attempt
    lea = browser(on.lea)
    assert "repeat" in words(lea.get("/lab/mine/").content.decode())
    assert lea.get(f"/lab/mine/{other.pk}/").status_code == 404
    assert lea.get(f"/lab/attempt/{mine.pk}/").status_code == 403
    page = lea.get(f"/lab/mine/{mine.pk}/").content.decode()
    assert "What to practise" in page
    assert "Reads the whole order" in page
    answer = lea.post(f"/lab/mine/{mine.pk}/", form_of(page, 'value="sign"') | {"comment": "I see.", "do": "sign"})
    assert answer.status_code == 302
    mine.refresh_from_db()
    assert (mine.state, mine.comment) == ("signed", "I see.")


def test_a_changed_decision_and_practice_on_the_page() -> None:
    on = school()
    attempt = passed(on, order="not done").attempt
    gil, at = browser(on.gil), f"/lab/attempt/{attempt.pk}/"
    hidden = form_of(gil.get(at).content.decode(), 'value="alter"')
    assert gil.post(at, hidden | {"do": "alter", "outcome": "none"}).status_code == 422
    assert gil.post(at, hidden | {"do": "alter", "outcome": "failed"}).status_code == 422
    told = gil.post(at, hidden | {"do": "alter", "outcome": "failed", "why_changed": "left the room"})
    assert told.status_code == 302
    page = gil.get(at).content.decode()
    assert "left the room" in page
    gil.post(at, form_of(page, 'value="practice"') | {"do": "practice", "plan": "twice with Fay"})
    page = gil.get(at).content.decode()
    gil.post(at, form_of(page, 'value="practised"') | {"do": "practised"})
    assert "Seen done by Gil Mockup" in words(gil.get(at).content.decode())
    assert gil.post(at, hidden | {"do": "dance"}).status_code == 422


def test_a_day_is_looked_at_and_only_then_kept() -> None:
    from drawndose.department.training.models import LabDay

    on = school()
    fay = browser(on.fay)
    page = fay.get("/lab/days/new/").content.decode()
    hidden = form_of(page, 'value="look"')
    wanted = {"title": "May", "cohort": str(on.cohort.pk), "on": "05 May 2027", "seed": "x", "kind": "glass ampoule"}
    refused = words(fay.post("/lab/days/new/", hidden | {"do": "look", "on": "5/5/27"}).content.decode())
    for field in ("day", "class", "seed", "containers", "title"):
        assert f"{field} :" in refused or f"{field}:" in refused, field
    looked = words(fay.post("/lab/days/new/", hidden | wanted | {"do": "look"}).content.decode())
    assert "Nothing is kept yet" in looked
    assert "gauze" in looked
    assert LabDay.objects.count() == 1
    to = fay.post("/lab/days/new/", hidden | wanted | {"do": "keep"})["Location"]
    page = fay.get(to).content.decode()
    fay.post(to, form_of(page, 'value="stations"') | {"do": "stations", "station-1": str(on.gil.pk)})
    fay.post(to, form_of(page, 'value="open"') | {"do": "open"})
    day = LabDay.objects.get(title="May")
    assert (day.state, day.station_set.get().evaluator) == ("open", on.gil)
    assert fay.get("/lab/days/999/").status_code == 404


def test_the_board_of_a_class_is_a_picture_and_a_table_that_says_the_same() -> None:
    from drawndose.department.training import attempts, cohort
    from drawndose.department.training.models import SignOff

    on = school()
    passed(on)
    sheet = on.begin("102")
    attempts.send(sheet, marks(sheet), by=on.fay, version=sheet.version)
    at = f"/lab/classes/{on.cohort.pk}/"
    page = browser(on.fay).get(at).content.decode()
    said = words(page)
    assert "Who may do what: Autumn 2026." in said
    assert 'aria-labelledby="board-name' in page
    assert "Lea Model passed signed off, in force" in said
    assert "Nia Sample to decide under way" in said
    assert "Oda Sketch not tried not begun" in said
    SignOff.objects.update(until=date.today() - timedelta(days=1), since=date.today() - timedelta(days=2))  # noqa: DTZ011
    assert "Lea Model passed signed off once, over" in words(browser(on.fay).get(at).content.decode())
    empty = cohort.open_cohort("Nobody yet", by=on.max)
    assert "Who stands where" not in browser(on.fay).get(f"/lab/classes/{empty.pk}/").content.decode()
    cohort.enrol(empty, "1", "Una Only", by=on.max)
    assert "Una Only not tried not begun" in words(browser(on.fay).get(f"/lab/classes/{empty.pk}/").content.decode())


def test_a_class_list_is_tried_and_a_renamed_learner_is_a_question() -> None:
    from django.core.files.uploadedfile import SimpleUploadedFile

    on = school()
    top = browser(on.max)
    at = f"/lab/classes/{on.cohort.pk}/"
    hidden = form_of(top.get(at).content.decode(), 'value="try"')
    text = "number,name\n102,Nia Other\n201,Ruth New\n"
    page = top.post(at, hidden | {"list": text, "do": "try"}).content.decode()
    assert "Nia Sample" in page
    assert on.cohort.learner_set.count() == 4
    assert top.post(at, hidden | {"list": text, "do": "read"}).status_code == 422
    assert top.post(at, hidden | {"list": text, "do": "read", "same": "102"}).status_code == 302
    assert on.cohort.learner_set.count() == 5
    assert "row 2, name" in words(top.post(at, hidden | {"list": "number,name\n1,\n", "do": "try"}).content.decode())

    def out_of(content: bytes, **more: str) -> str:
        file = SimpleUploadedFile("class.csv", content, content_type="text/csv")
        return words(top.post(at, hidden | {"do": "try", "list": text, "file": file} | more).content.decode())

    said = out_of("number,name\n301,Zoë Line\n302,Oda Sketch\n303,\n".encode())
    assert "row 4, name" in said
    assert "301,Zoë Line" in said  # the box holds what was read
    assert "no. 103 has this name, too" in said
    assert "it is not in UTF-8" in out_of("number,name\n301,Zoë Line\n".encode("latin-1"))
    assert "it is in UTF-16" in out_of("number,name\n301,Zoë Line\n".encode("utf-16"))
    assert "a spreadsheet's own file" in out_of(b"PK\x03\x04")
    assert "it is larger than is read at once" in out_of(b"x" * 150_001)
    assert "it is larger than is read at once" in out_of(b"x" * 600_000)
    # A file that was not looked at is tried and never written, and "Read it" writes what the box holds after that.
    before = on.cohort.learner_set.count()
    assert "What it would do" in out_of(b"number,name\n301,Una Line\n", do="read")
    assert on.cohort.learner_set.count() == before


def test_a_rule_is_shown_with_what_it_proves_and_kept_with_a_reason() -> None:
    from drawndose.department.training import rules

    on = school()
    top = browser(on.max)
    page = top.get("/lab/rule/").content.decode()
    assert "Few attempts prove little" in words(page)
    hidden = form_of(page, 'value="look"')
    typed = {
        "title": "Rule of May", "percent_floor": "85", "volume": "by weight", "attempts": "2", "days_between": "1",
        "within_minutes": "0", "valid_months": "6", "sum_right": "yes", "tolerance": "10",
    }  # fmt: skip
    looked = top.post("/lab/rule/", hidden | typed | {"do": "look"})
    assert "attempt 2" in words(looked.content.decode())
    assert rules.rule_of(rules.current()).attempts == 3
    faults = words(
        top.post("/lab/rule/", hidden | typed | {"attempts": "no", "valid_months": "-1", "do": "keep"}).content.decode()
    )
    assert "attempts" in faults
    assert "valid_months" in faults
    assert top.post("/lab/rule/", hidden | typed | {"do": "keep"}).status_code == 422
    assert top.post("/lab/rule/", hidden | typed | {"do": "keep", "reason": "board"}).status_code == 302
    assert rules.rule_of(rules.current()).attempts == 2
    assert (
        top.post(
            "/lab/rule/", hidden | typed | {"do": "keep", "reason": "late", "title": "Z", "key": "other"}
        ).status_code
        == 409
    )


def test_a_form_is_edited_with_every_fault_and_as_a_copy() -> None:
    from drawndose.department.training import forms

    on = school()
    top = browser(on.max)
    at = "/lab/forms/t3-glass-ampoule/"
    page = top.get(at).content.decode()
    row = forms.in_use("t3-glass-ampoule")
    old = forms.form_of(row)
    fields = form_of(page, 'value="look"') | {"title": old.title, "minutes": str(old.minutes)}
    fields |= {f"choice-{one.id}": one.chosen for one in old.choices}
    for place, step in enumerate(old.steps, start=1):
        fields |= {
            f"says-{step.id}": step.says,
            f"failure-{step.id}": step.failure,
            f"weight-{step.id}": str(step.weight),
        }
        fields |= {
            f"scale-{step.id}": step.scale.value,
            f"prompt-{step.id}": step.prompt,
            f"order-{step.id}": str(place),
        }
        if step.critical:
            fields[f"critical-{step.id}"] = "yes"
    first, last = old.steps[0], old.steps[-1]
    bad = {"minutes": "0", f"weight-{first.id}": "-1", f"says-{last.id}": ""}
    said = words(top.post(at, fields | bad | {"do": "keep"}).content.decode())
    assert said.count("Accepted:") >= 3
    edit = {"title": "Our ampoule", f"out-{last.id}": "yes", "id-new": "sharps-full", "phase-new": "clear away",
            "says-new": "Closes the sharps container.", "failure-new": "left open", "weight-new": "1", "scale-new": "done or not"}  # fmt: skip
    looked = words(top.post(at, fields | edit | {"do": "look"}).content.decode())
    assert "Step sharps-full is new." in looked
    assert forms.in_use("t3-glass-ampoule").pk == row.pk
    assert top.post(at, fields | edit | {"do": "keep"}).status_code == 302
    new = forms.form_of(forms.in_use("t3-glass-ampoule"))
    assert (new.id, new.title, new.step("sharps-full") is not None) == ("our-t3-glass-ampoule", "Our ampoule", True)
    assert top.get("/lab/forms/nothing/").status_code == 404


def test_the_programme_and_its_list_of_who_may() -> None:
    from drawndose.department.training.models import Cohort, SignOff

    on = school()
    passed(on)
    top = browser(on.max)
    page = top.get("/lab/programme/").content.decode()
    assert "1 sign-off" in words(page)
    top.post("/lab/programme/", form_of(page, 'value="cohort"') | {"do": "cohort", "name": "Spring"})
    assert Cohort.objects.filter(name="Spring").exists()
    assert top.post("/lab/programme/", {"do": "dance"}).status_code == 422
    page = top.get("/lab/signed-off/").content.decode()
    hidden = form_of(page, "End this sign-off")
    assert top.post("/lab/signed-off/", hidden).status_code == 422
    assert top.post("/lab/signed-off/", hidden | {"why": "near miss"}).status_code == 302
    assert SignOff.objects.get().state == "ended"
    assert "Nobody is signed off" in top.get("/lab/signed-off/").content.decode()


def test_every_id_stands_once_on_every_page() -> None:
    on = school()
    attempt = passed(on).attempt
    sheet = on.begin("102")
    fay = browser(on.fay)
    for at in (
        "/lab/", "/lab/days/new/", f"/lab/days/{on.day.pk}/", "/lab/programme/", "/lab/signed-off/", "/lab/rule/",
        f"/lab/classes/{on.cohort.pk}/", "/lab/forms/t1-dropper-bottle/", f"/lab/attempt/{attempt.pk}/", f"/lab/sheet/{sheet.pk}/",
    ):  # fmt: skip
        page = fay.get(at)
        assert page.status_code == 200, at
        ids = re.findall(r'\sid="([^"]+)"', page.content.decode())
        assert sorted(ids) == sorted(set(ids)), at
        assert not re.search(r"\sstyle=|\son[a-z]+=|<style|javascript:", page.content.decode()), at


def test_evaluators_beside_each_other_with_the_action_taken_and_the_files() -> None:
    from drawndose.department.training import attempts, deciding
    from drawndose.department.training.files import FILES

    on = school()
    sheet = on.begin("101")
    second, attempt = attempts.begin_second(sheet.attempt, by=on.gil), sheet.attempt
    proved(attempt)
    attempts.send(sheet, marks(sheet), by=on.fay, version=sheet.version)
    attempts.send(second, marks(second, order="not done"), by=on.gil, version=second.version)
    top, at = browser(on.max), f"/lab/classes/{on.cohort.pk}/steps/"
    assert "Fay Mockup and Gil Mockup" not in top.get(at).content.decode()
    attempt.refresh_from_db()
    deciding.take(attempt, by=on.fay, version=attempt.version)
    page = top.get(at).content.decode()
    said = words(page)
    assert "Fay Mockup and Gil Mockup" in said
    assert "step 1 (1)" in said
    assert "(critical)" in said
    hidden = form_of(page, "What was done")
    assert top.post(at, hidden | {"says": ""}).status_code == 422
    assert top.post(at, hidden | {"says": "watched one together"}).status_code == 302
    assert "watched one together" in top.get(at).content.decode()
    for name in FILES:
        answer = top.get(f"/lab/classes/{on.cohort.pk}/{name}.csv")
        assert answer["Content-Type"] == "text/csv; charset=utf-8"
        assert answer.content
    assert top.get(f"/lab/classes/{on.cohort.pk}/secrets.csv").status_code == 404
    assert top.get("/lab/classes/999/steps/").status_code == 404


def test_a_class_of_nobody_shows_no_number_where_there_is_none() -> None:
    from drawndose.department.training import cohort

    on = school()
    empty = cohort.open_cohort("Empty", by=on.max)
    said = words(browser(on.max).get(f"/lab/classes/{empty.pk}/steps/").content.decode())
    assert "No attempt was marked by two evaluators yet" in said


def test_a_learners_own_page_for_evaluators_and_what_can_be_done_there() -> None:
    from drawndose.department.people.roles import Role
    from tests.department.people.staff import person

    on = school()
    passed(on, "102")
    row, top, fay = on.learner("102"), browser(on.max), browser(on.fay)
    at = f"/lab/learners/{row.pk}/"
    page = top.get(at).content.decode()
    assert "Reads the whole order" in words(page)
    assert "Erase for ever" not in fay.get(at).content.decode()
    person("nia", "Nia Sample", Role.LEARNER)

    def post(do: str, **fields: str) -> int:
        hidden = form_of(top.get(at).content.decode(), 'name="do"')
        return int(top.post(at, hidden | fields | {"do": do}).status_code)

    assert post("link", username="nowhere") == 422
    assert post("link", username="nia") == 302
    assert post("rename", name="Nia Other", why="") == 422
    assert post("rename", name="Nia Other", why="married in May") == 302
    assert post("leave") == 302
    assert post("back") == 302
    assert post("dance") == 422
    hidden = form_of(fay.get(at).content.decode(), 'name="do"')
    assert fay.post(at, hidden | {"do": "erase", "reason": "x"}).status_code == 422
    assert post("erase", reason="asked") == 302
    row.refresh_from_db()
    assert (row.state, row.person, row.name) == ("erased", None, f"erased {row.pk}")
    assert top.get("/lab/learners/999/").status_code == 404


def test_a_mark_is_corrected_by_its_evaluator_with_a_note_and_decided_anew() -> None:
    on = school()
    attempt = passed(on).attempt
    fay, at = browser(on.fay), f"/lab/attempt/{attempt.pk}/"
    hidden = form_of(fay.get(at).content.decode(), 'value="correct"')
    wrong = {"do": "correct", "mark": "order|not done"}
    assert fay.post(at, hidden | wrong | {"note": ""}).status_code == 422
    assert fay.post(at, hidden | wrong | {"mark": "order|none", "note": "x"}).status_code == 422
    assert fay.post(at, hidden | wrong | {"note": "the film shows it"}).status_code == 302
    page = fay.get(at).content.decode()
    assert "What was corrected" in page
    assert "Critical" in page
    decided = form_of(page, 'value="decide"') | {"do": "decide", "why": "mark corrected"}
    assert fay.post(at, decided).status_code == 302
    attempt.refresh_from_db()
    assert attempt.state == "decided"
    gil = browser(on.gil)
    hidden = form_of(gil.get(at).content.decode(), 'value="alter"')
    assert gil.post(at, hidden | wrong | {"note": "mine"}).status_code == 422


def test_a_day_a_class_and_a_learner_on_paper() -> None:
    import pypdfium2

    from drawndose.department.training.models import Station

    on = school()
    passed(on, order="not done")
    passed(on, "102")
    fay, top, lea = browser(on.fay), browser(on.max), browser(on.lea)

    def read(answer: Any) -> str:
        assert answer["Content-Type"] == "application/pdf", words(answer.content.decode(errors="replace"))
        document = pypdfium2.PdfDocument(answer.content)
        return " ".join(page.get_textpage().get_text_range() for page in document)

    for kind in ("stations", "cards", "labels", "key", "supplies", "forms", "pack"):
        assert "Fay Mockup" in read(fay.get(f"/lab/days/{on.day.pk}/{kind}.pdf")), kind
    assert "Lea Model" in read(top.get(f"/lab/classes/{on.cohort.pk}/file.pdf"))
    mine = on.learner("101").pk
    whole = read(fay.get(f"/lab/learners/{mine}/file.pdf"))
    assert "Lea Model" in whole
    assert "Nia Sample" not in whole
    assert "Lea Model" in read(lea.get(f"/lab/mine/{mine}/file.pdf"))
    assert lea.get(f"/lab/mine/{on.learner('102').pk}/file.pdf").status_code == 404
    assert lea.get(f"/lab/learners/{mine}/file.pdf").status_code == 403
    assert fay.get(f"/lab/days/{on.day.pk}/nothing.pdf").status_code == 404
    Station.objects.filter(day=on.day, number=1).update(cards=[])
    assert fay.get(f"/lab/days/{on.day.pk}/key.pdf").status_code == 422


def test_a_learner_signs_on_the_evaluators_tablet_for_this_one_act() -> None:
    from tests.department.people.staff import PASSWORD

    on = school()
    attempt = passed(on).attempt
    fay, at = browser(on.fay), f"/lab/attempt/{attempt.pk}/"
    hidden = form_of(fay.get(at).content.decode(), 'value="sign"') | {"do": "sign", "comment": "Seen."}
    assert fay.post(at, hidden | {"second_name": "gil", "second_secret": PASSWORD}).status_code == 422
    assert fay.post(at, hidden | {"second_name": "lea", "second_secret": "wrong-word-here"}).status_code == 422
    assert fay.post(at, hidden | {"second_name": "lea", "second_secret": PASSWORD}).status_code == 302
    attempt.refresh_from_db()
    assert (attempt.state, attempt.signed_by, attempt.comment) == ("signed", on.lea, "Seen.")
    assert "Fay Mockup" in fay.get("/lab/").content.decode()


def test_an_attempt_on_a_form_that_is_not_in_use_any_more_is_named() -> None:
    from dataclasses import replace

    from drawndose.department.training import forms

    on = school()
    attempt = passed(on).attempt
    fay, at = browser(on.fay), f"/lab/attempt/{attempt.pk}/"
    assert "judged by" not in fay.get(at).content.decode()
    row = forms.in_use(attempt.skill)
    forms.revise(row, replace(forms.form_of(row), minutes=30), by=on.max, version=row.version)
    assert "which is not in use any more; it is judged by that" in fay.get(at).content.decode()
    second = passed(on, "102").attempt
    row = forms.in_use(attempt.skill)
    forms.revise(row, replace(forms.form_of(row), minutes=40), by=on.max, version=row.version)
    said = words(fay.get(f"/lab/attempt/{second.pk}/").content.decode())
    assert "It is judged by the version it was marked on" in said


def test_an_attempt_is_broken_off_and_a_day_closed_or_dropped_on_the_page() -> None:
    from drawndose.department.training import days

    on = school()
    attempt = on.begin("101").attempt
    fay, gil = browser(on.fay), browser(on.gil)
    day, at = f"/lab/days/{on.day.pk}/", f"/lab/attempt/{attempt.pk}/"
    closing = form_of(fay.get(day).content.decode(), 'value="close"') | {"do": "close"}
    assert "Lea Model at station 1" in words(fay.post(day, closing).content.decode())
    hidden = form_of(gil.get(at).content.decode(), 'value="break-off"') | {"do": "break-off"}
    assert gil.post(at, hidden | {"reason": ""}).status_code == 422
    assert gil.post(at, hidden | {"reason": "fire alarm"}).status_code == 302
    closing = form_of(fay.get(day).content.decode(), 'value="close"') | {"do": "close"}
    assert fay.post(day, closing).status_code == 302
    on.day.refresh_from_db()
    assert on.day.state == "closed"
    wanted = days.Wanted(title="Never", on=on.day.on, zone="UTC", seed="n")
    other = days.plan_day(on.cohort, wanted, by=on.fay)
    there = f"/lab/days/{other.pk}/"
    hidden = form_of(fay.get(there).content.decode(), 'value="drop"')
    assert fay.post(there, hidden | {"do": "drop", "reason": "snow"}).status_code == 302
    assert fay.post(there, hidden | {"do": "dance"}).status_code == 422


def test_steps_that_nobody_marked_are_told_together() -> None:
    from drawndose.department.training import attempts

    on = school()
    sheet = on.begin("101")
    proved(sheet.attempt)
    every = marks(sheet)
    for left in (3, 1):
        row = sheet if left == 3 else on.begin("102")
        kept = marks(row)[: len(every) - left]
        attempts.send(row, kept, by=on.fay, version=row.version)
        proved(row.attempt)
        said = words(browser(on.fay).get(f"/lab/attempt/{row.attempt_id}/").content.decode())
        assert ("3 marks are missing." in said) == (left == 3)
        assert said.count("Not marked: ") == (1 if left == 1 else 0)


def test_an_evaluator_breaks_an_attempt_off_on_the_open_sheet() -> None:
    from drawndose.department.training.models import Attempt

    on = school()
    fay, address = begun(on)
    page = fay.get(address).content.decode()
    hidden, at = form_of(page, "Break it off"), f"/lab/attempt/{Attempt.objects.get().pk}/"
    assert f'action="{at}"' in page
    refused = fay.post(at, hidden | {"do": "break-off"}).content.decode()
    assert "what happened, without names" in words(refused)
    assert '<details class="fold" id="break-off" open>' in refused
    assert fay.post(at, hidden | {"do": "break-off", "reason": "a wrong card"}).status_code == 302
    assert "broken off" in words(fay.get(at).content.decode())
    assert "0 of" in words(fay.get("/lab/").content.decode())


def test_who_is_kept_longer_than_the_setting_says_stands_on_the_programme_for_the_manager() -> None:
    from drawndose.department.training.models import Cohort
    from drawndose.department.work import policy

    on = school()
    Cohort.objects.update(at=on.cohort.at - timedelta(days=4 * 366))
    assert "Kept longer" not in words(browser(on.max).get("/lab/programme/").content.decode())
    policy.choose("training_years", "3", reason="board", by=on.max)
    assert "Nia Sample no. 102" in words(browser(on.max).get("/lab/programme/").content.decode())
    assert "Kept longer" not in words(browser(on.fay).get("/lab/programme/").content.decode())
