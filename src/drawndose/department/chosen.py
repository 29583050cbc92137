"""What an installation chooses, each option once: out of one file or the environment; secrets out of files of their own.

DRAWNDOSE_SETTINGS names a file in TOML with the options by their names (`database = "..."`). A variable of the environment
(DRAWNDOSE_DATABASE) stands before the file. What cannot be used is kept as a fault and told by `keeping.checks`; nothing is started with it.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from drawndose.quantities import Fault, Refused

PREFIX = "DRAWNDOSE_"
FILE = f"{PREFIX}SETTINGS"


@dataclass(frozen=True, slots=True, kw_only=True)
class Option:
    """One thing to choose: its name in the file, what it means, what is accepted, and what holds without it.

    whole: the least and the most of a whole number.
    """

    name: str
    means: str
    accepts: str
    without: str
    whole: tuple[int, int] | None = None

    @property
    def variable(self) -> str:
        """Its name in the environment."""
        return f"{PREFIX}{self.name.upper()}"


OPTIONS = (
    Option(
        name="database",
        means="where records are kept",
        accepts="sqlite:///folder/department.sqlite3, or postgresql://user@host:5432/name",
        without="one file in the data folder, named by the kind of records",
    ),
    Option(
        name="database_password_file",
        means="a file with the password of that storage",
        accepts="the path of a file that this user can read",
        without="no password",
    ),
    Option(
        name="data",
        means="the data folder: the file of records, and the key made at the first start",
        accepts="the path of a folder",
        without="drawndose in the user's data folder",
    ),
    Option(
        name="kind",
        means="what this storage is for, for ever",
        accepts="care, practice",
        without="care",
    ),
    Option(
        name="secret_key_file",
        means="a file with the key that signs sessions and forms; every process of one department has the same",
        accepts="the path of a file with at least 50 characters",
        without="SQLite: made at the first start, in the data folder; PostgreSQL: the start is refused",
    ),
    Option(
        name="secret_key",
        means="the same key itself, where no file can be used",
        accepts="at least 50 characters",
        without="secret_key_file",
    ),
    Option(
        name="hosts",
        means="names under which the pages may be asked for, with commas",
        accepts="bench.example, 192.0.2.7",
        without="this machine only",
    ),
    Option(
        name="https",
        means="a proxy in front speaks TLS, says so in X-Forwarded-Proto, and removes that header where a browser sends it",
        accepts="yes, no",
        without="no",
    ),
    Option(
        name="log",
        means="what is written to the log, one JSON object a line: every request without its words, or faults only",
        accepts="requests, faults",
        without="requests where records are kept, else faults",
    ),
    Option(
        name="static",
        means="the folder for the collected style, script and type",
        accepts="the path of a folder",
        without="one in the user's cache, one per version",
    ),
    Option(
        name="site",
        means="the first site, made at the first start",
        accepts="its name, up to 80 characters",
        without="asked at the first start, else Site 1",
    ),
    Option(
        name="zone",
        means="the time zone of the first site, by name",
        accepts="America/Chicago, UTC",
        without="asked at the first start, else UTC",
    ),
    Option(
        name="admin",
        means="the sign-in name of the administrator, made at the first start",
        accepts="letters, digits, dot and hyphen",
        without="asked at the first start",
    ),
    Option(
        name="admin_name",
        means="the administrator's name as it is signed",
        accepts="1 to 120 characters",
        without="asked at the first start, else the sign-in name",
    ),
    Option(
        name="admin_password_file",
        means="a file with the administrator's first password",
        accepts="the path of a file; at least 12 characters, no common password",
        without="asked at the first start",
    ),
    Option(
        name="sign_in_failures",
        means="failed tries of one name that lock it",
        accepts="a whole number from 3 to 20",
        without="5",
        whole=(3, 20),
    ),
    Option(
        name="sign_in_failures_address",
        means="failed tries from one address that lock it: more, where a ward shares one",
        accepts="a whole number from 5 to 1000",
        without="20",
        whole=(5, 1000),
    ),
    Option(
        name="lock_minutes",
        means="how long a lock lasts, and how far back failed tries are counted",
        accepts="a whole number from 5 to 1440",
        without="15",
        whole=(5, 1440),
    ),
    Option(
        name="idle_minutes",
        means="how long a session may lie idle before the PIN is wanted",
        accepts="a whole number from 1 to 60",
        without="10",
        whole=(1, 60),
    ),
    Option(
        name="session_hours",
        means="how long after the sign-in a session ends, whatever was done in it",
        accepts="a whole number from 1 to 24",
        without="12",
        whole=(1, 24),
    ),
    Option(
        name="second_by_pin",
        means="a second person may sign one act by PIN; else by password only",
        accepts="yes, no",
        without="yes",
    ),
    Option(
        name="emergency_access",
        means="how records are reached in an emergency: told on the sign-in page, and where the storage does not answer",
        accepts="a sentence: who is called, and where the copy lies",
        without="nothing is told; 45 CFR 164.312(a)(2)(ii) asks for a procedure",
    ),
    Option(
        name="proxies",
        means="servers in front that add the address of the device to X-Forwarded-For; without it the peer's address counts",
        accepts="a whole number from 0 to 5",
        without="0",
        whole=(0, 5),
    ),
)
"""Every option. docs/reference/department.md shows them; a test holds the two together."""
BY_NAME = {one.name: one for one in OPTIONS}
WHOLE = {one.name for one in OPTIONS if one.whole}


@dataclass(slots=True)
class Chosen:
    """What was chosen, as text, and every fault of it. An option that was not chosen is an empty text."""

    values: dict[str, str] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)

    def get(self, name: str) -> str:
        """The option as chosen."""
        return self.values.get(BY_NAME[name].name, "")

    def one_of(self, name: str, words: tuple[str, ...]) -> str:
        """One of these words, the last one without a choice; another word is a fault."""
        came = self.get(name) or words[-1]
        if came in words:
            return came
        self.fault(name, "it is none of the words that are known", came)
        return words[-1]

    def number(self, name: str) -> int:
        """The option as a whole number within its bounds; else a fault, and what holds without it."""
        came, without = self.get(name), int(BY_NAME[name].without)
        least, most = BY_NAME[name].whole or (0, 0)
        if not came:
            return without
        if came.isascii() and came.isdecimal() and len(came) < 9 and least <= int(came) <= most:
            return int(came)
        self.fault(name, "it is no whole number within its bounds", came)
        return without

    def secret(self, name: str) -> str:
        """What stands in the file that the option names, without the end of its line; a fault when it cannot be read."""
        path = self.get(name)
        if not path:
            return ""
        try:
            found = Path(path).read_text(encoding="utf-8").strip()
        except (OSError, UnicodeDecodeError) as error:
            self.fault(name, f"the file cannot be read: {_why(error)}", path)
            return ""
        if not found:
            self.fault(name, "the file is empty", path)
        return found

    def fault(self, name: str, rule: str, came: str) -> None:
        """Keep a fault of an option."""
        one = BY_NAME[name]
        self.faults.append(Fault(field=one.variable, rule=rule, came=came, accepted=one.accepts))


def chosen(environment: Mapping[str, str]) -> Chosen:
    """Read the file that the environment names, and then the environment."""
    made = Chosen()
    try:
        made.values |= _file(environment[FILE]) if environment.get(FILE) else {}
    except Refused as refused:
        made.faults += refused.faults
    known = {one.variable: one.name for one in OPTIONS}
    for variable, value in environment.items():
        if not variable.startswith(PREFIX) or variable == FILE:
            continue
        if variable in known:
            made.values[known[variable]] = value.strip()
        else:
            made.faults.append(_unknown(variable, FILE, *known))
    return made


def _file(path: str) -> dict[str, str]:
    """The options of a file as text. Refused with every fault of it."""
    try:
        content = tomllib.loads(Path(path).read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        accepted = 'a file in TOML, such as: database = "postgresql://user@host/name"'
        fault = Fault(field=FILE, rule=f"the file cannot be read: {_why(error)}", came=path, accepted=accepted)
        raise Refused([fault]) from error
    faults = [_unknown(name, *BY_NAME) for name in content if name not in BY_NAME]
    found: dict[str, str] = {}
    for name, value in content.items():
        text = str(value) if type(value) is int and name in WHOLE else _text(value)
        if text is None:
            rule = f"{name} is no text"
            faults.append(Fault(field=FILE, rule=rule, came=type(value).__name__, accepted=f'{name} = "..."'))
        else:
            found[name] = text
    if faults:
        raise Refused(faults)
    return found


def _text(value: Any) -> str | None:
    """A value of the file as the environment would give it: yes for true, a list with commas."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list) and all(isinstance(one, str) for one in value):
        return ", ".join(value)
    return value.strip() if isinstance(value, str) else None


def _unknown(came: str, *accepted: str) -> Fault:
    return Fault(field=came, rule="there is no such setting", came=came, accepted=", ".join(accepted))


def _why(error: Exception) -> str:
    return error.strerror or str(error) if isinstance(error, OSError) else str(error)
