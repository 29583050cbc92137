"""The runner of cases: what passes, what disagrees with print, what is unsupported, what fails, what is no case."""

from fractions import Fraction

import pytest

from drawndose.bench.expected import alike, meets, print_holds, read_expected
from drawndose.bench.verification import SOLVERS, Outcome, Status, Unsupported, verify
from drawndose.quantities import Quantity, Refused, unit
from drawndose.reference.cases import Case, read_cases, shipped

GOOD = """
[[case]]
id = "one"
kind = "sum.dose_to_volume"
standing = "derived"
source = "own arithmetic"
given = { dose = "2.5 mg", strength = "0.5 %" }
expect = { answer = "0.5 mL" }
"""


def run(**changes: object) -> Outcome:
    """The outcome of one case, changed from a good one."""
    values = {
        "given": {"dose": "2.5 mg", "strength": "0.5 %"},
        "expect": {"answer": "1/2 mL"},
        "kind": "sum.dose_to_volume",
    }
    case = Case(file="x.toml", id="one", standing="derived", source="s", **(values | changes))  # type: ignore[arg-type]
    return verify([case]).outcomes[0]


def faults_of(text: str) -> list[tuple[str, str]]:
    with pytest.raises(Refused) as refusal:
        read_cases(text, "x.toml")
    return [(fault.field, fault.rule) for fault in refusal.value.faults]


def test_a_good_case_passes() -> None:
    (case,) = read_cases(GOOD, "x.toml")
    assert (case.area, case.name, case.file) == ("sum", "dose_to_volume", "x.toml")
    report = verify([case])
    assert report.counts == {
        Status.PASSED: 1, Status.AGAINST_PRINT: 0, Status.UNSUPPORTED: 0, Status.FAILED: 0,
    }  # fmt: skip
    assert report.by_kind == {"sum.dose_to_volume": report.counts}
    assert report.by_area == {"sum": report.counts}


def test_a_planted_wrong_answer_fails() -> None:
    outcome = run(expect={"answer": "0.05 mL"})
    assert (outcome.status, outcome.expected, outcome.came) == (Status.FAILED, "0.05 mL", "0.5 mL")
    assert outcome.reason == "answer is not as expected"


@pytest.mark.parametrize("expected", ["0.5 mg", "0.5", "soon", "2026-03-15"])
def test_another_unit_or_nature_fails(expected: str) -> None:
    assert run(expect={"answer": expected}).status is Status.FAILED


@pytest.mark.parametrize("expected", ["0.5 mL", "1/2 mL", "500 microlitres", "0.0005 L"])
def test_units_of_one_dimension_compare(expected: str) -> None:
    assert run(expect={"answer": expected}).status is Status.PASSED


@pytest.mark.parametrize(
    ("changes", "reason"),
    [
        ({"kind": "sum.dose_to_mass"}, "the kind sum.dose_to_mass"),
        ({"kind": "weather.rain"}, "the area weather"),
        ({"given": {"dose": "1 mg", "strenght": "1 %"}}, "the input strenght of sum.dose_to_volume"),
        ({"given": {"dose": {"of": "1 mg"}}}, "a table as an input of a sum"),
        ({"expect": {"answer": "0.5 mL", "taste": "bitter"}}, "the answer taste of sum.dose_to_volume"),
    ],
    ids=["kind", "area", "input", "table", "answer"],
)
def test_what_is_not_known_is_reported_by_name(changes: dict[str, object], reason: str) -> None:
    outcome = run(**changes)
    assert (outcome.status, outcome.reason) == (Status.UNSUPPORTED, reason)


def test_refusals_are_the_answer_where_invalid_is_expected() -> None:
    given = {"dose": "2.5 cc", "strength": "0.5 %"}
    assert run(given=given, expect={"answer": "invalid"}).status is Status.PASSED
    outcome = run(given=given)
    assert (outcome.status, outcome.came) == (Status.FAILED, "refused")
    assert run(expect={"answer": "invalid"}).status is Status.FAILED


def test_answers_by_other_names_and_lists_as_inputs() -> None:
    assert (
        run(
            kind="sum.alligation",
            given={"strong": "20 %", "weak": "5 %", "final_strength": "10 %", "final_mass": "60 g"},
            expect={"need_strong_mass": "20 g", "need_weak_mass": "40 g"},
        ).came
        == "need_strong_mass 20 g, need_weak_mass 40 g"
    )
    lots = ("200 g of 10 %", "50 g of 20 %")
    assert run(kind="sum.mixture_percent", given={"lots": lots}, expect={"answer": "12 %"}).status is Status.PASSED
    drops = {"drops": 20, "strength": "0.25 mg/mL", "drops_per_mL": 20}
    assert run(kind="sum.drops", given=drops, expect={"answer": "0.25 mg"}).status is Status.PASSED


