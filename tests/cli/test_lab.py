"""`drawndose lab`: tasks, key, supplies, forms and what a pass proves, in words and as data."""

import json

import pytest

from drawndose.cli import main

SET = ["--seed", "spring", "--learners", "3", "--at", "2026-03-02 13:00", "--zone", "UTC"]


def said(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    assert main(["lab", *words]) == 0
    return capsys.readouterr().out


def test_tasks_give_the_cards_and_not_the_key(capsys: pytest.CaptureFixture[str]) -> None:
    told = said(capsys, "tasks", *SET)
    assert told.startswith("seed spring, 3 learners, 02 Mar 2026 13:00 (24 h)\n")
    assert told.count("\nlearner ") == 3
    assert "Draw " not in told
    assert "Stop." not in told
    assert "nothing of it is given to anybody" in told
    assert told == said(capsys, "tasks", *SET)


def test_the_key_shows_the_working_and_each_task_in_full_once(capsys: pytest.CaptureFixture[str]) -> None:
    told = said(capsys, "key", "--seed", "spring", "--learners", "30", *SET[4:])
    assert told.startswith("KEY, for evaluators only: ")
    assert "     sum    " in told
    assert "     wrong  " in told
    assert "     label  route: To be breathed in by nebulizer. NOT FOR INJECTION." in told
    assert "as above. " in told
    assert " Stop. " in told
    stops = said(capsys, "key", *SET, "--no-stops")
    assert "Stop. " not in stops


def test_supplies_are_told_by_station_and_together(capsys: pytest.CaptureFixture[str]) -> None:
    told = said(capsys, "supplies", *SET)
    assert "station 3: Glass ampoule" in told
    assert "all together" in told
    assert "(water, labelled so and FOR TRAINING ONLY)" in told


def test_forms_are_listed_and_shown(capsys: pytest.CaptureFixture[str]) -> None:
    assert said(capsys, "forms").count("critical, version ") == 5
    told = said(capsys, "forms", "t3-glass-ampoule")
    assert "choice snap: Which way is an ampoule snapped? away from the body (or towards the body)." in told
    assert '         may be said: "What must stand on it?"' in told
    assert "  1 C 1  Reads the whole order" in told


def test_what_a_pass_proves_with_a_warning(capsys: pytest.CaptureFixture[str]) -> None:
    told = said(capsys, "proves")
    assert "15 critical steps, 3 attempts, 10 % of the volume" in told
    assert "! Few attempts prove little" in told
    once = said(capsys, "proves", "t2-stoppered-vial", "--attempts", "1", "--volume", "not-asked", "--tolerance", "5 %")
    assert "1 attempt, 5 % of the volume" in once
    assert "! No volume is measured" in once


def test_json_is_one_document(capsys: pytest.CaptureFixture[str]) -> None:
    tasks = json.loads(said(capsys, "tasks", *SET, "--json"))
    assert (tasks["schema"], len(tasks["learners"])) == ("drawndose.tasks/1", 3)
    assert "answer" not in tasks["learners"][0]["tasks"][0]
    assert json.loads(said(capsys, "key", *SET, "--json"))["learners"][0]["tasks"][0]["answer"]
    assert json.loads(said(capsys, "supplies", *SET, "--json"))["all"]
    listed = json.loads(said(capsys, "forms", "--json"))["forms"]
    assert listed[4]["container"] == "any"
    one = json.loads(said(capsys, "forms", "t1-dropper-bottle", "--json"))
    assert one["version"] == listed[0]["version"]
    proof = json.loads(said(capsys, "proves", "--json"))
    assert (proof["schema"], proof["tolerance"], len(proof["novice"]["by_attempt"])) == ("drawndose.proof/1", "1/10", 3)


def test_without_a_moment_it_is_now(capsys: pytest.CaptureFixture[str]) -> None:
    assert said(capsys, "tasks", "--seed", "s", "--learners", "1").startswith("seed s, 1 learner, ")


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["tasks"], 'learners: a whole number is needed. Came: "". Accepted: 24.'),
        (["tasks", "--learners", "0"], "seed: a seed is a short text that you can write down."),
        (
            ["tasks", "--learners", "201", "--seed", "s"],
            'learners: the number of learners. Came: "201". Accepted: 1 to 200.',
        ),
        (["forms", "t9"], "form: no form of this id comes with the house."),
        (["proves", "--attempts", "0"], 'attempts: a whole number is wanted. Came: "0". Accepted: 1 to 20.'),
        (["proves", "--floor", "120"], "percent_floor: a percent is wanted."),
        (["proves", "--tolerance", "5 mg"], "tolerance: a share is wanted."),
        (["proves", "--tolerance", "100 %"], "tolerance: a share of the volume is wanted."),
    ],
)
def test_what_is_wrong_is_told(words: list[str], told: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["lab", *words]) == 2
    assert told in capsys.readouterr().err
