"""The page on own instruments: the file that it shows is read as it stands, and holds every table that there is."""

import inspect
import re
import shlex
from fractions import Fraction
from pathlib import Path

import pytest

from drawndose.cli import main
from drawndose.reference import Instruments, instruments, read_instruments

PAGE = Path(__file__).parents[2] / "docs/how-to/add-your-own-instruments.md"
SHOWN = "\n".join(re.findall(r"^```toml\n(.*?)^```", PAGE.read_text(encoding="utf-8"), re.MULTILINE | re.DOTALL))


@pytest.fixture(scope="module")
def ours() -> Instruments:
    return read_instruments(SHOWN, "ours.toml")


def test_every_table_of_the_schema_is_shown() -> None:
    tables = set(re.findall(r'table\.tables\("(\w+)"\)', inspect.getsource(instruments.take_instruments)))
    assert len(tables) == 12
    assert tables == set(re.findall(r"^\[\[(\w+)\]\]", SHOWN, re.MULTILINE))


def test_the_file_that_is_shown_is_read_whole(ours: Instruments) -> None:
    assert [one.id for one in ours.measures] == ["dropper-0.3-0.6", "lab-pipette-oral", "cylinder-250"]
    assert [one.id for one in ours.cups] == ["cup-mesh"]
    assert [one.readability_g for one in ours.balances] == [Fraction(1, 10000)]
    assert [one.repeatability_g for one in ours.balances] == [Fraction(15, 100000)]


def test_the_shown_calibration_is_the_bias_between_its_points_and_nothing_beyond(ours: Instruments) -> None:
    pipette = ours.measures[1]
    assert pipette.calibration is not None
    half_way = pipette.calibration.at(Fraction(35, 100))
    assert half_way is not None
    assert (half_way.bias, half_way.uncertainty) == (Fraction(-225, 100000), Fraction(15, 10000))
    assert pipette.calibration.at(Fraction(1, 10)) is None


def test_a_shown_hub_is_added_to_the_lumen_of_its_own_bore(ours: Instruments) -> None:
    one, filtering = ours.needles
    assert one.bore_mm == Fraction(311, 1000)
    assert one.lumen is not None
    assert one.hub == Fraction(4, 100)
    assert one.keeps == Fraction(4, 100) + one.lumen
    assert (filtering.filters, filtering.keeps) == (True, Fraction(9, 100))


def test_a_shown_unit_dose_gives_what_it_was_weighed_to_give(ours: Instruments) -> None:
    assert [one.gives for one in ours.unit_doses] == [Fraction(312, 100)]


def test_the_commands_of_the_page_run(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "ours.toml"
    file.write_text(SHOWN, encoding="utf-8")
    shown = re.findall(r"^    drawndose (.+)$", PAGE.read_text(encoding="utf-8"), re.MULTILINE)
    assert len(shown) == 3
    for line in shown:
        assert main([str(file) if word == "ours.toml" else word for word in shlex.split(line)]) == 0, line
    assert "lab 0.5 mL pipette" in capsys.readouterr().out
