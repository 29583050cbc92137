"""A set-up out of boxes: what is read, what is refused with its field, what is only cautioned."""

from collections.abc import Iterable
from fractions import Fraction

import pytest

from drawndose.bench.findings import Level
from drawndose.quantities import Refused
from drawndose.reference import Nebulizer, read_instruments
from drawndose.reference.aerosol import Who
from drawndose.science.aerosol.bands import Band
from drawndose.science.aerosol.boxes import BOXES, read_band, read_boxes, read_setup
from drawndose.science.aerosol.cautions import cautions
from drawndose.science.aerosol.setup import Gas, Through

TAIL = 'source = "common-practice"\nat = "-"\nhow = "common practice"\n'
SPAN = 'source = "common-practice", at = "-", how = "common practice" }'


def own(figures: str, kind: str = "small-volume jet", driven: str = "") -> tuple[Nebulizer, ...]:
    drive = f'driven_by = "{driven}"\n' if driven else ""
    text = f'[[nebulizer]]\nid = "ours"\nname = "our jet"\nkind = "{kind}"\n{drive}{figures}{TAIL}'
    return read_instruments(text, "ours.toml").nebulizers


HELIOX_JET = own(
    "".join(
        f'{name} = {{ from = "{low}", to = "{high}", {SPAN}\n'
        for name, low, high in (
            ("residual", "1 mL", "1.2 mL"), ("output", "0.2 mL/min", "0.3 mL/min"), ("evaporated", "0.1", "0.2"),
            ("mmad_um", "2", "3"), ("gsd", "1.8", "2.2"), ("flow", "10 L/min", "18 L/min"),
        )
    ),
    driven="heliox",
)  # fmt: skip


def faults(words: Iterable[str], mine: tuple[Nebulizer, ...] = ()) -> dict[str, str]:
    with pytest.raises(Refused) as refused:
        read_setup(list(words), mine)
    found: dict[str, str] = {}
    for fault in refused.value.faults:
        found[fault.field] = f"{found.get(fault.field, '')} {fault.rule}"
    return found


def test_every_box_is_read() -> None:
    setup = read_setup([
        "jet", "fill=2 to 4 mL", "dose=2.5 mg", "osmolarity=300 mOsm/L", "flow=7 L/min", "gas=air", "breath=child", "who=adult",
        "tidal=0.4 L", "rate=14 to 16", "ratio=1:2", "wave=0 2 5 1", "through=mask", "dead=30 mL", "reservoir=yes", "tapped=yes",
        "stop=10", "residual=0.9 mL", "output=20 to 24 mL/h", "water=20 to 30 %", "size=3", "spread=1.9 to 2.1",
    ])  # fmt: skip
    assert {name for name in BOXES if name != "duty"} >= {"fill", "wave"}
    assert (setup.fill, setup.dead, setup.stop) == (Band(2.0, 4.0), Band.at(30.0), 10.0)
    assert (setup.gas, setup.flow, setup.through) == (Gas.AIR, Band.at(7.0), Through.MASK)
    assert (setup.breath.who, setup.breath.name, setup.breath.heights) == (Who.ADULT, "as typed", (0.0, 2.0, 5.0, 1.0))
    assert (setup.breath.tidal, setup.breath.rate) == (Band.at(400.0), Band(14.0, 16.0))
    assert setup.breath.duty.low == pytest.approx(1 / 3)
    assert (setup.reservoir, setup.tapped) == (True, True)
    assert setup.band("residual") == Band.at(0.9)
    assert setup.band("output") == Band(20 / 60, 0.4)
    assert setup.band("evaporated") == Band(0.2, 0.3)
    assert setup.dose is not None
    assert (setup.dose.value, setup.osmolarity) == (Fraction(5, 2), Band.at(300.0))


def test_what_is_left_out_is_the_kinds_and_the_adults() -> None:
    setup = read_setup(["jet", "fill=3 mL"])
    assert (setup.flow, setup.gas, setup.breath.who) == (Band(6.0, 8.0), Gas.OXYGEN, Who.ADULT)
    assert (setup.breath.heights, read_setup(["jet", "fill=3 mL", "wave=square"]).breath.heights) == ((), (1.0,))
    assert read_setup(["jet", "fill=3 mL", "wave=sine"]).breath.heights == ()
    mesh = read_setup(["mesh", "fill=3 mL"])
    assert (mesh.flow, mesh.gas) == (None, Gas.NONE)
    assert read_setup(["jet", "fill=3 mL", "tapped=yes"]).band("residual") == Band(0.5, 1.0)
    assert read_setup(["jet", "fill=3 mL", "stop=90 s"]).stop == 1.5
    assert read_setup(["jet", "fill=3 mL", "duty=35 %"]).breath.duty == Band.at(0.35)


