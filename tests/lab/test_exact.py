"""The parts of the lab that decide name no float: amounts, scores, rules and decisions are exact; weighing and chances are not."""

from pathlib import Path

import pytest

from tools import exact

LAB = Path(__file__).parents[2] / "src/drawndose/lab"
EXACT = [
    *sorted((LAB / "tasks").glob("*.py")),
    *sorted((LAB / "forms").glob("*.py")),
    *(LAB / "attempts" / name for name in ("attempt.py", "marks.py", "scored.py", "joined.py")),
    *(LAB / "deciding" / name for name in ("rule.py", "decide.py", "admit.py", "signoff.py")),
]


@pytest.mark.parametrize("path", EXACT, ids=lambda path: f"{path.parent.name}-{path.stem}")
def test_no_float_is_named(path: Path) -> None:
    found = [
        what
        for _, what in exact.faults(path.read_text(encoding="utf-8"), "bench")
        if "float" in what or "complex" in what
    ]
    assert found == []


def test_a_planted_float_is_seen() -> None:
    assert list(exact.faults("percent = 0.8\n", "bench"))
