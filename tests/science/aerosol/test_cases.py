"""The solver of the area "aerosol": what it knows, what it refuses, what it names as unknown."""

import json
import sys
from pathlib import Path

import pytest

from drawndose.bench.verification import Outcome, Status, verify
from drawndose.cli import main
from drawndose.reference.cases import Case, Held, read_cases, shipped
from drawndose.science.aerosol.cases import solve

FROM_MEMORY = [case for case in shipped() if case.area == "aerosol" and case.standing == "memory"]
CUP: dict[str, Held] = {"V0_mL": 3, "Vr_mL": 1, "e": "0.3"}


def run(name: str, given: dict[str, Held], expect: dict[str, Held], **more: object) -> Outcome:
    case = Case(
        file="x", id="1", kind=f"aerosol.{name}", given=given, expect=expect, standing="derived", source="s", **more  # type: ignore[arg-type]
    )  # fmt: skip
    return verify([case], {"aerosol": solve}).outcomes[0]


def test_the_case_from_memory_has_not_moved_and_says_that_it_is_from_memory() -> None:
    (case,) = FROM_MEMORY
    assert verify([case], {"aerosol": solve}).outcomes[0].status is Status.PASSED
    assert "both from memory" in case.standing_note


@pytest.mark.parametrize(
    ("name", "given", "expect"),
    [
        ("cup", CUP | {"dose_mg": "2.5"}, {"emitted_mg": "1.341", "residual_mg": "1.159"}),
        ("cup", CUP, {"residual_fraction": "0.4635", "mean_concentration_ratio": "1.1496"}),
        ("f_inh_square", {"VT_mL": 50, "f_min": 30, "I": 1, "E": 3, "Qg_L_min": 8}, {"f_inh": "0.1875"}),
        ("continuous_actual", {"conc_mg_mL": "0.25", "output_mL_h": 40}, {"rate_mg_h": 10}),
        ("paediatric_rate", {"mg_kg_h": "0.5", "min_mg_h": 1, "max_mg_h": 15, "weight_kg": 20}, {"rate_mg_h": 10}),
        ("plausibility_total", {"d_um": 3}, {"total_percent": "67.7"}),
        ("heliox_flow", {"indicated_L_min": 10, "factor": "1.4"}, {"actual_L_min": 14, "sqrt_density_factor": "1.4509"}),
        ("heliox_flow", {"indicated_L_min": 10, "factor": "1.5"}, {"actual_L_min": 15}),
        ("icrp66_mouthpiece", {"d_um": 10, "VT_mL": 500, "flow_mL_s": 250, "FRC_mL": 3301}, {"ET1": 0}),
    ],
)  # fmt: skip
def test_a_kind_answers_beyond_the_shipped_cases(name: str, given: dict[str, Held], expect: dict[str, Held]) -> None:
    assert run(name, given, expect, tolerance=0.06 if "total" in name else 0.0005).status is Status.PASSED


@pytest.mark.parametrize(
    ("name", "given", "wrong"),
    [
        ("cup", CUP, {"emitted_fraction": "0.5366"}),
        ("continuous_actual", {"conc_mg_mL": "0.25", "output_mL_h": (40, 80)}, {"rate_mg_h": (10, 21)}),
        ("continuous_actual", {"conc_mg_mL": "0.25", "output_mL_h": (40, 80)}, {"rate_mg_h": (10,)}),
        ("continuous_actual", {"conc_mg_mL": "0.25", "output_mL_h": (40, 80)}, {"rate_mg_h": 10}),
        ("continuous_actual", {"conc_mg_mL": "0.25", "output_mL_h": 40}, {"rate_mg_h": (10,)}),
    ],
)
def test_a_planted_wrong_answer_fails(name: str, given: dict[str, Held], wrong: dict[str, Held]) -> None:
    outcome = run(name, given, wrong)
    assert outcome.status is Status.FAILED
    assert outcome.came


