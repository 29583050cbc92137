"""The reference page says what the one table of rights and the settings say, and names every event of persons."""

import re
from pathlib import Path

import pytest

from drawndose.department.chosen import BY_NAME
from tests.pages import django

ROOT = Path(__file__).parents[3]
PAGE = ROOT / "docs" / "reference" / "people-and-rights.md"
SETTINGS = (
    "sign_in_failures",
    "sign_in_failures_address",
    "lock_minutes",
    "idle_minutes",
    "session_hours",
    "second_by_pin",
    "proxies",
)


@pytest.fixture(autouse=True)
def set_up() -> None:
    django()


def rights() -> list[str]:
    """The table of rights as it must stand there."""
    from drawndose.department.people.roles import RIGHTS, Right, Role

    rows = [f"| | {' | '.join(role.value for role in Role)} |", "|---" * (len(Role) + 1) + "|"]
    for right in Right:
        marks = ["yes" if right in RIGHTS[role] else "" for role in Role]
        rows.append(f"| {right.value} | {' | '.join(marks)} |")
    return rows


def settings() -> list[str]:
    rows = ["| setting | meaning | accepted | without |", "|---|---|---|---|"]
    for one in (BY_NAME[name] for name in SETTINGS):
        rows.append(f"| `{one.name}` | {one.means} | {one.accepts} | {one.without} |")
    return rows


def between(mark: str) -> list[str]:
    page = PAGE.read_text(encoding="utf-8")
    return page.partition(f"<!-- {mark} -->\n")[2].partition(f"\n<!-- /{mark} -->")[0].splitlines()


def test_the_table_of_rights_is_the_one_in_the_code() -> None:
    assert between("rights") == rights()


def test_the_settings_are_those_that_are_read() -> None:
    assert between("settings") == settings()


def test_every_event_of_persons_is_named_and_no_other() -> None:
    source = "".join(
        path.read_text(encoding="utf-8") for path in (ROOT / "src/drawndose/department/people").glob("*.py")
    )
    made = set(re.findall(r'"(person\.[a-z_]+)"', source))
    said = set(re.findall(r"`(person\.[a-z_]+)`", PAGE.read_text(encoding="utf-8")))
    assert made == said
    assert len(made) == 17


def test_every_role_and_right_is_used() -> None:
    from drawndose.department.people.roles import RIGHTS, Right, Role

    assert set(RIGHTS) == set(Role)
    assert frozenset().union(*RIGHTS.values()) == set(Right)


def test_the_numbers_in_words_are_those_of_the_code() -> None:
    from django.contrib.auth.password_validation import CommonPasswordValidator

    from drawndose.department.people.limits import Limits, minutes
    from drawndose.department.people.secrets import PIN_DIGITS, SHORTEST
    from drawndose.department.people.signing import LONGEST, PIN_BELOW

    one, page = Limits(), " ".join(PAGE.read_text(encoding="utf-8").split())
    for words in (
        f"{one.failures} failures within {minutes(one.lock)} minutes lock the name for {minutes(one.lock)} minutes",
        f"and {one.failures_address} lock the address",
        f"After {minutes(one.idle)} minutes without an act",
        f"After {one.pin_tries} wrong ones",
        f"A PIN has {PIN_DIGITS} to {PIN_BELOW - 1} digits",
        f"It has {SHORTEST} to {LONGEST} characters",
        f"the {len(CommonPasswordValidator().passwords):,} commonest",
        f"ends {one.session.total_seconds() / 3600:.0f} hours after",
    ):
        assert words in page, words
