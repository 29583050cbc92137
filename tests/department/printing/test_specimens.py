"""The specimens are written as they are shown, and the examples in the modules say what happens."""

import doctest
import runpy
import sys
from importlib import import_module
from pathlib import Path

import pytest

from drawndose.department import printing
from drawndose.department.printing.specimens import specimens
from tests.department.printing.reading import pages
from tools import label_pictures


def test_every_specimen_is_written(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "a" / "b"
    monkeypatch.setattr(sys, "argv", ["printing", str(folder)])
    runpy.run_module("drawndose.department.printing", run_name="__main__", alter_sys=True)
    written = {file.name: file.read_bytes() for file in folder.iterdir()}
    said = capsys.readouterr().out
    for name, printed in specimens():
        assert written.pop(f"{name}.pdf") == printed.pdf
        assert f"{name}: {len(printed.pages)} page" in said
        assert len(list(pages(printed.pdf))) == len(printed.pages)
        for at, page in enumerate(printed.pages, start=1):
            assert written.pop(f"{name}-{at}.png" if len(printed.pages) > 1 else f"{name}.png") == page
    assert not written


def test_without_a_folder_it_says_how(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "argv", ["printing"])
    with pytest.raises(SystemExit, match=r"python -m drawndose\.department\.printing FOLDER"):
        runpy.run_module("drawndose.department.printing", run_name="__main__", alter_sys=True)


MODULES = sorted(
    file.stem for file in Path(printing.__path__[0]).glob("*.py") if file.stem not in {"__init__", "__main__"}
)


def test_the_examples_in_the_modules_hold() -> None:
    found = [doctest.testmod(import_module(f"drawndose.department.printing.{name}")) for name in MODULES]
    assert sum(one.failed for one in found) == 0
    assert sum(one.attempted for one in found) >= 2


def test_the_reference_shows_the_specimens_as_they_print(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert label_pictures.main(["--check"]) == 0, "run: python tools/label_pictures.py"
    page = (label_pictures.FOLDER.parent / "labels.md").read_text(encoding="utf-8")
    assert {file.name for file in label_pictures.FOLDER.iterdir()} == set(label_pictures.pictures())
    assert all(f"labels/{name}" in page for name in label_pictures.pictures())
    assert label_pictures.main(["--check"], tmp_path) == len(label_pictures.SHOWN)
    assert "cup.png is out of date" in capsys.readouterr().out
    assert label_pictures.main([], tmp_path) == label_pictures.main(["--check"], tmp_path) == 0


def test_the_reference_names_every_size_grid_and_part() -> None:
    page = (label_pictures.FOLDER.parent / "labels.md").read_text(encoding="utf-8")
    for size in printing.SIZES:
        assert f"| {size.says} | {size.large:g} and {size.text:g} |" in page
    for grid in printing.GRIDS:
        assert f"| {grid.name} | {grid.size.says} |" in page
    codes = {printed.words[-1] for name, printed in specimens() if name in {"cup", "opened"}}
    assert all(f"`{code}`" in page for code in codes)
