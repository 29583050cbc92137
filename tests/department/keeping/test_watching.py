"""Health, readiness, metrics and the log: they tell how the department does, and nothing of anyone."""

from __future__ import annotations

import json
import logging
import re

import pytest

from tests.department.scene import labelled, scene
from tests.pages import client

NAME = re.compile(r"[a-z_]+")


def families(text: str) -> dict[str, tuple[str, dict[str, float]]]:
    """A reading of the OpenMetrics text format 1.0, strict in what we write: each family's kind and its samples."""
    lines = text.split("\n")
    assert lines[-2:] == ["# EOF", ""]
    found: dict[str, tuple[str, dict[str, float]]] = {}
    family = ""
    for line in lines[:-2]:
        if line.startswith("# TYPE "):
            _, _, family, kind = line.split(" ")
            assert NAME.fullmatch(family)
            assert family not in found
            found[family] = (kind, {})
        elif line.startswith("# HELP "):
            assert line.split(" ")[2] == family
        else:
            sample = re.fullmatch(r"([a-z_]+)(\{[a-z]+=\"[^\"\n\\]*\"\})? (\S+)", line)
            assert sample is not None, line
            suffix = {"info": "_info", "counter": "_total", "gauge": ""}[found[family][0]]
            assert sample[1] == family + suffix
            found[family][1][(sample[2] or "").strip("{}")] = float(sample[3])
    return found


def test_the_process_answers_whatever_the_storage_does() -> None:
    assert client().get("/health/").json() == {"says": "here"}
    assert client().post("/health/").status_code == 405


def test_ready_only_when_founded(storage: None) -> None:
    answer = client().get("/ready/")
    assert (answer.status_code, answer.json()["ready"]) == (503, False)
    scene()
    answer = client().get("/ready/")
    assert (answer.status_code, answer.json()) == (200, {"ready": True, "says": ""})


def test_ready_says_when_the_storage_is_away(storage: None, monkeypatch: pytest.MonkeyPatch) -> None:
    from django.db import OperationalError

    from drawndose.department.keeping import health, state

    def away(*args: object) -> None:
        raise OperationalError("unable to open database file")

    monkeypatch.setattr(state, "missing_migrations", away)
    assert "cannot be opened" in client().get("/ready/").json()["says"]
    monkeypatch.setattr(health, "_lines", away)
    answer = client().get("/metrics/")
    assert (answer.status_code, "cannot be opened" in answer.content.decode()) == (503, True)


def test_metrics_count_what_the_storage_holds(storage: None) -> None:
    from drawndose.department.ledger.models import Head
    from drawndose.department.work.models import Container, DueDose

    labelled(scene())
    answer = client().get("/metrics/")
    assert answer["Content-Type"] == "application/openmetrics-text; version=1.0.0; charset=utf-8"
    found = families(answer.content.decode())
    assert found["drawndose_events"] == ("counter", {"": Head.objects.get(pk=1).number})
    assert found["drawndose_preparations"][1]['state="labelled"'] == 1
    assert found["drawndose_containers"][1]['state="opened"'] == Container.objects.filter(state="opened").count() == 2
    assert sum(found["drawndose_doses"][1].values()) == DueDose.objects.count()
    assert found["drawndose_doses_late"][1][""] == 0
    assert not {"Dora", "204118", "ana"} & set(re.findall(r"\w+", answer.content.decode()))


@pytest.fixture
def lines(caplog: pytest.LogCaptureFixture, monkeypatch: pytest.MonkeyPatch):
    """What the log says, line by line, as it would be written."""
    from drawndose.department.keeping.logs import Line

    monkeypatch.setattr(logging.getLogger("drawndose"), "propagate", True)
    monkeypatch.setattr(logging.getLogger("django"), "propagate", True)
    caplog.set_level(logging.INFO, "drawndose")
    caplog.handler.setFormatter(Line())
    said: list[dict[str, object]] = []
    monkeypatch.setattr(caplog.handler, "emit", lambda record: said.append(json.loads(Line().format(record))))
    return said


def test_every_request_is_one_line_without_its_words(storage: None, lines) -> None:
    on = scene()
    browser = client()
    browser.force_login(on.ana)
    lines.clear()
    answer = browser.get("/people/?patient=204118&name=Dora")
    client().post("/", {"order": "albuterol for Dora 204118"})
    client().get("/patients-named-Dora/204118")
    mine = [one for one in lines if one["log"] == "drawndose.request"]
    assert [(one["method"], one["page"], one["status"]) for one in mine] == [
        ("GET", "/people/", 403),
        ("POST", "/", 200),
        ("GET", "none", 404),
    ]
    assert mine[0]["request"] == answer["X-Request-ID"]
    assert isinstance(mine[0]["ms"], int)
    text = json.dumps(lines)
    assert not {"Dora", "204118", "ana", "albuterol"} & set(re.findall(r"\w+", text)), text


def test_a_person_has_one_number_in_the_log_and_it_is_not_the_name(storage: None, lines) -> None:
    on = scene()
    numbers = []
    for person in (on.ana, on.ana, on.ben):
        browser = client()
        browser.force_login(person)
        browser.get("/people/")
        numbers.append(lines[-1]["person"])
    assert numbers[0] == numbers[1] != numbers[2]
    assert re.fullmatch("[0-9a-f]{12}", str(numbers[0]))


def test_a_fault_is_told_by_kind_and_place_and_not_by_its_message(lines) -> None:
    log = logging.getLogger("drawndose.work")
    try:
        raise ValueError("Model, Dora, no. 204118")
    except ValueError:
        log.exception("a fault of ours in a job", extra={"job": 7})
    logging.getLogger("django.request").error("%s: %s", "Broken", "/patients/204118")
    assert (lines[0]["fault"], lines[0]["job"], lines[0]["says"]) == ("ValueError", 7, "a fault of ours in a job")
    assert "test_watching.py" in str(lines[0]["where"])
    assert lines[1]["says"] == "%s: %s"
    assert "204118" not in json.dumps(lines)


def test_styles_are_not_logged(lines) -> None:
    client().get("/static/nothing.css")
    assert [one for one in lines if one["log"] == "drawndose.request"] == []
