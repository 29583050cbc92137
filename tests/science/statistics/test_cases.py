"""The solver of the area "statistics": what it knows, what it refuses, what it names as unknown, and what is not estimable."""

import json
import sys
from collections.abc import Mapping
from pathlib import Path

import pytest

from drawndose.bench.verification import Outcome, Status, verify
from drawndose.cli import main
from drawndose.quantities import Refused
from drawndose.reference.cases import Case, Held, read_cases, shipped
from drawndose.science.statistics.case_inputs import ends
from drawndose.science.statistics.cases import solve

FROM_MEMORY = [case for case in shipped() if case.area == "statistics" and case.standing == "memory"]
CROSS: Held = ((40, 9), (6, 45))


def run(name: str, given: Mapping[str, Held], expect: Mapping[str, Held], **more: object) -> Outcome:
    case = Case(
        file="x", id="1", kind=f"statistics.{name}", given=given, expect=expect, standing="derived", source="s", **more  # type: ignore[arg-type]
    )  # fmt: skip
    return verify([case], {"statistics": solve}).outcomes[0]


@pytest.mark.parametrize("case", FROM_MEMORY, ids=lambda case: case.id)
def test_a_case_from_memory_has_not_moved(case: Case) -> None:
    assert verify([case], {"statistics": solve}).outcomes[0].status is Status.PASSED


@pytest.mark.parametrize(
    ("name", "given", "answer"),
    [
        ("kappa", {"table": ((18, 2), (0, 0))}, "kappa"),
        ("fleiss_kappa", {"counts": ((3, 0), (3, 0))}, "kappa"),
        ("icc", {"ratings": ((1, 1), (1, 1))}, "icc21_lo"),
        ("krippendorff_alpha", {"ratings": ((1, 1), (1, 1))}, "nominal"),
        ("gwet_ac1", {"ratings": ((1, 0), (0, 1)), "missing": 0}, "ac1"),
        ("proportion_interval", {"x": 0, "n": 0}, "cp_low"),
        ("error_rate", {"x": 0, "n": 0}, "rate"),
        ("kr20", {"responses": ((1, 1),)}, "kr20"),
        ("cronbach_alpha", {"scores": ((1, 1), (1, 1))}, "alpha"),
        ("angoff", {"ratings": (("0.5", "0.6"),)}, "se_cut"),
        ("borderline", {"grade": (2, 2), "score": (1, 2), "borderline_grade": 2}, "slope"),
        ("two_parameter_ability", {"a": (1,), "b": (0,), "u": (1,), "start": 0}, "theta"),
        ("rasch_ability", {"b": (0,), "raw_score": 0}, "quick_b"),
        (
            "bland_altman",
            dict.fromkeys(("meter_large_1", "meter_large_2", "meter_mini_1", "meter_mini_2"), (1, 1)),
            "r",
        ),
        ("gauge_rr_anova", {"values": ((1, 2, 3),)}, "ndc"),
        ("gauge_rr_average_range", {"values": ((1, 2, 3, 4),), "repeats": 2}, "ndc"),
        ("capability", {"values": ((1, 1),), "lsl": 0, "usl": 2}, "cp"),
        ("one_way_anova", {"values": ((1, 1), (2, 2))}, "F"),
        ("univariate", {"values": (1,)}, "sd"),
        ("bias_cv", {"target_units": 1, "mean_units": 0, "sd_units": 1}, "cv_percent"),
        ("regression", {"x": (1, 1), "y": (1, 2)}, "slope"),
    ],
)
def test_what_is_not_estimable_is_told_so_and_is_no_number(name: str, given: dict[str, Held], answer: str) -> None:
    assert run(name, given, {answer: "not estimable"}).status is Status.PASSED
    assert run(name, given, {answer: "0"}).status is Status.FAILED


