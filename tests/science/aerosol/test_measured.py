"""A department's own nebulizer by weight: the sum, its uncertainty, the water taken out, and what no weighing can be."""

from math import sqrt

import pytest

from drawndose.quantities import Refused
from drawndose.reference import load, read_instruments
from drawndose.science.aerosol.bands import Band
from drawndose.science.aerosol.cup import emitted_share
from drawndose.science.aerosol.measured import Measured, Run, as_toml, measure
from drawndose.science.aerosol.vapour import share_from_ratio
from drawndose.science.aerosol.weigh_boxes import read_weighings
from drawndose.science.ranges import OutOfRange

WATER = Band(0.14, 0.46)
FIVE = [
    Run(dry_g=20.00, filled_g=23.00, after_g=after, minutes=minutes)
    for after, minutes in ((21.10, 5.5), (21.02, 5.9), (21.15, 5.2), (21.07, 5.6), (21.11, 5.6))
]


def test_one_run_is_as_sure_as_balance_and_clock() -> None:
    found = measure(FIVE[:1], WATER, step_g=0.01, judged_min=0.25)
    assert (found.fill.mean, found.residual.mean) == (pytest.approx(3.0), pytest.approx(1.1))
    # Two readings of a step of 0.01 g: u = 0.01 / sqrt(12) each; the sum of the limits is 0.01 g.
    assert found.residual.band.high - 1.1 == pytest.approx(min(1.96 * 0.01 / sqrt(6), 0.01), rel=1e-3)
    assert found.output.mean == pytest.approx(1.9 / 5.5)
    assert found.output.band.high - found.output.mean == pytest.approx(
        1.9 / 5.5 * 0.25 / 5.5 + 0.01 / 5.5,
        rel=0.01,  # the sum of the limits, which is less than k u
    )
    assert any("says nothing of how far runs differ" in line for line in found.says)


def test_of_several_runs_the_range_is_that_of_the_next() -> None:
    found = measure(FIVE, WATER)
    left = [one.after_g - 20.0 for one in FIVE]
    mean = sum(left) / 5
    scatter = sqrt(sum((one - mean) ** 2 for one in left) / 4)
    assert found.residual.mean == pytest.approx(mean)
    assert found.residual.band.high - mean == pytest.approx(2.776 * scatter * sqrt(1.2), rel=1e-3)
    assert any("5 runs" in line for line in found.says)
    alike = measure([FIVE[0], FIVE[0]], WATER)
    assert alike.residual.band == measure(FIVE[:1], WATER).residual.band  # never narrower than the readings allow
    wild = measure([FIVE[0], Run(dry_g=20.0, filled_g=23.0, after_g=20.05, minutes=9.0)], WATER)
    assert wild.residual.band.low == 0.001


def test_the_water_is_taken_out_of_what_the_balance_tells() -> None:
    found = measure(FIVE, WATER)
    assert not found.water_measured
    assert found.droplets_mL.high == pytest.approx((found.fill.mean - found.residual.mean) * 0.86)
    assert found.emitted.high < found.emitted_by_weight.high
    corners = [
        float(emitted_share(3.0, left, e))
        for left in (found.residual.band.low, found.residual.band.high)
        for e in (0.14, 0.46)
    ]
    assert (found.emitted.low, found.emitted.high) == (pytest.approx(min(corners)), pytest.approx(max(corners)))
    rows = dict(found.rows)
    assert (rows["runs"], rows["of it only water"]) == ("5", "14 to 46 %, the range of its kind")
    assert all(rows[name] in " ".join(found.says) for name in ("left as droplets", "the balance alone would say"))
    assert "the range of its kind, not measured" in found.says[1]


def test_a_measured_concentration_stands_before_the_range_of_the_kind() -> None:
    run = Run(dry_g=20.0, filled_g=23.0, after_g=21.0, minutes=5.5, start=282.0, end=380.0)
    found = measure([run, FIVE[0]], WATER)
    wanted = float(share_from_ratio(282.0, 380.0, 3.0))
    assert (found.water_measured, found.evaporated.low) == (True, pytest.approx(wanted))
    assert "measured" in found.says[1]
    assert 'evaporated = { from = "0.271", to = "0.271"' in as_toml(found, "x", "small-volume jet", "s", "-")


