"""The documentation is complete, its links hold, and it loads nothing from elsewhere."""

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
import yaml

ROOT = Path(__file__).parents[2]
DECISIONS = sorted((ROOT / "docs/decisions").glob("[0-9]*.md"))


def build(folder: Path) -> tuple[int, str]:
    command = [sys.executable, "-m", "mkdocs", "build", "--strict"]
    environment = os.environ | {"NO_MKDOCS_2_WARNING": "1"}
    run = subprocess.run(command, cwd=folder, env=environment, capture_output=True, text=True)
    return run.returncode, run.stdout + run.stderr


@pytest.fixture
def copy(tmp_path: Path) -> Path:
    shutil.copytree(ROOT / "docs", tmp_path / "docs")
    shutil.copy(ROOT / "mkdocs.yml", tmp_path)
    return tmp_path


def test_pages_load_nothing_from_elsewhere(copy: Path) -> None:
    status, report = build(copy)
    assert status == 0, report
    pages = list((copy / "site").rglob("*.html"))
    assert pages
    loaded = re.compile(r"""<(?:script|link|img|iframe)\b[^>]*\b(?:src|href)=["']?(?:https?:)?//[^\s>]*""")
    assert {page.name: found for page in pages if (found := loaded.findall(page.read_text(encoding="utf-8")))} == {}


@pytest.mark.parametrize(
    ("page", "text", "named"),
    [
        ("decisions/999-forgotten.md", "# Forgotten\n", "decisions/999-forgotten.md"),
        ("index.md", "# Home\n\n[gone](nowhere.md)\n", "nowhere.md"),
        ("index.md", "# Home\n\n[gone](explanation/bias.md#no-such-heading)\n", "no-such-heading"),
    ],
    ids=["page without a place", "dead link", "dead anchor"],
)
def test_planted_slip_fails_the_build(copy: Path, page: str, text: str, named: str) -> None:
    (copy / "docs" / page).write_text(text, encoding="utf-8")
    status, report = build(copy)
    assert status != 0
    assert named in report


def test_every_decision_is_in_the_navigation_and_in_the_list() -> None:
    nav = yaml.safe_dump(yaml.safe_load((ROOT / "mkdocs.yml").read_text(encoding="utf-8"))["nav"])
    index = (ROOT / "docs/decisions/index.md").read_text(encoding="utf-8")
    assert [page.name for page in DECISIONS if f"decisions/{page.name}" not in nav] == []
    assert [page.name for page in DECISIONS if f"({page.name})" not in index] == []


def test_decisions_are_numbered_without_a_gap() -> None:
    assert [int(page.name[:3]) for page in DECISIONS] == list(range(1, len(DECISIONS) + 1))


@pytest.mark.parametrize("page", DECISIONS, ids=lambda page: page.stem)
def test_decision_has_its_four_parts(page: Path) -> None:
    headings = re.findall(r"^## (.+)$", page.read_text(encoding="utf-8"), re.MULTILINE)
    assert headings == ["Context", "Decision", "Alternatives, and why not", "Consequences"]
