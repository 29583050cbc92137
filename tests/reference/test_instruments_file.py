"""A file of instruments: every table's faults come together, and what is read is what was written."""

import re
from fractions import Fraction

import pytest

from drawndose import load
from drawndose.quantities import Refused
from drawndose.reference import Instruments, Kind, NeedleKind, read_instruments, scales_of

TAIL = 'source = "common-practice"\nat = "-"\nhow = "common practice"\n'
TABLES = {
    "dropper": 'capacity = "0.5 mL"\nmarks = ["0.25 mL", "0.5 mL"]\ntolerance = "calibrated-dropper"\n',
    "syringe": 'capacity = "3 mL"\nstep = "0.1 mL"\nnumbered = "0.5 mL"\ntips = ["luer"]\ntolerance = "syringe-under-5-ml"\n',
    "cylinder": 'capacity = "25 mL"\nstep = "0.5 mL"\nnumbered = "5 mL"\ntolerance = "cylinder-25-ml"\n',
    "cup": 'holds = "6 mL"\nneeds = "3 mL"\n',
    "needle": 'gauge = 21\nlength_mm = "38"\nkeeps = "0.05 mL"\n',
    "unit_dose": 'nominal = "3 mL"\nexcess = "0.2 mL"\nstays = "0.1 mL"\n',
    "balance": 'readability = "0.1 mg"\n',
    "nebulizer": 'kind = "mesh"\n',
}
NAMELESS = {
    "tolerance": 'id = "own"\nbelow_half_of_capacity = "1 %"\nbelow_half_of_volume = "1 %"\nfrom_half_of_volume = "3 %"\n',
    "bore": 'gauge = 24\ninner_mm = "0.311"\n',
    "excess": 'labelled = "3 mL"\nmobile = "0.2 mL"\nviscous = "0.3 mL"\n',
}
CALIBRATED = (
    "[[syringe]]\n"
    + 'id = "own"\nname = "own"\n'
    + TABLES["syringe"]
    + TAIL
    + '[syringe.calibration]\non = 2026-11-20\nby = "lab"\n'
    + '[[syringe.calibration.point]]\nset = "1 mL"\ndelivered = "0.99 mL"\nuncertainty = "0.01 mL"\n'
    + '[[syringe.calibration.point]]\nset = "3 mL"\ndelivered = "3.01 mL"\nuncertainty = "0.02 mL"\n'
)


def record(table: str, old: str = "", new: str = "", more: str = "") -> str:
    """One good record of a table, with one text replaced."""
    text = f'id = "own"\nname = "own"\n{TABLES[table]}' if table in TABLES else NAMELESS[table]
    assert old in text
    return f"[[{table}]]\n{text.replace(old, new) if old else text}{more}{TAIL}"


def faults(text: str) -> dict[str, str]:
    with pytest.raises(Refused) as refused:
        read_instruments(text, "own.toml")
    return {fault.field: fault.rule for fault in refused.value.faults}


@pytest.mark.parametrize("table", [*TABLES, *NAMELESS])
def test_a_good_record_of_each_table_is_read(table: str) -> None:
    made = read_instruments(record(table), "own.toml")
    several = [
        *made.measures,
        *made.cups,
        *made.needles,
        *made.unit_doses,
        *made.balances,
        *made.tolerances,
        *made.nebulizers,
    ]
    assert len(several) + len(made.bores) + len(made.excess) == 1


