"""The solver of the area "metrology": what it knows, what it refuses, what it names as unknown."""

import sys

import pytest

from drawndose.bench.verification import Outcome, Status, verify
from drawndose.cli import main
from drawndose.reference.cases import Case, Held, shipped
from drawndose.science.cases import KINDS, solve

FROM_MEMORY = [case for case in shipped() if case.area == "metrology" and case.standing == "memory"]


def run(name: str, given: dict[str, Held], expect: dict[str, Held], **more: object) -> Outcome:
    case = Case(
        file="x", id="1", kind=f"metrology.{name}", given=given, expect=expect, standing="derived", source="s", **more  # type: ignore[arg-type]
    )  # fmt: skip
    return verify([case], {"metrology": solve}).outcomes[0]


@pytest.mark.parametrize("case", FROM_MEMORY, ids=lambda case: case.id)
def test_a_case_from_memory_has_not_moved(case: Case) -> None:
    assert verify([case], {"metrology": solve}).outcomes[0].status is Status.PASSED


def test_a_rule_from_memory_is_said_to_be_from_memory() -> None:
    assert len(FROM_MEMORY) == 31
    assert all("from memory" in case.standing_note for case in FROM_MEMORY)


def test_every_kind_is_shipped_with_cases() -> None:
    assert {case.name for case in shipped() if case.area == "metrology"} == set(KINDS)


@pytest.mark.parametrize(
    ("name", "given", "wrong"),
    [
        ("syringe_tolerance", {"nominal_mL": 1, "expelled_mL": "0.05"}, {"tolerance_mL": "0.0161"}),
        ("water_density", {"t_degC": 20}, {"rho_kg_m3": "998.2072"}),
        ("z_factor", {"t_degC": 20, "p_hPa": 1013, "rh_percent": 50}, {"z_mL_per_g": "1.0030"}),
        ("coverage_factor", {"nu": 5, "level_percent": "95.45"}, {"k": "2.66"}),
    ],
)
def test_a_planted_wrong_answer_fails(name: str, given: dict[str, Held], wrong: dict[str, Held]) -> None:
    assert run(name, given, wrong).status is Status.FAILED


def test_infinite_degrees_of_freedom() -> None:
    outcome = run("coverage_factor", {"nu": "inf", "level_percent": "95.45"}, {"k": "2.0000"}, tolerance=1)
    assert outcome.came.startswith("k 2.0000")


@pytest.mark.parametrize(
    ("name", "given"),
    [
        ("water_density", {"t_degC": 41}),
        ("water_density", {"t_degC": "-1"}),
        ("water_density", {}),
        ("z_factor", {"t_degC": 20, "p_hPa": 30, "rh_percent": 50}),
        ("syringe_tolerance", {"nominal_mL": 1, "expelled_mL": 2}),
        ("syringe_tolerance", {"nominal_mL": 1, "expelled_mL": 0}),
        ("coverage_factor", {"nu": 0, "level_percent": 95}),
    ],
)
def test_what_cannot_be_is_refused(name: str, given: dict[str, Held]) -> None:
    answer = next(iter({"water_density": "rho_kg_m3", "z_factor": "z_mL_per_g"}.get(name, "k").split()))
    assert run(name, given, {answer: "invalid"}).status is Status.PASSED
    assert run(name, given, {answer: "1"}).status is Status.FAILED


@pytest.mark.parametrize(
    ("name", "given", "reason"),
    [
        ("meniscus", {}, "the kind metrology.meniscus"),
        ("water_density", {"t_degC": 20, "salt": 1}, "the input salt of metrology.water_density"),
        ("water_density", {"t_degC": (20, 21)}, "t_degC as a list or a table"),
    ],
)
def test_what_is_not_known_is_named(name: str, given: dict[str, Held], reason: str) -> None:
    outcome = run(name, given, {"rho_kg_m3": "1"})
    assert (outcome.status, outcome.reason) == (Status.UNSUPPORTED, reason)


def test_a_print_of_the_only_answer_is_held_to_what_the_case_says_of_it() -> None:
    given: dict[str, Held] = {"t_degC": 20, "p_hPa": 1013, "rh_percent": 50}
    expect: dict[str, Held] = {"z_mL_per_g": "1.0029"}
    assert run("z_factor", given, expect, tolerance=1, as_printed="1.0029", print_is="rounded").status is Status.PASSED
    assert run("z_factor", given, expect, tolerance=1, as_printed="1.0028", print_is="rounded").status is Status.FAILED
    loose = run("z_factor", given, expect, tolerance=1, as_printed="1.0028", print_is="loose")
    assert loose.status is Status.AGAINST_PRINT


@pytest.fixture
def without_scipy(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in [one for one in sys.modules if one.partition(".")[0] == "scipy"]:
        monkeypatch.delitem(sys.modules, name)
    monkeypatch.setitem(sys.modules, "scipy", None)


@pytest.mark.usefixtures("without_scipy")
def test_without_the_extra_what_needs_it_is_unsupported_and_the_rest_works() -> None:
    lacking = run("coverage_factor", {"nu": 5, "level_percent": 95}, {"k": "2.57"})
    assert lacking.status is Status.UNSUPPORTED
    assert lacking.reason.endswith("install drawndose[science]")
    assert run("water_density", {"t_degC": 4}, {"rho_kg_m3": "999.975"}, tolerance=1).status is Status.PASSED


def test_verify_runs_them_from_the_command_line(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["verify"]) == 0
    lines = capsys.readouterr().out.splitlines()
    (total,) = [line.split() for line in lines if line.startswith("all of metrology")]
    assert total[3:] == ["236", "8", "0", "0"]
