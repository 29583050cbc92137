"""Nebulizers, breaths, gas and studies as data: what is packaged agrees with a second typing; what is wrong is named."""

from fractions import Fraction

import pytest

from drawndose import load
from drawndose.quantities import Refused
from drawndose.reference import DrivenBy, How, NebulizerKind, Span, completed, read_instruments
from drawndose.reference.aerosol import take_aerosol
from drawndose.reference.nebulizer import SPANS
from drawndose.reference.table import Table

BOOK = load()
KINDS = {one.id: one for one in BOOK.nebulizers}

# From and to, in mL, mL, mL/min, share, micrometres. Typed a second time from the project's notes on the sources.
TYPED = {
    "jet": ("0.8 2", "0.5 1", "0.2 0.65", "0.14 0.46", "1.9 5"),
    "breath-enhanced": ("0.8 2", "0.5 1", "0.2 0.65", "0.14 0.46", "1.9 5"),
    "breath-actuated": ("0.8 2", "0.5 1", "0.2 0.65", "0.14 0.46", "1.9 5"),
    "ultrasonic": ("0.3 1.2", "", "0.96 1.32", "0 0", "2.8 5"),
    "mesh": ("0.05 0.2", "", "0.2 0.6", "0 0", "3.47 6"),
    "large-volume": ("5 20", "", "377/600 554/600", "0 0.125", "1.8 2.2"),
}
OWN = """
[[nebulizer]]
id = "ours"
name = "our jet"
kind = "small-volume jet"
residual = { from = "1.02 mL", to = "1.21 mL", source = "common-practice", at = "-", how = "common practice" }
source = "common-practice"
at = "-"
how = "common practice"
"""


def ends(span: Span | None) -> list[Fraction]:
    return [] if span is None else [span.low, span.high]


def test_every_kind_is_there_once() -> None:
    assert [one.id for one in BOOK.nebulizers] == list(TYPED)
    assert {one.kind for one in BOOK.nebulizers} == set(NebulizerKind)


@pytest.mark.parametrize("ident", TYPED)
def test_the_ranges_agree_with_a_second_typing(ident: str) -> None:
    one = KINDS[ident]
    spans = (one.residual, one.tapped, one.output, one.evaporated, one.mmad_um)
    assert [ends(span) for span in spans] == [[Fraction(end) for end in text.split()] for text in TYPED[ident]]
    assert all(span.unit == SPANS[name] for name, span in one.spans().items())


def test_a_setting_passes_for_no_reading() -> None:
    for one in BOOK.nebulizers:
        for name, span in one.spans().items():
            if "is a setting" in span.origin.at and name != "residual":
                assert span.origin.how is How.COMPUTED, (one.id, name)
            if span.origin.source == "from-memory":
                assert span.origin.how is How.MEMORY


def test_an_order_can_mean_each_kind_and_no_word_means_two() -> None:
    words = [word for one in BOOK.nebulizers for word in one.named]
    assert len(words) == len(set(words))
    assert all(one.named for one in BOOK.nebulizers)


def test_breaths_cylinders_and_heliox_agree_with_a_second_typing() -> None:
    book = BOOK.aerosol
    adult, infant = book.patterns["adult"], book.patterns["test-infant"]
    assert [ends(one) for one in (adult.tidal, adult.rate, adult.duty)] == [
        [450, 500], [15, 20], [Fraction(35, 100), Fraction(1, 2)],
    ]  # fmt: skip
    assert [ends(one) for one in (infant.tidal, infant.rate, infant.duty)] == [[50, 50], [30, 30], [Fraction(1, 4)] * 2]
    assert {name: str(float(one.litres_per_psi)) for name, one in book.cylinders.items()} == {
        "D": "0.16", "E": "0.28", "M": "1.56", "G": "2.41", "H": "3.14",
    }  # fmt: skip
    assert {name: (float(one.helium), float(one.factor)) for name, one in book.heliox.items()} == {
        "80-20": (0.8, 1.8), "70-30": (0.7, 1.6), "60-40": (0.6, 1.4),
    }  # fmt: skip


def test_what_was_not_measured_is_the_kinds() -> None:
    (own,) = read_instruments(OWN, "ours.toml").nebulizers
    assert own.spans().keys() == {"residual"}
    whole = completed(own, BOOK.nebulizers)
    assert ends(whole.residual) == [Fraction(102, 100), Fraction(121, 100)]
    assert (whole.output, whole.id) == (KINDS["jet"].output, "ours")


def test_what_was_measured_on_heliox_is_not_completed_with_air() -> None:
    (own,) = read_instruments(OWN.replace("residual", 'driven_by = "heliox"\nresidual', 1), "ours.toml").nebulizers
    assert own.driven_by is DrivenBy.HELIOX
    assert completed(own, BOOK.nebulizers).output is None