@pytest.mark.parametrize(
    ("words", "field", "rule"),
    [
        ([], "nebulizer", "no nebulizer has this id"),
        (["spoon", "fill=3 mL"], "nebulizer", "no nebulizer has this id"),
        (["jet"], "fill", "what is in the cup is needed"),
        (["jet", "3 mL"], "3 mL", "NAME=TEXT"),
        (["jet", "fil=3 mL"], "fil", "NAME=TEXT"),
        (["jet", "fill=3 mL", "fill=4 mL"], "fill", "it stands twice"),
        (["jet", "fill=3 to 2 mL"], "fill", "a range goes up"),
        (["jet", "fill=3 mL to 2 mL"], "fill", "a range goes up"),
        (["jet", "fill=3 mg"], "fill", "a value in mL is wanted"),
        (["jet", "fill=3"], "fill", "needs a unit"),
        (["jet", "fill=0.01 mL"], "fill", "lies outside the range"),
        (["jet", "fill=0.5 mL"], "fill", "nothing comes out"),
        (["jet", "fill=2000 mL"], "fill", "the fill lies outside the range"),
        (["jet", "fill=3 mL", "flow=0 L/min"], "flow", "more than 0"),
        (["jet", "fill=3 mL", "flow=80 L/min"], "flow", "the flow of gas lies outside the range"),
        (["jet", "fill=3 mL", "flow=8 mL"], "flow", "a value in L/min is wanted"),
        (["mesh", "fill=3 mL", "flow=8 L/min"], "flow", "no gas drives a mesh nebulizer"),
        (["mesh", "fill=3 mL", "gas=air"], "flow", "no gas drives a mesh nebulizer"),
        (["jet", "fill=3 mL", "gas=heliox 80-20"], "gas", "measured with oxygen or air say nothing of heliox"),
        (["jet", "fill=3 mL", "gas=heliox 90-10"], "gas", "no gas of this name"),
        (["jet", "fill=3 mL", "gas=steam"], "gas", "no gas of this name"),
        (["jet", "fill=3 mL", "breath=athlete"], "breath", "no pattern has this id"),
        (["jet", "fill=3 mL", "who=horse"], "who", "closed list"),
        (["jet", "fill=3 mL", "through=tent"], "through", "closed list"),
        (["jet", "fill=3 mL", "tidal=1 mL"], "tidal", "the volume of a breath lies outside the range"),
        (["jet", "fill=3 mL", "ratio=2"], "ratio", "two numbers of more than 0"),
        (["jet", "fill=3 mL", "ratio=0:2"], "ratio", "two numbers of more than 0"),
        (["jet", "fill=3 mL", "ratio=1:2", "duty=0.4"], "ratio", "not both"),
        (["jet", "fill=3 mL", "duty=1"], "duty", "lies outside the range"),
        (["jet", "fill=3 mL", "duty=3 mL"], "duty", "a number or a percent is wanted"),
        (["jet", "fill=3 mL", "wave=0 0 0"], "wave", "not all 0"),
        (["jet", "fill=3 mL", "wave=3"], "wave", "two heights and more"),
        (["jet", "fill=3 mL", "wave=up down"], "wave", "a number is digits"),
        (["jet", "fill=3 mL", "reservoir=perhaps"], "reservoir", "yes or no"),
        (["breath-enhanced", "fill=3 mL", "reservoir=yes"], "reservoir", "is not known"),
        (["mesh", "fill=3 mL", "tapped=yes"], "tapped", "what tapping does"),
        (["jet", "fill=3 mL", "stop=0.1"], "stop", "lies outside the range"),
        (["jet", "fill=3 mL", "stop=soon"], "stop", "a number and then a unit"),
        (["jet", "fill=3 mL", "dose=2.5 mL"], "dose", "is an amount"),
        (["jet", "fill=3 mL", "dose=2.5 mg/mL"], "dose", "is an amount"),
        (["jet", "fill=3 mL", "dose=much"], "dose", "a number and then a unit"),
        (["jet", "fill=3 mL", "osmolarity=90000 mOsm/L"], "osmolarity", "lies outside the range"),
        (["jet", "fill=3 mL", "size=90"], "mmad_um", "mass median aerodynamic diameter lies outside"),
        (["jet", "fill=3 mL", "water=100 %"], "evaporated", "share that is only water lies outside"),
        (["jet", f"fill=3 mL{' ' * 50}{'x' * 90}"], "fill", "at most 100 characters"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_with_its_field(words: list[str], field: str, rule: str) -> None:
    found = faults(words)
    assert field in found, found
    assert rule in found[field]


def test_every_fault_of_the_boxes_is_told_at_once() -> None:
    found = faults(["spoon", "fill=x", "flow=0 L/min", "who=horse", "reservoir=perhaps", "gas=steam"])
    assert found.keys() == {"nebulizer", "fill", "flow", "who", "reservoir", "gas"}


def test_a_box_that_is_not_known_is_refused() -> None:
    with pytest.raises(Refused, match="a box is known by its name"):
        read_boxes("jet", {"fill": "3 mL", "filling": "3 mL"})


def test_heliox_wants_figures_that_were_measured_with_it() -> None:
    setup = read_setup(["ours", "fill=3 mL", "gas=heliox 80/20", "flow=10 L/min"], HELIOX_JET)
    assert setup.flow == Band.at(18.0)
    assert any(one.rule == "aerosol-heliox" for one in cautions(setup))
    assert "which mixture drives it" in faults(["ours", "fill=3 mL"], HELIOX_JET)["gas"]
    assert "say nothing of oxygen" in faults(["ours", "fill=3 mL", "gas=oxygen"], HELIOX_JET)["gas"]
    missing = faults(["ours", "fill=3 mL", "gas=heliox 80-20"], own("", driven="heliox"))
    assert missing.keys() == {"residual", "output", "evaporated", "mmad_um", "gsd", "flow"}
    assert "driven by a flow of gas" in missing["flow"]
    too_much = faults(["ours", "fill=3 mL", "gas=heliox 80-20", "flow=31 L/min"], HELIOX_JET)
    assert "reading of the flowmeter" in too_much["read_L_min"]


def test_an_own_nebulizer_stands_before_its_kind() -> None:
    mine = own(f'residual = {{ from = "1.1 mL", to = "1.2 mL", {SPAN}\n')
    setup = read_setup(["ours", "fill=3 mL"], mine)
    assert (setup.band("residual"), setup.band("output")) == (Band(1.1, 1.2), Band(0.2, 0.65))


def levels(*words: str) -> dict[str, Level]:
    found = cautions(read_setup(list(words)))
    assert all(one.says and one.do and one.origin.source for one in found)
    assert all(len(f"{one.says} {one.do}".split()) <= 40 for one in found)
    assert [one.level for one in found] == sorted(
        (one.level for one in found), key=lambda one: one is not Level.CAUTION
    )
    return {one.rule.removeprefix("aerosol-"): one.level for one in found}


@pytest.mark.parametrize(
    ("words", "wanted"),
    [
        (["jet", "fill=2.5 mL", "gas=air"], {"low-fill"}),
        (["jet", "fill=2 mL", "gas=air"], {"low-fill", "fill-may-stay"}),
        (["jet", "fill=3 mL"], {"driven-by-oxygen"}),
        (["jet", "fill=3 mL", "gas=compressor"], {"compressor"}),
        (["jet", "fill=3 mL", "gas=air", "flow=4 L/min"], {"flow"}),
        (["jet", "fill=3 mL", "gas=air", "flow=12 L/min"], {"flow"}),
        (["jet", "fill=3 mL", "gas=air", "flow=5 to 7 L/min"], set()),
        (["mesh", "fill=3 mL"], set()),
        (["mesh", "fill=3 mL", "residual=1 mL"], {"other-kind-residual"}),
        (["jet", "fill=3 mL", "gas=air", "residual=0.1 mL"], {"other-kind-residual"}),
        (["jet", "fill=3 mL", "gas=air", "output=20 mL/min"], {"other-kind-output"}),
        (["jet", "fill=3 mL", "gas=air", "water=60 %"], {"other-kind-evaporated"}),
        (["mesh", "fill=3 mL", "size=1"], {"other-kind-mmad_um"}),
        (["jet", "fill=3 mL", "gas=air", "tapped=yes"], set()),
        (["large-volume", "fill=15 mL", "gas=air"], {"low-fill", "fill-may-stay"}),
        (["jet", "fill=3 mL", "breath=child"], set()),
    ],
)  # fmt: skip
def test_what_is_unwise_is_cautioned_and_nothing_else(words: list[str], wanted: set[str]) -> None:
    assert {rule for rule, level in levels(*words).items() if level is Level.CAUTION} == wanted


def test_notes_say_where_a_figure_is_only_the_most() -> None:
    notes = {
        rule
        for rule, level in levels("jet", "fill=3 mL", "breath=infant", "through=mask").items()
        if level is Level.NOTE
    }
    assert notes == {"most", "infants", "sputter"}
    assert levels("mesh", "fill=3 mL", "breath=neonate").keys() == {"most"}
    assert "first-hour" in levels("large-volume", "fill=200 mL")


def test_why_no_regions_are_told() -> None:
    assert read_setup(["jet", "fill=3 mL"]).no_regions == ""
    assert (
        read_setup(["jet", "fill=3 mL", "breath=infant"]).no_regions
        == "no model for where droplets settle in an infant is used here"
    )
    assert "in a child" in read_setup(["jet", "fill=3 mL", "breath=child"]).no_regions
    assert "a breath of 300 to 3000 mL, and it is 200 mL" in read_setup(["jet", "fill=3 mL", "tidal=200 mL"]).no_regions
    fast = read_setup(["jet", "fill=3 mL", "tidal=3000 mL", "rate=60", "duty=0.3"])
    assert "a flow of the breath of 100 to 1500 mL/s" in fast.no_regions


@pytest.mark.parametrize(
    ("text", "unit", "wanted"),
    [
        ("3 mL", "mL", Band.at(3.0)),
        ("2 to 3 mL", "mL", Band(2.0, 3.0)),
        ("2 mL to 0.003 L", "mL", Band(2.0, 3.0)),
        ("0.3", "", Band.at(0.3)),
        ("20 to 30 %", "", Band(0.2, 0.3)),
        ("1,000 to 2,000 psi", "psi", Band(1000.0, 2000.0)),
    ],
)
def test_a_range_is_read_as_it_is_typed(text: str, unit: str, wanted: Band) -> None:
    assert read_band(text, unit, "x") == wanted