def test_a_list_expected_of_a_sum_is_not_met() -> None:
    assert run(expect={"answer": ("0.5 mL",)}).status is Status.FAILED


def test_days_and_moments_are_told() -> None:
    given = {"opened": "2026-03-15", "period": "28 d"}
    assert run(kind="dates.discard_date", given=given, expect={"answer": "2026-04-12"}).came == "2026-04-12"
    given = {"start": "2026-11-25 22:15", "period": "4 h"}
    outcome = run(kind="dates.limit_time", given=given, expect={"answer": "2026-11-26 02:15"})
    assert (outcome.status, outcome.came) == (Status.PASSED, "2026-11-26 02:15")


def test_tolerances() -> None:
    assert run(expect={"answer": "0.51 mL"}, tolerance=Fraction(1, 100)).status is Status.PASSED
    assert run(expect={"answer": "0.51 mL"}, tolerance=Fraction(1, 101)).status is Status.FAILED
    assert run(expect={"answer": "0.51 mL"}, tolerance_relative=Fraction(2, 100)).status is Status.PASSED
    assert run(expect={"answer": "0.51 mL"}, tolerance_relative=Fraction(1, 100)).status is Status.FAILED


THIRD = {"given": {"dose": "2 mg", "strength": "7 mg/mL"}, "expect": {"answer": "2/7 mL"}}


@pytest.mark.parametrize(
    ("printed", "how", "status"),
    [
        ("0.29 mL", "rounded", Status.PASSED),
        ("0.3 mL", "rounded", Status.PASSED),
        ("0.28 mL", "rounded", Status.FAILED),
        ("0.28 mL", "cut", Status.PASSED),
        ("0.29 mL", "cut", Status.FAILED),
        ("0.29 mL", "exact", Status.FAILED),
        ("0.29 mg", "rounded", Status.FAILED),
        ("0.4 mL", "wrong", Status.AGAINST_PRINT),
        ("0.29 mL", "wrong_text", Status.PASSED),
        ("0.27 mL", "early_rounding", Status.AGAINST_PRINT),
    ],
)
def test_a_print_is_held_to_what_the_case_says_of_it(printed: str, how: str, status: Status) -> None:
    outcome = run(**THIRD, as_printed=printed, print_is=how, note="a note")
    assert outcome.status is status
    if status is Status.AGAINST_PRINT:
        assert outcome.reason == f"the source prints {printed} ({how.replace('_', ' ')}): a note"
    if status is Status.FAILED:
        assert f"not the {how} form" in outcome.reason


def test_a_print_without_a_note_or_with_a_table() -> None:
    outcome = run(**THIRD, as_printed="0.4 mL", print_is="wrong")
    assert outcome.reason == "the source prints 0.4 mL (wrong)"
    assert run(**THIRD, as_printed={"answer": "0.29"}).status is Status.PASSED


def signed(**changes: object) -> Outcome:
    """The outcome of one case whose answers may lie below 0."""

    def solver(case: Case) -> dict[str, tuple[Quantity | Fraction, ...]]:
        return {
            "r": (Fraction(-1, 8),),
            "p": (Quantity(Fraction(1, 3), unit("")),),
            "v": (Quantity(Fraction(2), unit("mL")),),
        }

    case = Case(file="x", id="1", kind="signs.two", given={}, standing="derived", source="s", **changes)  # type: ignore[arg-type]
    return verify([case], {"signs": solver}).outcomes[0]


@pytest.mark.parametrize(
    ("expect", "tolerance", "status"),
    [
        ({"r": "-0.125"}, None, Status.PASSED),
        ({"r": "-1.25e-1", "p": "1/3"}, None, Status.PASSED),
        ({"r": "0.125"}, None, Status.FAILED),
        ({"r": "0"}, "0.125", Status.PASSED),
        ({"r": "0"}, "0.124", Status.FAILED),
        ({"p": "-0.01"}, "0.35", Status.PASSED),
        ({"v": "-2"}, "9", Status.FAILED),
        ({"r": "2 mL"}, "9", Status.FAILED),
        ({"r": "some"}, "9", Status.FAILED),
        ({"r": {"a": "-0.125"}}, "9", Status.FAILED),
    ],
)
def test_a_number_below_nothing(expect: dict[str, object], tolerance: str | None, status: Status) -> None:
    outcome = signed(expect=expect, tolerance=None if tolerance is None else Fraction(tolerance))
    assert outcome.status is status
    assert "-0.125" in outcome.came or "r" not in expect