@pytest.mark.parametrize(
    ("old", "new", "key", "rule"),
    [
        ("1.21 mL", "0.9 mL", "residual.to", "a range goes up"),
        ("1.21 mL", "1.21 mg", "residual.to", "a value in mL is wanted"),
        ("1.21 mL", "1.21", "residual.to", "a number needs a unit"),
        ("1.02 mL", "0 mL", "residual.from", "more than 0"),
        ('"1.02 mL"', "1", "residual.from", "a text is needed"),
        ("small-volume jet", "jet", "kind", "closed list"),
        ("small-volume jet", "mesh", "driven_by", ""),
        ('name = "our jet"', 'name = "our jet"\ndriven_by = "electricity"', "driven_by", "is not driven so"),
        ("residual", "evaporated", "evaporated.from", "a bare number is wanted"),
        ('residual = { from = "1.02 mL", to = "1.21 mL"', 'evaporated = { from = "20 %", to = "100 %"', "evaporated.to", "not everything"),
        ('residual = { from = "1.02 mL", to = "1.21 mL"', 'gsd = { from = "0.9", to = "2"', "gsd.from", "1 or more"),
        ('residual = { from = "1.02 mL", to = "1.21 mL"', 'residul = { from = "1", to = "2"', "residul", "not known here"),
        ('residual = { from = "1.02 mL", to = "1.21 mL"', 'residual = { from = "1.02 mL", til = "1.21 mL"', "residual.til", "not known here"),
        ('id = "ours"', 'id = "syringe-1"', "id", "an id stands once"),
    ],
)  # fmt: skip
def test_a_fault_of_a_departments_file_is_named(old: str, new: str, key: str, rule: str) -> None:
    if not rule:
        (made,) = read_instruments(OWN.replace(old, new), "ours.toml").nebulizers
        assert made.driven_by is DrivenBy.ELECTRICITY
        return
    assert old in OWN
    with pytest.raises(Refused) as refused:
        read_instruments(OWN.replace(old, new), "ours.toml")
    found = {
        fault.field.removeprefix("ours.").removeprefix("nebulizer[0]."): fault.rule for fault in refused.value.faults
    }
    assert key in found, found
    assert rule in found[key]


def test_no_gas_drives_what_runs_on_electricity() -> None:
    text = OWN.replace("small-volume jet", "mesh").replace('from = "1.02 mL", to = "1.21 mL"', 'from = "6 L/min"')
    with pytest.raises(Refused, match="no gas drives a mesh nebulizer"):
        read_instruments(text.replace("residual", "flow"), "ours.toml")


def aerosol_faults(values: dict[str, object]) -> dict[str, str]:
    faults: list = []
    whole = {name: value for name, value in ({"fed_share": FED} | values).items() if value is not None}
    take_aerosol(Table(whole, "aerosol", faults))
    return {fault.field: fault.rule for fault in faults}


TAIL = {"source": "common-practice", "at": "-", "how": "common practice"}
FED = {"from": "0.5", "to": "0.6", **TAIL}
PATTERN = {
    "id": "x", "name": "x", "who": "adult",
    "tidal": {"from": "500 mL", **TAIL}, "rate": {"from": "15", **TAIL}, "duty": {"from": "0.4", **TAIL},
}  # fmt: skip
STUDY = {"id": "x", "says": "x", "measure": "emitted", "setup": ["jet"], "value": "50 %", **TAIL}


def test_a_file_of_aerosol_without_a_fault() -> None:
    assert aerosol_faults({"pattern": [PATTERN], "study": [STUDY | {"from": "40 %", "to": "60 %"}]}) == {}


@pytest.mark.parametrize(
    ("values", "field", "rule"),
    [
        ({"fed_share": None}, "aerosol.fed_share", "a range is needed"),
        ({"pattern": [PATTERN, PATTERN]}, "aerosol.pattern", "an id stands once"),
        ({"pattern": [PATTERN | {"duty": {"from": "1", **TAIL}}]}, "aerosol.pattern[0].duty", "between 0 and 1"),
        ({"study": [STUDY | {"from": "55 %"}]}, "aerosol.study[0].value", "lies in its own range"),
        ({"cylinder": [{"id": "D", "holds": "0.16 L", **TAIL}]}, "aerosol.cylinder[0].holds", "a value in L/psi"),
    ],
)
def test_a_fault_of_the_file_of_aerosol_is_named(values: dict[str, object], field: str, rule: str) -> None:
    assert rule in aerosol_faults(values)[field]
