"""A drawing on the command line: every sort of thing, the picture as SVG and PNG, and the words that say the same."""

import json
import re
import shlex
import struct
import sys
from pathlib import Path
from xml.etree import ElementTree

import pytest

from drawndose.cli import main
from drawndose.cli.draw import _EXAMPLES
from drawndose.paper import TYPE

BOTTLE = "albuterol-0.5pct-bottle-20ml"
VIAL = "acetylcysteine-20pct 4 mL"
AMPOULE = "epinephrine-1mg-1ml-ampoule"


def data(capsys: pytest.CaptureFixture[str], *words: str) -> dict[str, str]:
    assert main(["draw", *words, "--json"]) == 0
    made: dict[str, str] = json.loads(capsys.readouterr().out)
    return made


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
    made = data(capsys, "syringe-10", "5 mL")
    assert (made["schema"], made["kind"]) == ("drawndose.drawing/1", "syringe")
    assert made["rows"][0] == {"name": "Instrument", "text": "10 mL syringe, luer lock"}
    ElementTree.fromstring(made["svg"])


@pytest.mark.parametrize(
    ("words", "kind", "name"),
    [
        (["cylinder-10", "5 mL"], "cylinder", "10 mL graduated cylinder: fill to 5 mL."),
        (["syringe-3", "0.4 mL", "--bubble", "0.05 mL"], "syringe", "fill to 0.4 mL, air 0.05 mL."),
        (["syringe-3", "0.4 mL", "--trim"], "trim", "1, past the mark to 0.5 mL; 2, trimmed to 0.4 mL."),
        (["syringe-3", "0.4 mL", "--needle", "needle-21g"], "needle", "with 21 G needle, 38 mm, filled to 0.4 mL."),
        (["syringe-3", "--needle", "filter-straw"], "needle", "3 mL syringe, luer lock, with filter straw."),
        (["syringe-3", "0.4 mL", "--life-size"], "life-size", "life size on paper: fill to 0.4 mL."),
        ([BOTTLE, "0.5 mL"], "container", "0.5 mL out of 20 mL."),
        ([VIAL, "1 mL", "--in-use"], "inverted-vial", "upside down: 1 mL out of 4 mL."),
        ([VIAL, "1 mL", "--in-use", "--left", "1.5 mL"], "inverted-vial", "upside down: 1 mL out of 1.5 mL."),
        ([AMPOULE, "0.9 mL", "--in-use"], "ampoule", "opened and tilted: 0.9 mL out of 1 mL."),
        (
            [AMPOULE, "0.9 mL", "--in-use", "--needle", "filter-straw"],
            "ampoule",
            "opened and tilted: 0.9 mL out of 1 mL.",
        ),
        (["pentamidine-300mg-vial", "6 mL"], "container", "all of it, 6 mL."),
        (["cup-6", "3 mL"], "cup", "6 mL nebulizer cup: the fill stands near 3 mL."),
        (["needle-25g"], "needle", "25 G needle, 16 mm."),
    ],
)
def test_every_sort_of_thing_is_drawn(
    words: list[str], kind: str, name: str, capsys: pytest.CaptureFixture[str]
) -> None:
    made = data(capsys, *words)
    assert made["kind"] == kind
    assert made["name"].replace("\u00a0", " ").endswith(name)


def test_instrument_and_volume_come_in_either_order_and_a_volume_alone_is_in_millilitres(
    capsys: pytest.CaptureFixture[str],
) -> None:
    told = []
    for words in (["syringe-1", "0.52 mL"], ["0.52mL", "syringe-1"], ["syringe-1", "0.52"]):
        assert main(["draw", *words]) == 0
        told.append(capsys.readouterr().out)
    assert told[0] == told[1] == told[2]


def test_an_ampoule_names_the_filter_that_was_asked_for(capsys: pytest.CaptureFixture[str]) -> None:
    made = data(capsys, AMPOULE, "0.9 mL", "--in-use", "--needle", "filter-straw")
    assert {"name": "Drawn through", "text": "filter straw"} in made["rows"]  # type: ignore[comparison-overlap]


def pixels(file: Path) -> tuple[int, int]:
    content = file.read_bytes()
    assert content[:8] == b"\x89PNG\r\n\x1a\n"
    wide, high = struct.unpack(">II", content[16:24])
    return wide, high


@pytest.mark.parametrize("light", ["paper", "day", "bright", "night"])
def test_a_png_is_as_wide_as_was_asked_in_every_lighting(light: str, tmp_path: Path) -> None:
    file, drawn = tmp_path / "drawn.png", tmp_path / "drawn.svg"
    words = ["draw", "syringe-3", "0.4 mL", "--light", light, "--svg", str(drawn), "--png", str(file), "--width", "640"]
    assert main(words) == 0
    root = ElementTree.fromstring(drawn.read_text(encoding="utf-8"))
    _, _, wide, high = (float(side) for side in root.attrib["viewBox"].split())
    assert pixels(file) == (640, round(640 * high / wide))