@pytest.mark.parametrize(
    ("table", "old", "new", "key", "rule"),
    [
        ("dropper", '["0.25 mL", "0.5 mL"]', "[]", "marks", "at least one mark"),
        ("dropper", '"0.5 mL"]', '"0.25 mL"]', "marks", "each mark stands once"),
        ("dropper", '"0.5 mL"]', '"0.6 mL"]', "marks", "none above the capacity"),
        ("dropper", '"0.25 mL"', '"0 mL"', "marks[0].mark", "more than 0"),
        ("dropper", "calibrated-dropper", "about", "tolerance", "the tolerance is not in this file"),
        ("syringe", '["luer"]', "[]", "tips", "one tip or several"),
        ("syringe", '["luer"]', '["luer", "luer"]', "tips", "each once"),
        ("syringe", '["luer"]', '["catheter"]', "tips", "one tip or several"),
        ("syringe", '"0.1 mL"', '"0.2 mL"', "step", "numbered is no whole number of steps"),
        ("syringe", '"3 mL"', '"3.05 mL"', "step", "capacity is no whole number of steps"),
        ("syringe", '"3 mL"', '"0 mL"', "capacity", "more than 0"),
        ("syringe", '"3 mL"', '"3 mg"', "capacity", "a volume is wanted"),
        ("cylinder", '"0.5 mL"', '"0.3 mL"', "step", "does not divide"),
        ("cup", '"3 mL"', '"7 mL"', "needs", "cannot need more than it holds"),
        ("needle", "21", "9", "gauge", "from 10 to 34"),
        ("needle", "gauge = 21\n", "", "gauge", "from 10 to 34"),
        ("needle", '"38"', '"0"', "length_mm", "more than 0"),
        ("needle", '"38"', '"38 mm"', "length_mm", "a number is digits"),
        ("needle", '"0.05 mL"', '"0.005 mL"', "keeps", "no less than its lumen"),
        ("needle", 'keeps = "0.05 mL"', 'keeps = "0.05 mL"\nhub = "0.04 mL"', "hub", "one figure"),
        ("needle", 'length_mm = "38"\nkeeps = "0.05 mL"', 'hub = "0.04 mL"', "hub", "needs the length and the bore"),
        ("unit_dose", '"0.1 mL"', '"3.2 mL"', "stays", "more stays behind"),
        ("unit_dose", '"3 mL"', '"0 mL"', "nominal", "more than 0"),
        ("balance", '"0.1 mg"', '"0 mg"', "readability", "more than 0"),
        ("balance", '"0.1 mg"', '"0.1 mL"', "readability", "a mass is wanted"),
        ("balance", 'readability = "0.1 mg"\n', "", "readability", "a mass is needed"),
        ("tolerance", "3 %", "0 %", "from_half_of_volume", "not believed"),
        ("tolerance", "3 %", "100 %", "from_half_of_volume", "less than the whole"),
        ("tolerance", "3 %", "3 mL", "from_half_of_volume", "less than the whole"),
        ("bore", 'inner_mm = "0.311"\n', "", "inner_mm", "a length in mm is needed"),
        ("bore", "24", "true", "gauge", "from 10 to 34"),
        ("excess", '"3 mL"', '"0 mL"', "labelled", "more than 0"),
    ],
)
def test_a_fault_names_its_key_and_its_rule(table: str, old: str, new: str, key: str, rule: str) -> None:
    found = faults(record(table, old, new))
    assert rule in found[f"own.{table}[0].{key}"]


@pytest.mark.parametrize(
    ("more", "key", "rule"),
    [
        ("scale_length_mm = { " + TAIL.strip().replace("\n", ", ") + " }\n", "scale_length_mm.is", "more than 0"),
        ('nozzle = { is = "0 mL", ' + TAIL.strip().replace("\n", ", ") + " }\n", "nozzle.is", "more than 0"),
        ('nozzle = { is = "wide", ' + TAIL.strip().replace("\n", ", ") + " }\n", "nozzle.is", "number"),
        ('nozzle = { is = "0.07 mL" }\n', "nozzle.source", "a text is needed"),
        ('only_named = "no"\n', "only_named", "true or false"),
    ],
)
def test_what_a_syringe_may_state_beside_its_scale_is_checked_too(more: str, key: str, rule: str) -> None:
    assert rule in faults(record("syringe", more=more))[f"own.syringe[0].{key}"]


@pytest.mark.parametrize(
    ("old", "new", "key", "rule"),
    [
        ('"3 mL"\ndelivered', '"4 mL"\ndelivered', "point[1].set", "more than the measure holds"),
        ('set = "3 mL"', 'set = "1 mL"', "point", "a volume stands once"),
        ('uncertainty = "0.01 mL"', 'uncertainty = "0 mL"', "point[0].uncertainty", "more than 0"),
        ("on = 2026-11-20", 'on = "today"', "on", "a date is needed"),
        ('by = "lab"\n', "", "by", "a text is needed"),
        ("delivered", "deliverd", "point[0].deliverd", "the key is not known here"),
    ],
)
def test_a_fault_in_a_calibration_is_named(old: str, new: str, key: str, rule: str) -> None:
    assert old in CALIBRATED
    assert rule in faults(CALIBRATED.replace(old, new))[f"own.syringe[0].calibration.{key}"]


