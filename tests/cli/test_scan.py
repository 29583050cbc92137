import io
import json
from pathlib import Path

import pytest

from drawndose.cli import main

TODAY = ["--today", "2026-11-25"]
GTIN = "0100312345678906"
OURS = """
[[product]]
gtin = "00312345678906"
presentation = "albuterol-0.5pct-bottle-20ml"
pack = "20 mL"
by = "R. Example, RRT"
when = 2026-11-25
"""


@pytest.fixture
def ours(tmp_path: Path) -> str:
    place = tmp_path / "ours.toml"
    place.write_text(OURS, encoding="utf-8")
    return str(place)


def run(*words: str) -> int:
    return main(["scan", *words, *TODAY])


def test_a_code_field_by_field(capsys: pytest.CaptureFixture[str], ours: str) -> None:
    assert run(f"]d2{GTIN}17270600" + "10AB12\x1d21SN5", "--own", ours) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[0] == "]d2 GS1 DataMatrix: GS1 element strings"
    assert [" ".join(line.split()) for line in lines[1:5]] == [
        "(01) GTIN 00312345678906 unit of sale or of use; NDC digits 1234567890, hyphens not known",
        "(17) use by or expiry 270600 expires 30 Jun 2027 (day 00 means the last day of the month)",
        "(10) batch or lot AB12 compare exactly: capitals and leading zeros count",
        "(21) serial number SN5 compare exactly: capitals and leading zeros count",
    ]
    assert "albuterol 0.5 % solution, dropper bottle, 20 mL" in lines[5]
    assert "said by R. Example, RRT, 25 Nov 2026" in lines[5]


@pytest.mark.parametrize("written", ["\x1d", "{GS}", "<GS>", "^]", "\\x1d"])
def test_every_spelling_of_the_separator(written: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(f"]d2{GTIN}10AB12{written}17270630", "--json") == 0
    made = json.loads(capsys.readouterr().out)
    assert made["answer"]["text"] == "(01)00312345678906 (10)AB12 (17)270630"
    assert made["question"] is None


def test_a_question_shows_its_readings_and_is_1(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(f"]d2{GTIN}10AB1217270200") == 1
    out = capsys.readouterr().out
    assert "reading 1 of 3" in out
    assert "reading 3 of 3" in out
    assert "STOP  A separator may have been lost" in out
    assert run(f"]d2{GTIN}10AB1217270200", "--separators-sent") == 0
    assert "reading" not in capsys.readouterr().out
    assert run(f"]d2{GTIN}91" + "21" * 40) == 1
    assert "reading 8 of 8 that are shown" in capsys.readouterr().out


def test_an_expired_one_is_1(capsys: pytest.CaptureFixture[str], ours: str) -> None:
    assert run(f"{GTIN}17261124", "--own", ours) == 1
    assert "STOP  It expired 24 Nov 2026; it is 25 Nov 2026." in capsys.readouterr().out


def test_a_product_that_is_not_in_the_list_is_1(capsys: pytest.CaptureFixture[str], ours: str) -> None:
    assert run("]E06291041500213", "--own", ours) == 1
    assert "STOP  The product 06291041500213 is not known here" in capsys.readouterr().out
    assert run("]E06291041500213") == 0
    assert "NOTE  The product 06291041500213 is not known here" in capsys.readouterr().out


def test_while_readings_have_several_products_none_is_known(capsys: pytest.CaptureFixture[str], ours: str) -> None:
    assert run("1234567890", "--own", ours, "--json") == 1
    made = json.loads(capsys.readouterr().out)
    assert made["product"] is None
    assert [one["ndc"] for one in made["readings"]] == ["1234-5678-90", "12345-678-90", "12345-6789-0"]


def test_an_ndc_and_a_plain_symbol(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("12345-678-90") == 0
    assert "NDC  12345-678-90  layout 5-3-2: labeler, product, package" in capsys.readouterr().out
    assert run("]Q1https://example.com/") == 0
    assert "CAUTION  QR Code without a GS1 key" in capsys.readouterr().out


def test_codes_of_one_item_and_a_link(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(GTIN, "17270630" + "10AB12") == 0
    assert "expires 30 Jun 2027" in capsys.readouterr().out
    assert run("https://id.gs1.org/01/00312345678906?17=270630&linkType=pip") == 0
    assert "GS1 Digital Link; not GS1's, and not used: linkType" in capsys.readouterr().out


def test_codes_out_of_standard_input(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO(f"{GTIN}10AB12\x1d17270630\r\n\r\n"))
    assert run("-", "--json") == 0
    made = json.loads(capsys.readouterr().out)
    assert made["answer"]["text"] == "(01)00312345678906 (10)AB12 (17)270630"
    assert made["parts"][0]["came"] == f"{GTIN}10AB12\x1d17270630"
    assert made["parts"][0]["shown"] == f"{GTIN}10AB12{{GS}}17270630"


def test_json(capsys: pytest.CaptureFixture[str], ours: str) -> None:
    assert run(f"]d2{GTIN}17270600", "--own", ours, "--json") == 0
    made = json.loads(capsys.readouterr().out)
    assert made["schema"] == "drawndose.scan/1"
    assert made["parts"][0]["symbology"] == "]d2"
    assert made["parts"][0]["kind"] == "GS1 element strings"
    assert made["answer"]["expiry"] == {"date": "2027-06-30", "text": "30 Jun 2027"}
    assert made["answer"]["elements"][1] == {
        "ai": "17",
        "name": "use by or expiry",
        "value": "270600",
        "says": "expires 30 Jun 2027 (day 00 means the last day of the month)",
    }
    assert made["product"] == {
        "gtin": "00312345678906",
        "presentation": "albuterol-0.5pct-bottle-20ml",
        "pack": "20 mL",
        "by": "R. Example, RRT",
        "when": "2026-11-25",
    }
    assert [one["rule"] for one in made["findings"]] == ["scan-without-lot-or-expiry"]


def test_the_year_moves_the_century(capsys: pytest.CaptureFixture[str]) -> None:
    run(f"{GTIN}17770101", "--json")
    assert json.loads(capsys.readouterr().out)["answer"]["expiry"]["date"] == "1977-01-01"
    run(f"{GTIN}17770101", "--year", "2040", "--json")
    assert json.loads(capsys.readouterr().out)["answer"]["expiry"]["date"] == "2077-01-01"


def test_the_clock_is_read_where_no_day_is_said(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["scan", f"{GTIN}17200101", "--zone", "UTC"]) == 1
    assert "It expired 1 Jan 2020; it is" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("words", "rule"),
    [
        (["ABC"], "it is no code that is known here"),
        ([GTIN, "--today", "soon"], "a day is year, month, day"),
        ([GTIN, "--year", "26"], "a year has four digits"),
        ([GTIN, "--year", "0026"], "a year has four digits"),
        ([GTIN, "--own", "/nowhere/ours.toml"], "No such file"),
        ([f"{GTIN}17261301"], "there is no such day"),
    ],
)
def test_faults_are_2(words: list[str], rule: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["scan", *words]) == 2
    assert rule in capsys.readouterr().err


def test_a_list_with_faults_is_2(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    place = tmp_path / "bad.toml"
    place.write_text(OURS.replace("00312345678906", "1"), encoding="utf-8")
    assert run(GTIN, "--own", str(place)) == 2
    assert "bad.toml.product[0].gtin" in capsys.readouterr().err
