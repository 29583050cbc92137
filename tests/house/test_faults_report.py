"""The run of faults never counts as whole what it could not run."""

import sys
from pathlib import Path

import pytest

PERF = Path(__file__).parents[2] / "perf"


def test_what_was_not_run_is_told_and_ends_with_another_status(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    monkeypatch.syspath_prepend(str(PERF))
    for name in ("bearing", "small_disks", "writers"):
        monkeypatch.delitem(sys.modules, name, raising=False)
    import bearing
    import small_disks

    monkeypatch.setattr(small_disks.os, "getuid", lambda: 1000)
    report = bearing.Report()
    small_disks.full_disk(report, tmp_path)
    report.add("something else", "1 of 1", right=True)
    assert report.status(allow_not_run=False) == 3
    assert report.status(allow_not_run=True) == 0
    said = capsys.readouterr().out
    assert "not run: a small disk in memory takes root" in said
    assert "Not run, and so not proved: a full disk." in said
    report.add("a third", "0 of 1", right=False)
    assert report.status(allow_not_run=True) == 1
