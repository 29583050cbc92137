import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawndose.quantities import Refused, Unit, unit
from drawndose.quantities.units import BASES
from drawndose.reference import How
from drawndose.reference.codes import ucum
from tests.reference.codes.given import UNHURRIED

SENT = sorted(name for name, one in ucum.units().items() if one.code and name != "kilogram")
UNITS = st.lists(st.sampled_from(SENT), max_size=4, unique=True).flatmap(
    lambda names: st.tuples(*(st.tuples(st.just(name), st.sampled_from([1, -1, 2, -3])) for name in names)).map(Unit)
)


def test_every_unit_that_is_written_has_a_code_or_a_reason() -> None:
    assert set(ucum.units()) == set(BASES)
    assert [name for name, one in ucum.units().items() if not one.code] == ["drop"]


@UNHURRIED
@given(UNITS)
def test_a_unit_comes_back_out_of_its_code(made: Unit) -> None:
    code = ucum.write(made)
    assert sorted(ucum.read(code).parts) == sorted(made.parts)
    assert "[drp]" not in code


@UNHURRIED
@given(st.text(alphabet="mgLkuh/.()[]{}%0123456789IUdrpiU' ", max_size=20))
def test_any_text_is_a_unit_or_refused(text: str) -> None:
    try:
        made = ucum.read(text)
    except Refused:
        return
    assert sorted(ucum.read(ucum.write(made)).parts) == sorted(made.parts)


@pytest.mark.parametrize(
    ("spelling", "code"),
    [
        ("mcg", "ug"),
        ("mcg/kg/min", "ug/kg/min"),
        ("mg/mL", "mg/mL"),
        ("unit/mL", "[IU]/mL"),
        ("mEq/L", "meq/L"),
        ("kilogram", "kg"),
        ("%", "%"),
        ("1/min", "/min"),
        ("mL^2", "mL2"),
        ("mL.day/mg^2", "mL.d/mg2"),
        ("", "1"),
        ("dose/day", "{dose}/d"),
        ("USP unit/mg", "[USP'U]/mg"),
    ],
)
def test_codes(spelling: str, code: str) -> None:
    assert ucum.write(unit(spelling)) == code


@pytest.mark.parametrize(
    ("code", "spelling"),
    [
        ("ml", "mL"),
        ("1/min", "1/min"),
        ("l", "L"),
        ("ul", "microlitre"),
        ("[iU]", "unit"),
        ("ug/(kg.min)", "mcg/kg/min"),
        ("mg.h/mL", "mg.h/mL"),
    ],
)
def test_other_spellings_are_read(code: str, spelling: str) -> None:
    assert ucum.read(code) == unit(spelling)


def test_a_slash_holds_for_one_term_only_and_a_bracket_for_all_in_it() -> None:
    assert ucum.read("mg/mL.h") == Unit((("mg", 1), ("mL", -1), ("h", 1)))
    assert ucum.read("mg/(mL/h)") == Unit((("mg", 1), ("mL", -1), ("h", 1)))
    assert ucum.read("1") == Unit(())


def test_kg_is_a_patients_unless_it_is_said_to_be_of_substance() -> None:
    assert ucum.read("mg/kg") == unit("mg/kg")
    assert ucum.read("kg", kg="kilogram") == unit("kilogram")


@pytest.mark.parametrize("code", ["2.5.mg", "10.mg", "mg/12h", "mL/8h", "ug/(8.h)", "10*3/uL", "0.5", "5%"])
def test_a_number_never_stands_inside_a_unit_code(code: str) -> None:
    with pytest.raises(Refused, match="a number does not stand inside a unit code"):
        ucum.read(code)


@pytest.mark.parametrize(
    ("code", "rule"),
    [
        ("mcg", "not a unit code that is known here"),
        ("iU", "not a unit code that is known here"),
        ("[iIU]", "not a unit code that is known here"),
        ("[drp]", "not a unit code that is known here"),
        ("cm[H20]", "terms with a dot or a slash"),
        ("MG", "not a unit code that is known here"),
        ("m/", "terms with a dot or a slash"),
        ("ug(8.h)", "a number does not stand|terms with a dot"),
        ("mg//mL", "terms with a dot or a slash"),
        ("mg mL", "terms with a dot or a slash"),
        ("(mg", "terms with a dot or a slash"),
        ("", "terms with a dot or a slash"),
        ("\u00b5g", "terms with a dot or a slash"),
        ("mL.mL", "the same unit stands twice"),
    ],
)
def test_what_is_refused(code: str, rule: str) -> None:
    with pytest.raises(Refused, match=rule):
        ucum.read(code)


def test_a_drop_is_never_sent_as_a_volume() -> None:
    with pytest.raises(Refused, match="1/20 mL") as refused:
        ucum.write(unit("drop/min"))
    assert "send the volume in mL" in refused.value.faults[0].accepted


LINE = '{ unit = "mg", code = "mg" }'


def table(*lines: str) -> str:
    every = [f'{{ unit = "{name}", code = "x" }}' for name in BASES if name != "mg"]
    return 'origin = { source = "a", at = "b", how = "read" }\nunit = [' + ", ".join([*every, *lines]) + "]"


@pytest.mark.parametrize(
    ("text", "rule"),
    [
        (table(), "each unit of the closed set has one line"),
        (table(LINE, LINE), "each unit of the closed set has one line"),
        (table('{ unit = "mg" }'), "a unit has a code, or a reason"),
        (table('{ unit = "mg", code = "mg", why = "no" }'), "a unit has a code, or a reason"),
        (table(LINE).replace("origin", "orign"), "a text is needed"),
    ],
)
def test_a_fault_of_the_file_is_named(text: str, rule: str) -> None:
    assert ucum.read_units(table(LINE), "own")[0]["mg"].code == "mg"
    with pytest.raises(Refused, match=rule):
        ucum.read_units(text, "own")


def test_every_line_names_a_source_of_the_file_and_memory_is_marked() -> None:
    from importlib.resources import files

    text = files("drawndose.reference").joinpath("data/ucum.toml").read_text(encoding="utf-8")
    units, sources = ucum.read_units(text, "ucum.toml")
    assert {one.origin.source for one in units.values()} == {source.id for source in sources}
    assert {name for name, one in units.items() if one.origin.how is How.MEMORY} == {"psi", "degC"}
