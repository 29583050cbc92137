"""A person's spread goes from a round of weighings to the budget of a dose, by a file."""

import json
from pathlib import Path

import pytest

from drawndose.cli import main

PLAN = ["plan", "albuterol 2 mg by nebulizer, made up to 3 mL", "--have", "albuterol-0.5pct-bottle-20ml", "--sure"]
MASSES = ["0.385", "0.40", "0.412", "0.395", "0.408", "0.39"]


@pytest.fixture
def me(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Path:
    main(["weigh", "--target", "0.4 mL", "--json", *MASSES])
    file = tmp_path / "me.json"
    file.write_text(capsys.readouterr().out, encoding="utf-8")
    return file


def sure(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    assert main([*PLAN, *words]) == 0
    return capsys.readouterr().out.partition("how sure")[2]


def test_the_file_says_what_the_three_options_say(me: Path, capsys: pytest.CaptureFixture[str]) -> None:
    by_file = sure(capsys, "--operator", str(me))
    found = json.loads(me.read_text(encoding="utf-8"))["series"]["operator"]
    typed = ["--spread", found["spread"], "--draws", str(found["draws"]), "--holds-reading"]
    assert by_file == sure(capsys, *typed)
    assert by_file != sure(capsys)
    assert "the person's own spread: weigh ten draws" not in by_file


@pytest.mark.parametrize(
    ("content", "rule"),
    [
        ("0.5\n0.6", "the file is not a round of weighings"),
        ("[]", "the file is not a round of weighings"),
        ('{"schema": "drawndose.plan/1"}', "the file is not a round of weighings"),
        ('{"schema": "drawndose.weighed/1", "series": null}', "the round shows no spread"),
        (b"\xff\xfe", "the file is not a round of weighings"),
        (None, "No such file"),
    ],
)
def test_another_file_is_refused(
    content: str | bytes | None, rule: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "other.json"
    if content is not None:
        file.write_bytes(content if isinstance(content, bytes) else content.encode())
    assert main([*PLAN, "--operator", str(file)]) == 2
    told = capsys.readouterr()
    assert rule in told.err
    assert told.out == ""


def test_a_spread_is_not_said_twice(me: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*PLAN, "--operator", str(me), "--spread", "2 %"]) == 2
    assert "the spread is typed, or comes from a round of weighings" in capsys.readouterr().err
