"""Pages that a program writes in part: the marks stay, what is between them is new, and a lost mark is told."""

from pathlib import Path

import pytest

from tools.generated import filled, keep

PAGE = "before\n<!-- one -->\nold\n<!-- end of one -->\nafter\n"


def test_only_what_is_between_the_marks_is_written() -> None:
    assert filled(PAGE, {"one": lambda: "new"}) == PAGE.replace("old", "new")


def test_a_lost_mark_is_told() -> None:
    with pytest.raises(ValueError, match="<!-- one --> with <!-- end of one --> behind it"):
        filled(PAGE.replace("<!-- end of one -->", ""), {"one": lambda: "new"})


def test_checking_writes_nothing_and_names_what_is_out_of_date(tmp_path: Path, capsys: pytest.CaptureFixture) -> None:
    path = tmp_path / "page.md"
    assert keep({path: "new"}, ["--check"]) == 1
    assert (str(path) in capsys.readouterr().err, path.exists()) == (True, False)
    assert keep({path: "new"}, []) == 0
    assert keep({path: "new"}, ["--check"]) == 0
