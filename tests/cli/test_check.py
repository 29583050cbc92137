"""`drawndose check`: a described container at a moment, and a plan that will not draw from one past its limit."""

import json
from pathlib import Path

import pytest

from drawndose.cli import main, place

AT = ["--at", "2026-11-25 14:05", "--zone", "America/Chicago"]
BOTTLE = "albuterol-0.5pct-bottle-20ml; expiry 06/2027; opened 2026-11-01 09:00; owner 204118"


def test_a_container_in_order_says_until_when(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", BOTTLE, "--bottle-life", "28 d", *AT]) == 0
    told = capsys.readouterr().out
    assert "until the end of 29 Nov 2026" in told
    assert "28 days by your facility" in told
    assert "the end of 30 Jun 2027: printed expiry" in told


def test_a_container_past_its_limit_stops_with_who_may_go_on(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", BOTTLE, "--bottle-life", "7 d", *AT]) == 1
    told = capsys.readouterr().out
    assert told.startswith("NOT TO BE USED")
    assert "goes on: nobody; a fact must change" in told


def test_json_holds_the_same(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", "ipratropium-500mcg-2.5ml; expiry 2026-10", "--json", *AT]) == 1
    answer = json.loads(capsys.readouterr().out)
    assert answer["schema"] == "drawndose.check/1"
    assert answer["at"] == "2026-11-25T14:05:00-06:00"
    assert [(one["rule"], one["level"]) for one in answer["findings"]] == [("past-printed-expiry", "stop")]
    assert answer["limits"][0]["over_at"] == "2026-11-01T00:00:00-05:00"


def test_without_a_time_it_is_now(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", "ipratropium-500mcg-2.5ml; expiry 2020-10"]) == 1
    assert main(["check", "ipratropium-500mcg-2.5ml; expiry 2099-10"]) == 0
    assert main(["check", "ipratropium-500mcg-2.5ml"]) == 0
    assert "expiry printed on" in capsys.readouterr().out


def test_every_fault_is_named_at_once(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", "ipratropium-500mcg-2.5ml; colour blue; expiry 13/2027; lot A; lot B", *AT]) == 2
    told = capsys.readouterr().err
    assert "no such word" in told
    assert "said twice" in told
    assert main(["check", "ipratropium-500mcg-2.5ml; expiry 13/2027; opened at noon", *AT]) == 2
    told = capsys.readouterr().err
    assert "expiry:" in told
    assert "opened:" in told


@pytest.mark.parametrize(
    ("words", "rule"),
    [
        (["--bottle-life", "at once"], "bottle-life"),
        (["--vial-life", "29 d"], "a setting may only be shorter"),
        (["--zone", "Mars/Olympus"], "no zone of this name"),
        (["--at", "2026-11-01 01:30"], "shows this time twice"),
    ],
)
def test_a_setting_or_time_that_cannot_be_is_refused(
    words: list[str], rule: str, capsys: pytest.CaptureFixture[str]
) -> None:
    given = dict(zip(AT[::2], AT[1::2], strict=True)) | dict([words])
    assert main(["check", BOTTLE, *(word for pair in given.items() for word in pair)]) == 2
    assert rule in capsys.readouterr().err


def test_a_plan_takes_the_bottle_that_is_in_date(capsys: pytest.CaptureFixture[str]) -> None:
    order = "albuterol 2.5 mg by nebulizer, made up to 3 mL, every 4 hours"
    old, new = BOTTLE.replace("2026-11-01", "2026-10-01"), BOTTLE
    words = ["plan", order, "--have", old, "--have", new, "--cup", "cup-6", "--bottle-life", "28 d", "--json"]
    assert main([*words, "--started", "2026-11-25 14:05", "--zone", "America/Chicago"]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert answer["status"] == "ready"
    assert any("opened 01 Oct 2026" in one["why"] for one in answer["not_taken"])
    assert main(words) == 1
    asked = json.loads(capsys.readouterr().out)
    assert asked["status"] == "ask"
    assert [one["field"] for one in asked["questions"] if one["blocking"]] == ["started"]


def test_the_zone_is_found_by_name(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.delenv("DRAWNDOSE_ZONE", raising=False)
    monkeypatch.setenv("TZ", ":Europe/Berlin")
    assert place.zone().key == "Europe/Berlin"
    monkeypatch.setenv("DRAWNDOSE_ZONE", "Asia/Kolkata")
    assert place.zone().key == "Asia/Kolkata"
    assert place.zone("UTC").key == "UTC"
    monkeypatch.delenv("DRAWNDOSE_ZONE")
    monkeypatch.delenv("TZ")
    monkeypatch.setattr(place, "LOCALTIME", tmp_path / "zoneinfo" / "America" / "Chicago")
    assert place.zone().key == "America/Chicago"
    monkeypatch.setattr(place, "LOCALTIME", tmp_path / "nothing")
    assert place.zone().key == "UTC"


@pytest.mark.parametrize("word", ["expiry", "owner", "lot:", "opened ="])
def test_a_word_without_its_value_is_refused_and_never_read_as_yes(
    capsys: pytest.CaptureFixture[str], word: str
) -> None:
    assert main(["check", f"epinephrine-1mg-1ml-ampoule; {word}", *AT]) == 2
    assert f'a word without its value. Came: "{word}"' in capsys.readouterr().err


@pytest.mark.parametrize("left", ["0 mL", "30 mL"])
def test_what_cannot_be_left_is_refused_in_words(capsys: pytest.CaptureFixture[str], left: str) -> None:
    assert main(["check", f"albuterol-0.5pct-bottle-20ml left {left}", *AT]) == 2
    told = capsys.readouterr().err
    assert "more than nothing and not more than the container holds. Came:" in told
    assert "Quantity(" not in told