def test_lists_are_told_one_by_one() -> None:
    outcome = run("continuous_actual", {"conc_mg_mL": "0.25", "output_mL_h": (40, 80)}, {"rate_mg_h": (10, 20)})
    assert (outcome.status, outcome.expected, outcome.came) == (Status.PASSED, "rate_mg_h 10, 20", "rate_mg_h 10, 20")


@pytest.mark.parametrize(
    ("name", "given"),
    [
        ("cup", {"V0_mL": 1, "Vr_mL": 2, "e": 0}),
        ("cup", {"V0_mL": 3, "Vr_mL": 1, "e": 1}),
        ("cup", {"V0_mL": 3}),
        ("rho_sat", {"T_C": 80, "rh": 1}),
        ("continuous", {"rate_mg_h": 20, "output_mL_h": 2, "hours": 1, "stock_mg_mL": 5, "dead_mL": 0}),
        ("f_inh_sine", {"VT_mL": 500, "f_min": 15, "I": 1, "E": 1, "Qg_L_min": 0}),
        ("icrp66_mouthpiece", {"d_um": 3, "VT_mL": 50, "flow_mL_s": 100, "FRC_mL": 3301}),
    ],
)
def test_what_lies_outside_a_card_is_refused(name: str, given: dict[str, Held]) -> None:
    outcome = run(name, given, {"x": "invalid"})
    assert (outcome.status, outcome.came) == (Status.PASSED, "invalid")


@pytest.mark.parametrize(
    ("name", "given", "reason"),
    [
        ("spin", {}, "the kind aerosol.spin"),
        ("cup", CUP | {"salt": 1}, "the input salt of aerosol.cup"),
        ("cup", CUP | {"e": (1, 2)}, "e as a list or a text"),
        ("cup", CUP | {"e": {"x": 1}}, "e as a table"),
        ("plausibility_total", {"d_um": "mouth"}, "mouth where numbers are wanted"),
        (
            "icrp66_worker",
            {"AMAD_um": 5, "GSD": 2, "density": 3, "shape": "1.5", "mode": "mouth"},
            "the worker by mouth",
        ),
    ],
)
def test_what_is_not_known_is_named(name: str, given: dict[str, Held], reason: str) -> None:
    outcome = run(name, given, {"conc_ratio": 1})
    assert (outcome.status, outcome.reason) == (Status.UNSUPPORTED, reason)


def test_without_scipy_what_needs_it_is_unsupported(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in [one for one in sys.modules if one.partition(".")[0] == "scipy"]:
        monkeypatch.delitem(sys.modules, name)
    monkeypatch.setitem(sys.modules, "scipy", None)
    outcome = run("lognormal_below", {"cut_um": 5, "MMAD_um": 4, "GSD": 2}, {"fraction": "0.6"})
    assert outcome.reason.endswith("install drawndose[science]")
    assert run("cup", CUP, {"conc_ratio": "1.3904"}, tolerance=0.0002).status is Status.PASSED


def test_verify_counts_them_from_the_command_line(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["verify"]) == 0
    (total,) = [one.split() for one in capsys.readouterr().out.splitlines() if one.startswith("all of aerosol")]
    assert total[3:] == ["39", "4", "0", "0"]


def test_a_departments_own_case_with_lists_is_read_and_run(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "ours.toml"
    file.write_text(
        '[[case]]\nid = "a"\nkind = "aerosol.continuous_actual"\nstanding = "derived"\nsource = "ours"\ntolerance = 0.01\n'
        "[case.given]\nconc_mg_mL = 0.25\noutput_mL_h = [30.0, 50.0]\n[case.expect]\nrate_mg_h = [7.5, 12.5]\n"
    )
    assert read_cases(file.read_text(), "ours.toml")[0].given["output_mL_h"] == ("30.0", "50.0")
    assert main(["verify", str(file), "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["counts"]["passed"] == 1