def test_the_words_of_a_png_are_set_in_the_packaged_type(tmp_path: Path) -> None:
    """Without its digits the picture is another one: the text is really set, and not left out for want of a typeface."""
    from drawndose.cli.picture import png

    drawn = tmp_path / "drawn.svg"
    main(["draw", "syringe-3", "0.4 mL", "--svg", str(drawn)])
    svg = drawn.read_text(encoding="utf-8")
    assert {file.name for file in TYPE.iterdir()} >= {"b612-400.ttf", "b612-700.ttf", "B612-LICENSE.txt"}
    told, untold, elsewhere = png(svg, 400), png(svg.replace("0.4\u00a0mL</text>", "</text>"), 400), png(svg, 400)
    assert told != untold
    assert told == png(svg.replace("B612", "DejaVu Sans Mono"), 400), "no typeface of the system is ever taken"
    assert told == elsewhere, "the same drawing is the same file"


def test_without_typst_a_png_is_refused_in_one_sentence(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setitem(sys.modules, "typst", None)
    assert main(["draw", "syringe-3", "0.4 mL", "--png", str(tmp_path / "drawn.png")]) == 2
    assert "needs the package typst, which is not installed" in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["syringe-3", "0.52 mL"], 'has no line there. Came: "0.52 mL". Accepted: 0.5 mL or 0.6 mL.'),
        (["syringe-3", "4 mL"], 'ends. Came: "4 mL". Accepted: more than 0 and at most 3 mL.'),
        (["syringe-3", "0 mL"], "ends."),
        (["syringe-3", "2 mg"], "a volume is wanted"),
        (["syringe-3"], "a volume is wanted"),
        (["teaspoon", "1 mL"], "nothing in the catalogue has this id"),
        (["syringe-3", "1 mL", "--svg", "no-such-folder/drawn.svg"], "svg: "),
        (["syringe-3", "1 mL", "--png", "no-such-folder/drawn.png"], "png: "),
        (["syringe-3", "1 mL", "--png", "drawn.png", "--width", "12"], "a width is a whole number of pixels"),
        (["syringe-3", "1 mL", "--png", "drawn.png", "--width", "wide"], "a width is a whole number of pixels"),
        (["syringe-3", "0.4 mL", "--bubble", "0.4 mL"], "must leave some liquid of 0.4 mL"),
        (["syringe-3", "0.4 mL", "--bubble", "-1 mL"], "bubble: "),
        (["syringe-3", "3 mL", "--trim"], "no line to draw past to"),
        (["syringe-3", "1 mL", "--needle", "needle-99g"], "the needle is not in the catalogue"),
        (["syringe-3-oral", "1 mL", "--needle", "needle-21g"], "an oral tip takes no needle"),
        (["syringe-3", "1 mL", "--trim", "--life-size"], 'Came: "--trim, --life-size". Accepted: one of them.'),
        (["syringe-3", "1 mL", "--left", "1 mL"], "nothing is left in"),
        (["dropper-0.25-0.5", "0.5 mL", "--trim"], "is not drawn with this"),
        (["cup-6", "3 mL", "--bubble", "1 mL"], "a cup is not drawn with this"),
        (["cup-6", "7 mL"], 'does not hold this. Came: "7 mL". Accepted: up to 6 mL.'),
        (["needle-21g", "1 mL"], "a needle is filled to no line"),
        ([BOTTLE, "21 mL"], "this cannot leave one container"),
        ([BOTTLE, "1 mL", "--in-use"], "a dropper bottle is not drawn in use"),
        ([BOTTLE, "1 mL", "--needle", "needle-21g"], "a container is not drawn with this"),
        ([BOTTLE, "1 mL", "--left", "30 mL"], "draw: "),
        (["acetylcysteine-20pct", "1 mL"], "it comes in several sizes"),
        ([AMPOULE, "0.9 mL", "--in-use", "--needle", "needle-21g"], "holds back no glass"),
    ],
)
def test_what_cannot_be_drawn_is_2_and_says_why(
    words: list[str], said: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["draw", *words]) == 2
    assert said in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []


def test_every_fault_is_told_at_once(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["draw", "syringe-3-oral", "0.45 mL", "--needle", "x", "--in-use", "--left", "2 mL"]) == 2
    said = capsys.readouterr().err
    assert [line.split(": ")[1] for line in said.splitlines()] == ["in-use", "left", "needle", "volume"]


DOCUMENT = Path(__file__).parents[2] / "docs/how-to/draw-an-instrument.md"
SHOWN = re.findall(r"drawndose (draw [^`\n]+)", DOCUMENT.read_text(encoding="utf-8"))
HELPED = [
    line.strip().split("  ")[0].split(" > ")[0].removeprefix("drawndose ")
    for line in _EXAMPLES.splitlines()
    if "drawndose" in line
]


@pytest.mark.parametrize("command", dict.fromkeys([*SHOWN, *HELPED]))
def test_every_command_that_is_shown_somewhere_draws(
    command: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(shlex.split(command)) == 0, capsys.readouterr().err
    assert capsys.readouterr().out


def test_the_page_and_the_help_show_every_picture() -> None:
    for option in ("--bubble", "--trim", "--needle", "--in-use", "--life-size"):
        assert any(option in command for command in SHOWN)
        assert option in _EXAMPLES
    assert len(SHOWN) > 10
    assert len(HELPED) == 10
