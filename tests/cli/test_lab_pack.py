"""`drawndose lab pack`: the PDFs of a day in a folder."""

import json
from pathlib import Path

import pytest

from drawndose.cli import main
from drawndose.lab.papers.pack import KINDS, WHOLE
from tests.department.printing.reading import bare, sides, told

SET = ["lab", "pack", "--seed", "spring", "--learners", "2", "--at", "2026-03-02 13:00", "--zone", "UTC"]


def test_every_kind_is_written_and_named(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    to = tmp_path / "new" / "papers"
    assert main([*SET, "--to", str(to)]) == 0
    out = capsys.readouterr().out
    for kind in (*KINDS, WHOLE):
        pdf = (to / f"{kind}.pdf").read_bytes()
        assert set(sides(pdf)) == {(210, 297)}
        assert f"{kind}.pdf: " in out
    assert "02 Mar 2026, seed spring, 2 learners" in out
    assert "The key is for evaluators only" in out
    assert "Printed02Mar2026" not in bare(
        told((to / "key.pdf").read_bytes())[0]
    )  # the moment of printing, not of the day
    assert "KEY:EVALUATORSONLY" in bare(told((to / "key.pdf").read_bytes())[0])


def test_letter_and_data(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*SET, "--to", str(tmp_path), "--paper", "letter", "--json"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert data["schema"] == "drawndose.pack/1"
    assert data["paper"] == "Letter"
    assert [one["kind"] for one in data["files"]] == [*KINDS, WHOLE]
    assert set(sides(Path(data["files"][0]["name"]).read_bytes())) == {(215.9, 279.4)}


def test_no_folder_and_one_that_cannot_be_written_are_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(SET) == 2
    assert "the papers need a place" in capsys.readouterr().err
    (tmp_path / "file").write_text("here")
    assert main([*SET, "--to", str(tmp_path / "file")]) == 2
    assert "a folder that may be written" in capsys.readouterr().err