def test_a_calibration_without_a_volume_is_a_fault() -> None:
    found = faults(re.sub(r"\[\[syringe\.cal.*", "", CALIBRATED, flags=re.DOTALL))
    assert "at least one volume" in found["own.syringe[0].calibration.point"]


def test_all_faults_of_all_tables_come_together() -> None:
    text = "".join(
        record(table, old, new)
        for table, old, new in (
            ("syringe", '"0.1 mL"', '"0.2 mL"'),
            ("cup", '"3 mL"', '"7 mL"'),
            ("needle", "21", "9"),
            ("balance", '"0.1 mg"', '"0 mg"'),
            ("excess", '"0.2 mL"', '"0.2 mg"'),
        )
    )
    kinds = {field.split("[")[0] for field in faults(text)}
    assert kinds >= {"own.syringe", "own.cup", "own.needle", "own.balance", "own.excess"}


@pytest.mark.parametrize("ident", ["syringe-3", "needle-21g", "cup-6", "balance-1-mg", "plastic-unit-dose"])
def test_an_id_of_the_catalogue_cannot_be_taken(ident: str) -> None:
    found = faults(record("cup").replace('id = "own"', f'id = "{ident}"'))
    assert "an id stands once" in found["own.id"]


def test_a_tolerance_of_the_catalogue_may_be_named_and_not_replaced() -> None:
    assert read_instruments(record("syringe"), "own.toml").measures[0].tolerance is load().syringe_rule(Fraction(3))
    found = faults(record("tolerance").replace('"own"', '"calibrated-dropper"'))
    assert "an id stands once" in found["own.tolerance"]


@pytest.fixture(scope="module")
def made() -> Instruments:
    return read_instruments(
        record("syringe", '["luer"]', '["slip", "oral", "luer"]', "only_named = true\n"), "own.toml"
    )


def test_each_tip_is_an_instrument_of_its_own(made: Instruments) -> None:
    assert [(one.id, one.tip, one.name) for one in made.measures] == [
        ("own-slip", "slip", "own, luer slip"),
        ("own-oral", "oral", "own, oral tip"),
        ("own", "luer", "own, luer lock"),
    ]
    assert all(one.only_named for one in made.measures)
    assert {(one.scale_length, one.nozzle) for one in made.measures} == {(None, None)}


def test_a_balance_has_a_repeatability_with_its_own_origin_or_none() -> None:
    assert read_instruments(record("balance"), "own.toml").balances[0].repeatability_g is None
    inner = 'repeatability = { is = "0.2 mg", source = "from-memory", at = "x", how = "from memory" }\n'
    one = read_instruments(record("balance", more=inner), "own.toml").balances[0]
    assert (one.readability_g, one.repeatability_g) == (Fraction(1, 10000), Fraction(1, 5000))
    assert one.repeatability_origin is not None
    assert one.repeatability_origin.how.value == "from memory"


def test_a_straw_needs_no_gauge_and_filters() -> None:
    straw = read_instruments(record("needle", 'gauge = 21\nlength_mm = "38"\n', 'kind = "filter straw"\n'), "own.toml")
    one = straw.needles[0]
    assert (one.kind, one.gauge, one.lumen, one.hub, one.filters) == (NeedleKind.FILTER_STRAW, None, None, None, True)


def test_a_bore_of_its_own_goes_before_the_chart() -> None:
    thin = read_instruments(record("needle", more='bore_mm = "0.4"\n'), "own.toml").needles[0]
    usual = read_instruments(record("needle"), "own.toml").needles[0]
    assert (thin.bore_mm, usual.bore_mm) == (Fraction(4, 10), Fraction(514, 1000))
    unknown = read_instruments(record("needle", "21", "17"), "own.toml").needles[0]
    assert (unknown.bore_mm, unknown.lumen, unknown.hub) == (None, None, None)