@pytest.mark.parametrize(
    ("printed", "how", "status"),
    [
        ({"r": "-0.13", "p": "0.33"}, "rounded", Status.PASSED),
        ({"r": "-0.12", "p": "0.33"}, "rounded", Status.PASSED),
        ({"r": "-0.11", "p": "0.33"}, "rounded", Status.FAILED),
        ({"r": "-0.125", "p": "0.34"}, "loose", Status.AGAINST_PRINT),
        ({"r": "-0.125"}, "exact", Status.PASSED),
        ({"q": "7", "p": ["0.3"]}, "exact", Status.PASSED),
        (["0.3"], "exact", Status.PASSED),
    ],
)
def test_prints_by_name_are_held_one_by_one(printed: object, how: str, status: Status) -> None:
    outcome = signed(expect={"r": "-0.125"}, as_printed=printed, print_is=how)
    assert outcome.status is status
    if status is Status.AGAINST_PRINT:
        assert outcome.reason == "the source prints p 0.34 (loose)"


def test_a_printed_day_and_a_print_of_another_answer() -> None:
    given = {"opened": "2026-03-15", "period": "28 d"}
    day = {"kind": "dates.discard_date", "given": given, "expect": {"answer": "2026-04-12"}}
    assert run(**day, as_printed="2026-04-12", print_is="exact").status is Status.PASSED
    assert run(**day, as_printed="2026-04-11", print_is="wrong").status is Status.AGAINST_PRINT


def test_another_area_brings_its_own_solver() -> None:
    def words(case: Case) -> dict[str, tuple[str, ...]]:
        if case.name != "echo":
            raise Unsupported(f"the kind {case.kind}")
        return {"text": (str(case.given["text"]),)}

    case = Case(
        file="x", id="1", kind="words.echo", given={"text": "hello"}, expect={"text": "hello"}, standing="derived",
        source="s", as_printed="hullo", print_is="wrong",
    )  # fmt: skip
    outcome = verify([case], {**SOLVERS, "words": words}).outcomes[0]
    assert (outcome.status, outcome.came) == (Status.AGAINST_PRINT, "text hello")


@pytest.mark.parametrize(
    ("line", "field", "rule"),
    [
        ('tolerence = "0.1"', "tolerence", "the key is not known here"),
        ("tolerance = -1", "tolerance", "a number that is not negative is needed"),
        ('tolerance = "some"', "tolerance", "a number that is not negative is needed"),
        ("tolerance = true", "tolerance", "a number that is not negative is needed"),
        ('print_is = "exact"', "print_is", "it says how a print stands, and there is no print"),
        ('grade = "z"', "grade", "one word of a closed list is needed"),
        ("as_printed = true", "as_printed", "a text or a number is wanted"),
        ("as_printed = 07:32:00", "as_printed", "a text or a number is wanted"),
    ],
)
def test_a_fault_names_the_file_the_case_and_the_key(line: str, field: str, rule: str) -> None:
    text = GOOD.replace("given =", f"{line}\ngiven =")
    assert faults_of(text) == [(f"x.toml, case one.{field}", rule)]


def test_what_is_no_file_of_cases() -> None:
    assert faults_of("[[case]")[0][0] == "x.toml"
    assert faults_of("") == [("x.toml", "a file of cases holds at least one")]
    assert ("x.toml.cases", "the key is not known here") in faults_of("cases = []")
    assert faults_of(GOOD + GOOD) == [("x.toml.one", "the id stands twice")]
    assert faults_of(GOOD.replace("sum.dose", "dose")) == [
        ("x.toml, case one.kind", "a kind is an area, a dot and a calculation")
    ]
    assert faults_of(GOOD.replace('{ answer = "0.5 mL" }', "{}"))[0][0] == "x.toml, case one.expect"


def test_numbers_keep_their_digits_and_days_become_texts() -> None:
    extra = "tolerance = 1e-4\ngiven = { n = 2.50, m = [1, 0.10], t = { d = 2026-03-15 } }\n#"
    (case,) = read_cases(GOOD.replace("given =", extra), "x.toml")
    assert case.given == {"n": "2.50", "m": (1, "0.10"), "t": {"d": "2026-03-15"}}
    assert case.tolerance == Fraction(1, 10_000)


def test_expected_texts() -> None:
    assert read_expected("1:400") == (Quantity(Fraction(400), unit("part")),)
    assert read_expected("2026-02-30") == ("2026-02-30",)
    assert read_expected("60 tablets") == (Quantity(Fraction(60), unit("dose")),)
    assert len(read_expected("2 mol/kg")) == 2
    assert alike("a", "b")
    assert not alike("a", Quantity(Fraction(1), unit("mL")))
    assert meets("a", "a", Fraction(0), Fraction(0))
    assert not print_holds("nearly 2 mL", Quantity(Fraction(2), unit("mL")), "rounded")


def test_the_shipped_cases_are_read_once() -> None:
    assert shipped() is shipped()
