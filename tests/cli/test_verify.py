import json
from pathlib import Path

import pytest

from drawndose.cli import main

CASE = """
[[case]]
id = "{id}"
kind = "{kind}"
standing = "derived"
source = "our own arithmetic"
given = {{ dose = "2.5 mg", strength = "0.5 %" }}
expect = {{ answer = "{answer}" }}
"""


@pytest.fixture
def ours(tmp_path: Path) -> Path:
    cases = [("good", "sum.dose_to_volume", "0.5 mL"), ("odd", "weather.rain", "1 mL")]
    path = tmp_path / "ours.toml"
    path.write_text("".join(CASE.format(id=i, kind=k, answer=a) for i, k, a in cases), encoding="utf-8")
    return path


def test_the_shipped_cases_are_met(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["verify"]) == 0
    out = capsys.readouterr().out
    assert "all cases" in out
    assert "sum-117 (sums.toml, sum.infusion_rate): 3 mL per h; the source prints 0.05 mL/h (wrong)" in out
    assert "Failed:" not in out


def test_our_own_cases(ours: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["verify", str(ours)]) == 0
    out = capsys.readouterr().out
    assert "Not supported:\n  odd" in out
    assert "sum-117" not in out
    assert main(["verify", "--shipped", str(ours)]) == 0
    assert "sum-117" in capsys.readouterr().out


def test_a_failed_case_is_1(ours: Path, capsys: pytest.CaptureFixture[str]) -> None:
    ours.write_text(CASE.format(id="bad", kind="sum.dose_to_volume", answer="5 mL"), encoding="utf-8")
    assert main(["verify", str(ours)]) == 1
    assert "expected 5 mL, came 0.5 mL: answer is not as expected" in capsys.readouterr().out


def test_json(ours: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["verify", str(ours), "--json"]) == 0
    made = json.loads(capsys.readouterr().out)
    assert made["counts"] == {"passed": 1, "passed, print disagrees": 0, "unsupported": 1, "failed": 0}
    assert made["by_kind"]["weather.rain"]["unsupported"] == 1
    assert [case["status"] for case in made["cases"]] == ["passed", "unsupported"]


def test_every_file_that_cannot_be_read_is_named(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "typo.toml").write_text(CASE.format(id="a", kind="sum.x", answer="1").replace("source", "sauce"))
    (tmp_path / "bytes.toml").write_bytes(b"\xff\xfe")
    names = [str(tmp_path / name) for name in ("typo.toml", "bytes.toml", "gone.toml")]
    assert main(["verify", *names]) == 2
    err = capsys.readouterr().err
    assert "typo.toml, case a.sauce: the key is not known here" in err
    assert "bytes.toml: the file cannot be read" in err
    assert 'gone.toml: the file cannot be read. Came: "No such file or directory"' in err
    assert "Errno" not in err
