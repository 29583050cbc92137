"""`drawndose aerosol`: ranges in lines and as data, two set-ups side by side, pictures in a folder, faults by name."""

import json
import re
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from drawndose.cli import main
from drawndose.cli.aerosol import WHAT

JET = ["aerosol", "run", "jet", "fill=3 mL", "dose=2.5 mg", "gas=air"]


def out_of(words: list[str], capsys: pytest.CaptureFixture[str], status: int = 0) -> str:
    assert main(words) == status
    return capsys.readouterr().out


def err_of(words: list[str], capsys: pytest.CaptureFixture[str]) -> str:
    assert main(words) == 2
    return capsys.readouterr().err


def test_a_run_is_told_as_ranges(capsys: pytest.CaptureFixture[str]) -> None:
    out = out_of(JET, capsys)
    assert re.search(r"time +1 to 9 min to the first sputter", out)
    assert re.search(r"comes out +25 to 64 % \(0\.6 to 1\.6 mg\)", out)
    assert re.search(r"left in the cup +36 to 75 % \(0\.9 to 1\.9 mg\) in 0\.8 to 2 mL", out)
    assert "An estimate, not a measurement." in out
    assert "Limit: healthy adults" in out
    assert "the time owes its spread to: the output" in out
    assert "NOTE  Once it sputtered" in out


def test_two_set_ups_stand_side_by_side(capsys: pytest.CaptureFixture[str]) -> None:
    out = out_of([*JET, "versus", "mesh", "fill=3 mL"], capsys)
    head = out.splitlines()[0]
    assert re.search(r"jet, 3 mL, 6 to 8 L/min of air.* {2}mesh, 3 mL, adult", head)
    row = next(line for line in out.splitlines() if line.startswith("comes out"))
    assert re.split(r"\s{2,}", row) == ["comes out", "25 to 64 % (0.6 to 1.6 mg)", "93 to 99 %"]


def test_a_caution_gives_status_1(capsys: pytest.CaptureFixture[str]) -> None:
    out = out_of(["aerosol", "run", "jet", "fill=2 mL"], capsys, status=1)
    assert "CAUTION  The fill is 2 mL; a small-volume jet nebulizer works from 3 to 4 mL." in out


def test_the_data_say_the_same_and_hold_the_pictures(capsys: pytest.CaptureFixture[str]) -> None:
    found = json.loads(out_of([*JET, "--seed", "5", "--json"], capsys))
    (one,) = found["outcomes"]
    assert (found["schema"], one["seed"], one["trials"]) == ("drawndose.aerosol/1", 5, 100_000)
    bands = one["bands"]
    parts = ("kept", "lost", "throat", "airways", "alveoli", "exhaled")
    assert sum(bands[name]["mean"] for name in parts) == pytest.approx(1.0, abs=1e-9)
    assert one["inputs"]["residual"] == [0.8, 2.0]
    assert {picture["kind"] for picture in found["pictures"]} == {
        "mass balance", "concentration over time", "regions", "what matters most",
    }  # fmt: skip
    for picture in found["pictures"]:
        ET.fromstring(picture["svg"])
    both = json.loads(out_of([*JET, "versus", "mesh", "fill=3 mL", "--json"], capsys))
    assert both["pictures"][-1]["kind"] == "side by side"