def test_the_table_that_is_written_is_read_back() -> None:
    found = measure(FIVE, WATER)
    source = '[[source]]\nid = "ours-2026"\ntitle = "Sheets"\nkind = "practice"\nread = 2026-11-25\ncopy = false\n'
    text = as_toml(found, 'our "jet"', "small-volume jet", "ours-2026", "sheet 9")
    (made,) = read_instruments(f"{source}\n{text}\n", "ours.toml").nebulizers
    assert made.id == 'our "jet"'
    assert made.residual is not None
    assert float(made.residual.low) == pytest.approx(found.residual.band.low, rel=0.01)
    assert made.output is not None
    assert float(made.output.high) == pytest.approx(found.output.band.high, rel=0.01)


@pytest.mark.parametrize(
    ("run", "rule"),
    [
        (Run(dry_g=20.0, filled_g=23.0, after_g=19.0, minutes=5.0), "it weighs least dry"),
        (Run(dry_g=20.0, filled_g=23.0, after_g=23.5, minutes=5.0), "it weighs least dry"),
        (Run(dry_g=20.0, filled_g=23.0, after_g=23.0, minutes=5.0), "nothing comes out"),
        (Run(dry_g=0.02, filled_g=23.0, after_g=21.0, minutes=5.0), "the dry weight lies outside the range"),
        (Run(dry_g=20.0, filled_g=23.0, after_g=21.0, minutes=0.0), "the time of the run lies outside the range"),
        (Run(dry_g=20.0, filled_g=23.0, after_g=21.0, minutes=5.0, start=282.0), "at the start and at the end"),
        (Run(dry_g=20.0, filled_g=23.0, after_g=21.0, minutes=5.0, start=282.0, end=200.0), "does not become thinner"),
    ],
)
def test_what_no_run_can_be_is_refused(run: Run, rule: str) -> None:
    with pytest.raises(Refused, match=rule):
        measure([FIVE[0], run], WATER)


def test_no_run_and_settings_outside_are_refused() -> None:
    with pytest.raises(Refused, match="no run was weighed"):
        measure([], WATER)
    with pytest.raises(OutOfRange):
        measure(FIVE, WATER, density_g_mL=13.6)


def test_weighings_are_read_with_their_boxes() -> None:
    boxes = {"kind": "jet", "step": "10 mg", "density": "1.005", "judged": "30 s", "water": "20 to 40 %"}
    kind, found = read_weighings(["20.00:23.00:21.10:5.5", "20.00:23.01:21.02:5.9:282:380"], boxes)
    assert (kind.id, found.residual.runs, found.water_measured) == ("jet", 2, True)
    default = read_weighings(["20.00:23.00:21.10:5.5"], {})[1]
    assert default.evaporated == WATER
    assert read_weighings(["20.00:23.00:21.10:5.5"], {"water": "30 %"})[1].evaporated == Band.at(0.3)


@pytest.mark.parametrize(
    ("words", "boxes", "said"),
    [
        (["20:23:21"], {}, ["run 1: a run is dry"]),
        (["20:x:21:5", "a:b:c:d"], {}, ["run 1, filled_g", "run 2, dry_g", "run 2, minutes"]),
        ([], {"kind": "spoon", "step": "1 mL", "density": "heavy"}, ["nebulizer: ", "step: a value in g", "density: "]),
        ([], {}, ["runs: no run was weighed"]),
        ([], {"colour": "red"}, ["colour: a box is known"]),
        ([], {"water": "40 to 20 %"}, ["water: a range goes up"]),
    ],
)
def test_every_fault_of_the_weighings_is_named(words: list[str], boxes: dict[str, str], said: list[str]) -> None:
    with pytest.raises(Refused) as refused:
        read_weighings(words, boxes)
    assert all(any(one in str(fault) for fault in refused.value.faults) for one in said), refused.value.faults


def test_without_any_range_of_water_it_must_be_told() -> None:
    heliox = read_instruments(
        '[[nebulizer]]\nid = "ours"\nname = "x"\nkind = "small-volume jet"\ndriven_by = "heliox"\n'
        'source = "common-practice"\nat = "-"\nhow = "common practice"\n',
        "ours.toml",
    ).nebulizers
    with pytest.raises(Refused, match="only water is not known"):
        read_weighings(["20.00:23.00:21.10:5.5"], {"kind": "ours"}, heliox)


def test_what_was_measured_narrows_the_answer() -> None:
    found: Measured = measure(FIVE, WATER)
    kind = next(one for one in load().nebulizers if one.id == "jet")
    assert kind.residual is not None
    assert found.residual.band.high - found.residual.band.low < float(kind.residual.high - kind.residual.low)