def test_an_excess_from_a_volume_up_is_a_share() -> None:
    text = record("excess", '"0.2 mL"', '"2 %"').replace('"0.3 mL"', '"3 %"') + "and_up = true\n"
    row = read_instruments(text, "own.toml").excess[0]
    assert (row.of(Fraction(3)), row.of(Fraction(10), viscous=True)) == (Fraction(6, 100), Fraction(3, 10))
    assert row.of(Fraction(2)) is None
    fixed = read_instruments(record("excess"), "own.toml").excess[0]
    assert (fixed.of(Fraction(3)), fixed.of(Fraction(4))) == (Fraction(2, 10), None)
    wrong = faults(record("excess") + "and_up = true\n")
    assert {"own.excess[0].mobile", "own.excess[0].viscous"} <= set(wrong)
    assert (
        "a share is needed"
        in faults(record("excess", 'mobile = "0.2 mL"\n', "") + "and_up = true\n")["own.excess[0].mobile"]
    )


def test_a_unit_dose_of_which_something_is_not_known_gives_nothing_that_is_known() -> None:
    for key in ("nominal", "excess", "stays"):
        text = "\n".join(line for line in record("unit_dose").splitlines() if not line.startswith(key))
        assert read_instruments(text, "own.toml").unit_doses[0].gives is None
    assert read_instruments(record("unit_dose"), "own.toml").unit_doses[0].gives == Fraction(31, 10)


# ------------------------------------------------------------------------------------------- the catalogue's own file

BOOK = load()


def test_the_catalogue_has_syringes_of_each_size_with_three_tips_and_a_scale_length() -> None:
    sizes = {one.capacity for one in BOOK.instruments if one.kind is Kind.SYRINGE}
    assert sizes == {Fraction(text) for text in ("1", "2", "2.5", "3", "5", "10", "20", "30", "60")}
    for one in BOOK.measures:
        if one.kind is Kind.SYRINGE:
            alike = [other for other in BOOK.measures if (other.kind, other.scale) == (one.kind, one.scale)]
            assert {other.tip for other in alike} == {"luer", "slip", "oral"}
            assert one.scale_length is not None
            assert one.scale_length_origin is not None
            assert one.scale_length_origin.how.value == "from memory"
            assert one.nozzle is not None


def test_one_millilitre_is_four_scales_and_only_the_usual_one_stands_unnamed() -> None:
    one = BOOK.instrument("syringe-1")
    assert scales_of(BOOK.measures, one) == (Fraction(1, 100), Fraction(1, 50), Fraction(1, 20), Fraction(1, 10))
    assert scales_of(BOOK.instruments, one) == (Fraction(1, 100),)
    assert {other.numbered for other in BOOK.measures if other.capacity == 1} == {Fraction(1, 10)}


def test_a_filter_and_a_class_three_balance_have_no_figure_that_nobody_found() -> None:
    assert [BOOK.needle(ident).keeps for ident in ("filter-needle", "filter-straw")] == [None, None]
    assert BOOK.balance("balance-class-iii").repeatability_g is None
    assert [(one.excess, one.stays) for one in BOOK.unit_doses] == [(None, None)]
    with pytest.raises(KeyError):
        BOOK.balance("no such balance")


def test_a_measure_is_refused_off_its_scale() -> None:
    one = BOOK.instrument("syringe-3")
    for volume in (Fraction(0), Fraction(-1), Fraction(31, 10)):
        with pytest.raises(Refused, match="measures more than 0 and at most 3 mL in one fill"):
            one.permissible_error(volume)
    assert one.permissible_error(Fraction(3)) == Fraction(15, 100)


@pytest.mark.parametrize(
    ("ident", "error"), [("cylinder-10", "0.2"), ("cylinder-25", "0.34"), ("cylinder-50", "0.5"), ("cylinder-100", "1")]
)
def test_a_cylinder_may_be_off_by_one_volume_over_its_whole_scale(ident: str, error: str) -> None:
    one = BOOK.instrument(ident)
    found = {one.permissible_error(one.step * line) for line in range(1, int(one.capacity / one.step) + 1)}
    assert found == {Fraction(error)}


def test_no_class_of_syringes_holds_a_capacity_below_nothing() -> None:
    with pytest.raises(KeyError):
        BOOK.syringe_rule(Fraction(-1))