def test_pictures_are_written_into_a_folder(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = tmp_path / "new"
    out_of([*JET, "versus", "mesh", "fill=3 mL", "--pictures", str(folder), "--light", "night"], capsys)
    names = sorted(path.name for path in folder.iterdir())
    assert "aerosol-1-balance.svg" in names
    assert "aerosol-2-course.svg" in names
    assert "aerosol-beside.svg" in names
    assert "<title>" in (folder / "aerosol-beside.svg").read_text(encoding="utf-8")
    (tmp_path / "file").write_text("x")
    assert "pictures: " in err_of([*JET, "--pictures", str(tmp_path / "file")], capsys)


def test_fills_tell_why_three_and_not_two(capsys: pytest.CaptureFixture[str]) -> None:
    out = out_of(["aerosol", "fills", "jet", "fill=3 mL"], capsys)
    assert re.search(r"3 mL +25 to 64 % +1 to 9 min +13 to 28 % of the charge more", out)
    assert "tapping" in out
    assert "Once it sputtered no more drug was delivered" in out
    assert "tapping" not in out_of(["aerosol", "fills", "mesh", "fill=3 mL"], capsys)
    found = json.loads(out_of(["aerosol", "fills", "jet", "fill=3 mL", "--json"], capsys))
    assert [len(group["ways"]) for group in found["groups"]] == [4, 2, 3]
    assert found["groups"][0]["ways"][0]["more"] is None


def test_kinds_stand_with_their_sources(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = out_of(["aerosol", "kinds"], capsys)
    assert re.search(r"residual +0\.8 to 2 mL +Review of pulmonary drug delivery", out)
    assert re.search(r"gsd +1\.8 to 2\.6 +memory; not confirmed", out)
    own = tmp_path / "ours.toml"
    own.write_text(
        '[[nebulizer]]\nid = "ours"\nname = "our jet"\nkind = "small-volume jet"\nsource = "common-practice"\nat = "-"\n'
        'how = "common practice"\nresidual = { from = "1 mL", source = "common-practice", at = "-", how = "common practice" }\n'
    )
    assert "ours: our jet" in out_of(["aerosol", "kinds", "--own", str(own)], capsys)
    assert "in 1 mL" in out_of(["aerosol", "run", "ours", "fill=3 mL", "gas=air", "--own", str(own)], capsys)
    found = json.loads(out_of(["aerosol", "kinds", "--json"], capsys))
    assert found["nebulizers"][0]["figures"]["residual"]["how"] == "read"


def test_weighings_give_a_table_for_a_file_of_ones_own(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    words = ["aerosol", "weigh", "kind=jet", *(f"20.00:23.00:{after}:5.5" for after in ("21.10", "21.06", "21.12"))]
    out = out_of([*words, "--id", "our-jet", "--source", "common-practice"], capsys)
    assert "The ranges are for the next run, with 95 %, by 3 runs." in out
    own = tmp_path / "ours.toml"
    own.write_text(out[out.index("[[nebulizer]]") :], encoding="utf-8")
    assert "our-jet, 3 mL" in out_of(["aerosol", "run", "our-jet", "fill=3 mL", "gas=air", "--own", str(own)], capsys)
    found = json.loads(out_of([*words, "--json"], capsys))
    assert (found["runs"], found["water_measured"]) == (3, False)
    assert found["emitted"][1] < found["emitted_by_weight"][1]


def test_where_droplets_settle(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = out_of(["aerosol", "settle", "size=3", "--pictures", str(tmp_path)], capsys)
    assert re.search(r"deep lung +15 to 50 % +5 to 10 %", out)
    assert "not for a mouthpiece" in out
    assert [path.name for path in tmp_path.iterdir()] == ["aerosol-settle.svg"]
    found = json.loads(out_of(["aerosol", "settle", "size=3", "spread=2", "by=nose", "--json"], capsys))
    assert (found["schema"], found["rows"][3]["fit"]) == ("drawndose.aerosol-settled/1", None)


def test_hours_with_their_times(capsys: pytest.CaptureFixture[str]) -> None:
    words = ["aerosol", "hours", "rate=10 mg/h", "output=30 mL/h", "hours=8 h", "stock=5 mg/mL", "dead=10 mL"]
    out = out_of([*words, "left=130 mL", "early=15 min", "--begins", "2026-11-25 08:00", "--zone", "UTC"], capsys)
    assert re.search(r"in all +250 mL", out)
    assert re.search(r"fill anew at +25 Nov 2026 11:45", out)
    assert "4 to 6 % of it reached the lung" in out
    assert "CAUTION" in out_of([*words, "true_output=40 to 50 mL/h"], capsys, status=1)
    assert "fill anew" not in out_of(words, capsys)


def test_pump_and_gas(capsys: pytest.CaptureFixture[str]) -> None:
    out = out_of(["aerosol", "pump", "fed=1 mg/mL", "feed=10 mL/h", "cup=2 mL", "water=30 %"], capsys, status=1)
    assert re.search(r"cup comes to +1\.4 mg/mL", out)
    out = out_of(["aerosol", "gas", "cylinder=E", "pressure=2,000 psi", "flow=8 L/min"], capsys)
    assert re.search(r"lasts +63 min", out)
    found = json.loads(out_of(["aerosol", "gas", "air=8 L/min", "oxygen=2 L/min", "--json"], capsys))
    assert (found["schema"], found["rows"][0]["name"]) == ("drawndose.aerosol-gas/1", "oxygen in the mixture")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["run"], ["nebulizer: no nebulizer has this id"]),
        (["run", "jet", "fill=0.5 mL"], ["fill: the fill is no more than what stays in the cup"]),
        (["run", "jet", "fill=3 mg", "flow=0 L/min"], ["fill: a value in mL", "flow: a flow of more than 0"]),
        (["run", "jet", "fill=3 mL", "gas=heliox 80-20"], ["gas: figures that were measured with oxygen or air"]),
        (["run", "jet", "fill=3 mg", "versus", "mesh", "flow=8 L/min"], ["fill: a value in mL", "fill: what is in the cup is needed"]),
        (["run", "jet", "versus", "jet", "versus", "jet"], ["set-up: two set-ups are set beside"]),
        (["fills", "jet", "fill=3 mL", "versus", "jet", "fill=4 mL"], ["set-up: one set-up is changed"]),
        (["run", "jet", "fill=3 mL", "--seed", "x"], ["seed: a seed is a whole number"]),
        (["hours", "rate"], ["rate: NAME=TEXT is wanted"]),
        (["hours", "rate=1 mg/h", "rate=2 mg/h"], ["rate: NAME=TEXT is wanted, each name once"]),
        (["weigh", "20:23:21"], ["run 1: a run is dry"]),
        (["run", "jet", "fill=3 mL", "--own", "nowhere.toml"], ["own: "]),
    ],
)  # fmt: skip
def test_every_fault_is_named(words: list[str], said: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    err = err_of(["aerosol", *words], capsys)
    assert all(one in err for one in said), err


def test_help_shows_every_use(capsys: pytest.CaptureFixture[str]) -> None:
    out = out_of(["aerosol", "--help"], capsys)
    assert all(f"drawndose aerosol {what}" in out for what in WHAT)


def test_a_plan_tells_what_its_fill_will_do(capsys: pytest.CaptureFixture[str]) -> None:
    order = [
        "plan",
        "albuterol 2.5 mg by jet nebulizer, made up to 2 mL",
        "--have",
        "albuterol-0.5pct-bottle-20ml",
        "--cup",
        "cup-6",
    ]
    plain = out_of(order, capsys)
    out = out_of([*order, "--aerosol"], capsys)
    assert "in the nebulizer" not in plain
    assert out.startswith(plain)
    assert "The fill of 2 mL runs 0 to 5 min" in out
    assert "CAUTION  The fill is 2 mL; a small-volume jet nebulizer works from 3 to 4 mL." in out
    data, more = (json.loads(out_of([*order, *words, "--json"], capsys)) for words in ([], ["--aerosol"]))
    assert more.pop("aerosol")[0].startswith("The fill of 2 mL")
    assert more == data
    stopped = out_of(["plan", "pentamidine 300 mg by nebulizer once", "--cup", "cup-6", "--aerosol"], capsys, status=1)
    assert "in the nebulizer" not in stopped
