"""A drawing on the command line: the picture, and the words that say the same."""

import json
from pathlib import Path
from xml.etree import ElementTree

import pytest

from drawndose.cli import main


def test_the_picture_is_one_svg_that_says_its_name_and_words(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["draw", "syringe-1", "0.52 mL"]) == 0
    picture = ElementTree.fromstring(capsys.readouterr().out)
    assert picture.tag == "{http://www.w3.org/2000/svg}svg"
    assert picture.findtext("{*}title") == "1 mL syringe, luer lock: fill to 0.52\u00a0mL."
    words = picture.findtext("{*}desc") or ""
    assert "second line past 0.5" in words.replace("\u00a0", " ")


def test_with_a_file_the_words_come_on_the_screen(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "drawn.svg"
    assert main(["draw", "dropper-0.25-0.5", "0.25 mL", "--svg", str(file)]) == 0
    assert "the lowest point of the curve at the 0.25 mL mark" in capsys.readouterr().out.replace("\u00a0", " ")
    ElementTree.fromstring(file.read_text(encoding="utf-8"))


def test_json_holds_picture_words_and_table(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["draw", "syringe-10", "5 mL", "--json"]) == 0
    made = json.loads(capsys.readouterr().out)
    assert made["schema"] == "drawndose.drawing/1"
    assert made["rows"][0] == {"name": "Instrument", "text": "10 mL syringe, luer lock"}
    ElementTree.fromstring(made["svg"])


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["syringe-3", "0.52 mL"], 'has no line there. Came: "0.52 mL". Accepted: 0.5 mL or 0.6 mL.'),
        (["syringe-3", "4 mL"], 'ends. Came: "4 mL". Accepted: more than 0 and at most 3 mL.'),
        (["syringe-3", "0 mL"], "ends."),
        (["syringe-3", "2 mg"], "a volume is wanted"),
        (["teaspoon", "1 mL"], "the instrument is not in the catalogue"),
        (["syringe-3", "1 mL", "--svg", "no-such-folder/drawn.svg"], "svg: "),
    ],
)
def test_what_cannot_be_drawn_is_2_and_says_why(
    words: list[str], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["draw", *words]) == 2
    assert said in capsys.readouterr().err
