"""`drawndose department` starts a verb by its name, and its exit status is the verb's."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from drawndose.cli import department, main


def run(*words: str, folder: Path) -> subprocess.CompletedProcess[str]:
    environment = {name: value for name, value in os.environ.items() if not name.startswith("DRAWNDOSE_")}
    environment |= {"DRAWNDOSE_DATA": str(folder)}
    command = [sys.executable, "-m", "drawndose.cli", "department", *words]
    return subprocess.run(command, env=environment, capture_output=True, text=True, check=False)


def test_both_doors_know_the_same_verbs() -> None:
    from drawndose.department.keeping.__main__ import VERBS

    assert list(department.VERBS) == list(VERBS)


def test_help_names_every_verb(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["department", "--help"]) == 0
    printed = capsys.readouterr().out
    assert [verb for verb in department.VERBS if f"\n  {verb} " not in printed] == []


def test_a_verb_that_is_none_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["department", "sing"]) == 2
    assert "sing" in capsys.readouterr().err


def test_a_verb_has_its_own_help_and_its_own_exit_status(tmp_path: Path) -> None:
    asked = run("backup", "--help", folder=tmp_path)
    assert (asked.returncode, "one that is there is never overwritten" in " ".join(asked.stdout.split())) == (0, True)
    looked = run("check", folder=tmp_path)
    assert (looked.returncode, "there is no file" in looked.stdout) == (1, True)
    refused = run("audit", folder=tmp_path / "nowhere")
    assert (refused.returncode, refused.stderr.startswith("The file of the storage cannot be opened.")) == (2, True)


def test_json_is_asked_for_on_either_side_of_the_verb(tmp_path: Path) -> None:
    for words in (("--json", "check"), ("check", "--json")):
        assert '"schema": "drawndose.check-department/1"' in run(*words, folder=tmp_path).stdout


def test_what_is_not_installed_is_named(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.setattr("drawndose.cli.department.missing", lambda: "The pages need django.")
    assert main(["department", "check"]) == 2
    assert "The pages need django." in capsys.readouterr().err
