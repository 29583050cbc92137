"""What gets installed is pinned, verified, and named without saying where it comes from."""

import re
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
LOCKS = sorted((ROOT / "requirements").iterdir())


def addresses(text: str) -> list[str]:
    return re.findall(r"^\s*-{1,2}\w[\w-]*-url.*|^\s*-{1,2}(?:find-links|i\b).*|\S*://\S*", text, re.MULTILINE)


def unpinned(text: str) -> list[str]:
    """Give the requirements of a lock that lack an exact version or a hash."""
    blocks = re.split(r"\n(?=\S)", text.strip())
    return [block for block in blocks if not re.match(r"[\w.-]+==\S+[^\n]*\\\n +--hash=sha256:[0-9a-f]{64}", block)]


@pytest.mark.parametrize(
    "planted",
    ["--index-url https://packages.example/simple\n", "--find-links /opt/wheels\n", "thing @ git+ssh://host/thing\n"],
)
def test_planted_address_is_caught(planted: str) -> None:
    assert addresses(LOCKS[0].read_text(encoding="utf-8") + planted)


@pytest.mark.parametrize("planted", ["thing==1.0", "thing>=1.0 \\\n    --hash=sha256:" + "0" * 64])
def test_planted_loose_requirement_is_caught(planted: str) -> None:
    assert unpinned(LOCKS[0].read_text(encoding="utf-8") + planted + "\n") == [planted]


@pytest.mark.parametrize("lock", LOCKS, ids=lambda lock: lock.name)
def test_lock_is_exact_and_names_no_address(lock: Path) -> None:
    text = lock.read_text(encoding="utf-8")
    assert addresses(text) == []
    assert unpinned(text) == []


def test_locks_hold_everything_the_project_asks_for() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    groups = project["dependency-groups"]
    extras = [one for extra in project["project"]["optional-dependencies"].values() for one in extra]
    wanted = {"runtime.txt": extras + groups["build"], "dev.txt": extras + groups["build"] + groups["dev"]}
    for lock, requirements in wanted.items():
        locked = set(re.findall(r"^[\w.-]+(?===)", (ROOT / "requirements" / lock).read_text(), re.MULTILINE))
        assert {re.match(r"[\w.-]+", requirement)[0] for requirement in requirements} <= locked


def test_the_two_locks_agree() -> None:
    """One environment serves both, so running the tests must not change what `make start` runs."""
    pins = [set(re.findall(r"^[\w.-]+==[^\s\\]+", lock.read_text(), re.MULTILINE)) for lock in LOCKS]
    dev, runtime = pins
    assert runtime <= dev


def test_the_core_needs_nothing_but_python() -> None:
    assert tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]["dependencies"] == []
