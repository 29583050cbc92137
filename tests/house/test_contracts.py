"""The rules of the house are in force: each one refuses a fault planted in a skeleton of the package."""

import subprocess
import sys
from pathlib import Path

import pytest

from tools import exact

ROOT = Path(__file__).parents[2]
STOREYS = ("cli", "department", "lab", "paper", "science", "bench", "reference", "quantities")
DEPARTMENT = ("pages", "web", "printing", "work", "people", "ledger")


@pytest.fixture
def skeleton(tmp_path: Path) -> Path:
    """Eight empty storeys, and the parts of the department, under the project's own contracts."""
    for storey in (*STOREYS, *(f"department/{part}" for part in DEPARTMENT)):
        (tmp_path / "drawndose" / storey).mkdir(parents=True)
        (tmp_path / "drawndose" / storey / "__init__.py").touch()
    (tmp_path / "drawndose" / "__init__.py").touch()
    (tmp_path / "pyproject.toml").write_bytes((ROOT / "pyproject.toml").read_bytes())
    return tmp_path


def lint_imports(folder: Path) -> tuple[int, str]:
    command = [Path(sys.executable).with_name("lint-imports"), "--no-cache"]
    # PYTHONPATH puts the skeleton before the installed package.
    run = subprocess.run(command, cwd=folder, env={"PYTHONPATH": str(folder)}, capture_output=True, text=True)
    return run.returncode, run.stdout + run.stderr


def test_clean_house_is_accepted(skeleton: Path) -> None:
    (skeleton / "drawndose/bench/__init__.py").write_text("import drawndose.reference\n")
    (skeleton / "drawndose/reference/__init__.py").write_text("import tomllib, pathlib\nimport drawndose.quantities\n")
    (skeleton / "drawndose/department/__init__.py").write_text("import django\nimport drawndose.bench\n")
    (skeleton / "drawndose/science/__init__.py").write_text("import math, numpy\nimport drawndose.bench\n")
    (skeleton / "drawndose/paper/__init__.py").write_text("import pathlib\nimport drawndose.bench\n")
    (skeleton / "drawndose/lab/__init__.py").write_text("import tomllib\nimport drawndose.science\n")
    (skeleton / "drawndose/cli/__init__.py").write_text("import sys, time\nimport drawndose.paper\n")
    status, report = lint_imports(skeleton)
    assert (status, "6 kept, 0 broken" in report) == (0, True), report


@pytest.mark.parametrize(
    ("storey", "fault"),
    [
        ("quantities", "drawndose.reference"),
        ("quantities", "drawndose.bench"),
        ("reference", "drawndose.bench"),
        ("bench", "drawndose.science"),
        ("bench", "drawndose.cli"),
        ("reference", "drawndose.science"),
        ("science", "drawndose.cli"),
        ("science", "drawndose.department"),
        ("paper", "drawndose.department"),
        ("paper", "drawndose.science"),
        ("science", "drawndose.paper"),
        ("bench", "drawndose.paper"),
        ("science", "drawndose.lab"),
        ("paper", "drawndose.lab"),
        ("lab", "drawndose.department"),
        ("lab", "django"),
        ("lab", "random"),
        ("lab", "time"),
        ("bench", "drawndose.department"),
        ("cli", "drawndose.department"),
        ("department", "drawndose.cli"),
        ("department/ledger", "drawndose.department.people"),
        ("department/people", "drawndose.department.work"),
        ("department/work", "drawndose.department.printing"),
        ("department/printing", "drawndose.department.web"),
        ("department/web", "drawndose.department.pages"),
        ("quantities", "numpy"),
        ("reference", "math"),
        ("bench", "statistics"),
        ("bench", "django"),
        ("bench", "time"),
        ("reference", "os"),
        ("reference", "urllib"),
        ("bench", "sqlite3"),
        ("bench", "random"),
        ("bench", "tomllib"),
        ("quantities", "pathlib"),
    ],
)
def test_planted_import_is_caught(skeleton: Path, storey: str, fault: str) -> None:
    (skeleton / f"drawndose/{storey}/deep.py").write_text(f"def later():\n    import {fault}\n")
    status, report = lint_imports(skeleton)
    assert status == 1, report
    assert f"drawndose.{storey.replace('/', '.')}.deep -> {fault}" in report


def test_folder_without_a_storey_is_caught(skeleton: Path) -> None:
    (skeleton / "drawndose/helpers").mkdir()
    (skeleton / "drawndose/helpers/__init__.py").touch()
    status, report = lint_imports(skeleton)
    assert status == 1
    assert "helpers" in report


@pytest.mark.parametrize(
    ("fault", "named"),
    [
        ("dose = 2.5\n", "float literal 2.5"),
        ("tiny = 1e-3\n", "float literal 0.001"),
        ("turn = 2j\n", "float literal 2j"),
        ("def f(text):\n    return float(text)\n", "name float"),
        ("def f(dose: float) -> None: ...\n", "name float"),
        ("convert = float\n", "name float"),
        ("import json\n", "json"),
        ("from math import gcd\n", "math.gcd"),
        ("def f():\n    import numpy as np\n", "numpy"),
        ("import importlib\n", "importlib"),
        ("from importlib import import_module\n", "importlib.import_module"),
        ("print(1)\n", "print"),
        ("text = open('label.txt').read()\n", "open"),
        ("from datetime import datetime\nat = datetime.now()\n", "datetime.now()"),
        ("import datetime\non = datetime.date.today()\n", "date.today()"),
    ],
)
@pytest.mark.parametrize("storey", exact.STOREYS)
def test_planted_inexactness_is_caught(
    skeleton: Path, capsys: pytest.CaptureFixture[str], storey: str, fault: str, named: str
) -> None:
    (skeleton / f"drawndose/{storey}/deep.py").write_text(fault)
    assert exact.main(skeleton / "drawndose") == 1
    report = capsys.readouterr().out
    assert f"{storey}/deep.py:" in report
    assert named in report


def test_exact_code_is_accepted(skeleton: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (skeleton / "drawndose/bench/deep.py").write_text(
        '"""Not a 2.5 float in sight."""\n'
        "from collections.abc import Callable\n"
        "from datetime import datetime\n"
        "from fractions import Fraction\n"
        "from .sibling import thing\n"
        "HALF = Fraction(1, 2)\n"
        "def until(now: datetime) -> datetime:\n"
        "    return now\n"
    )
    (skeleton / "drawndose/reference/deep.py").write_text("import tomllib\nfrom importlib.resources import files\n")
    assert exact.main(skeleton / "drawndose") == 0
    assert capsys.readouterr().out == ""


def test_files_are_read_in_the_reference_storey_only(skeleton: Path) -> None:
    (skeleton / "drawndose/bench/deep.py").write_text("import tomllib\n")
    assert exact.main(skeleton / "drawndose") == 1