@pytest.mark.parametrize(
    ("name", "given", "expect"),
    [
        ("kappa", {"table": CROSS}, {"kappa": "0.6995", "p_pos": "0.8421"}),
        ("proportion_interval", {"x": 18, "n": 20}, {"wilson_low": "0.6990", "wilson_high": "0.9721"}),
        ("proportion_interval", {"x": 10, "n": 10, "level": "0.95"}, {"cp_low": "0.6915", "cp_high": "1"}),
        (
            "capability",
            {"values": (("9.9", "10.1"), ("10.0", "10.2")), "lsl": 9, "usl": 11, "target": 10},
            {"cp": "1.881"},
        ),
        ("gauge_rr_anova", {"values": ((1, 2, 1, 3), (4, 5, 4, 4)), "repeats": 2}, {"ss_part": "12.5"}),
    ],
)
def test_a_kind_answers_beyond_the_shipped_cases(name: str, given: dict[str, Held], expect: dict[str, Held]) -> None:
    assert run(name, given, expect, tolerance=0.0005).status is Status.PASSED


def test_a_planted_wrong_answer_fails() -> None:
    assert run("kappa", {"table": CROSS}, {"kappa": "0.7007"}, tolerance=0.0005).status is Status.FAILED


@pytest.mark.parametrize(
    ("name", "given", "reason"),
    [
        ("kapa", {}, "the kind statistics.kapa"),
        ("kappa", {"table": CROSS, "wieghts": 1}, "the input wieghts of statistics.kappa"),
        ("icc_sample_size", {"rho": (1,), "raters": 2, "width": 1}, "rho as a list"),
        ("icc_sample_size", {"rho": "0.8", "raters": "2.5", "width": 1}, "raters that is not whole"),
        ("rasch_probability", {"theta": 0, "b": 1}, "b that is no list of numbers"),
        ("rasch_probability", {"theta": 0, "b": ((1,),)}, "b that is no list of numbers"),
        ("rasch_probability", {"theta": {"a": 1}, "b": (1,)}, "theta by name"),
        ("kappa", {"table": (1, 2)}, "table that is no table of numbers"),
        ("kappa", {"table": 1}, "table that is no table of numbers"),
        ("cronbach_alpha", {"scores": ((1, 2),), "rule": "guess"}, "rule guess: one of listwise, pairwise"),
    ],
)
def test_what_is_not_known_is_named(name: str, given: dict[str, Held], reason: str) -> None:
    outcome = run(name, given, {"kappa": "1"})
    assert (outcome.status, outcome.reason) == (Status.UNSUPPORTED, reason)


def test_what_is_missing_or_no_number_is_refused() -> None:
    for name, given, words in (
        ("proportion_interval", {"x": 1}, "n: an input is missing"),
        ("univariate", {}, "values: an input is missing"),
        ("proportion_interval", {"x": "many", "n": 2}, "x: a number is wanted"),
    ):
        case = Case(
            file="x", id="1", kind=f"statistics.{name}", given=given, expect={"a": 1}, standing="derived", source="s"
        )  # type: ignore[arg-type]
        with pytest.raises(Refused, match=words):
            solve(case)


def test_without_scipy_it_is_unsupported_and_no_crash(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "scipy.special", None)
    outcome = run("proportion_interval", {"x": 1, "n": 2}, {"cp_low": "0"})
    assert outcome.status is Status.UNSUPPORTED
    assert "install drawndose[science]" in outcome.reason


def test_an_interval_has_two_ends() -> None:
    with pytest.raises(AssertionError):
        ends(0.5, "low", "high")


def test_a_file_of_a_department_is_verified(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = """
[[case]]
id = "ours"
kind = "statistics.kappa"
standing = "derived"
source = "our two evaluators of last spring"
tolerance = 0.001
given = { table = [[18, 1], [0, 1]] }
expect = { kappa = 0.643, po = 0.95 }
"""
    (tmp_path / "ours.toml").write_text(text)
    assert len(read_cases(text, "ours.toml")) == 1
    assert main(["verify", "--json", str(tmp_path / "ours.toml")]) == 0
    assert json.loads(capsys.readouterr().out)["by_area"]["statistics"]["passed"] == 1
