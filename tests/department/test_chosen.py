"""Settings out of one file or the environment: each wrong one explains itself, and nothing is served with it."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from drawndose.department.chosen import OPTIONS, chosen
from drawndose.department.database import NOWHERE, still, storage


def file(folder: Path, text: str) -> dict[str, str]:
    path = folder / "settings.toml"
    path.write_text(text, encoding="utf-8")
    return {"DRAWNDOSE_SETTINGS": str(path)}


def test_the_file_holds_every_option_and_the_environment_stands_before_it(tmp_path: Path) -> None:
    text = 'database = "postgresql://u@db/records"\nhosts = ["a.example", "b.example"]\nhttps = true\n'
    made = chosen(file(tmp_path, text) | {"DRAWNDOSE_HOSTS": "c.example", "PATH": "/bin"})
    assert (made.faults, made.get("hosts"), made.get("https")) == ([], "c.example", "yes")
    assert storage(made)["HOST"] == "db"
    assert chosen(file(tmp_path, text)).get("hosts") == "a.example, b.example"


@pytest.mark.parametrize(
    ("environment", "said"),
    [
        ({"DRAWNDOSE_DATABSE": "x"}, "there is no such setting"),
        ({"DRAWNDOSE_DATABASE": "mysql://root:hunter2@db/x"}, 'no such storage. Came: "mysql:..."'),
        ({"DRAWNDOSE_DATABASE": "postgresql://db:99999999/x"}, "a port that is none"),
        ({"DRAWNDOSE_DATABASE": "records.sqlite3"}, "no such storage"),
        ({"DRAWNDOSE_KIND": "demo"}, 'Came: "demo". Accepted: care, practice'),
        ({"DRAWNDOSE_HTTPS": "on"}, "Accepted: yes, no"),
        ({"DRAWNDOSE_DATABASE_PASSWORD_FILE": "/nowhere/word"}, "No such file"),
        ({"DRAWNDOSE_SETTINGS": "/nowhere/settings.toml"}, "No such file"),
    ],
)
def test_a_wrong_value_says_what_came_and_what_is_accepted(environment: dict[str, str], said: str) -> None:
    made = chosen(environment)
    storage(made)
    made.one_of("https", ("yes", "no"))
    (fault,) = made.faults
    assert said in str(fault)
    assert "hunter2" not in str(fault)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("database = ", "the file cannot be read"),
        ('databse = "x"\nport = 7\n', "there is no such setting"),
        ("secret_key = 1234567\n", 'secret_key is no text. Came: "int"'),
    ],
)
def test_a_wrong_file_says_why(tmp_path: Path, text: str, said: str) -> None:
    faults = chosen(file(tmp_path, text)).faults
    assert any(said in str(fault) for fault in faults)
    assert "1234567" not in " ".join(map(str, faults))


def test_an_empty_secret_is_none(tmp_path: Path) -> None:
    (tmp_path / "word").write_text("\n", encoding="utf-8")
    made = chosen({"DRAWNDOSE_DATABASE_PASSWORD_FILE": str(tmp_path / "word")})
    assert made.secret("database_password_file") == ""
    assert "the file is empty" in str(made.faults[0])


def test_a_wrong_storage_never_becomes_another_one() -> None:
    assert storage(chosen({"DRAWNDOSE_DATABASE": "mysql://db/x"})) == NOWHERE


def test_practice_lives_in_a_file_of_its_own(tmp_path: Path) -> None:
    care = storage(chosen({"DRAWNDOSE_DATA": str(tmp_path)}))
    practice = storage(chosen({"DRAWNDOSE_DATA": str(tmp_path), "DRAWNDOSE_KIND": "practice"}))
    assert [Path(one["NAME"]).name for one in (care, practice)] == ["department.sqlite3", "practice.sqlite3"]


def test_the_still_view_of_a_storage_writes_nothing() -> None:
    sqlite = still(storage(chosen({})))
    assert "query_only=ON" in sqlite["OPTIONS"]["init_command"]
    postgresql = still(storage(chosen({"DRAWNDOSE_DATABASE": "postgresql://u@h/n"})))
    assert postgresql["OPTIONS"]["options"] == "-c default_transaction_read_only=on"


def test_no_page_is_served_with_a_wrong_setting() -> None:
    environment = os.environ | {
        "DRAWNDOSE_DATABASE": "mysql://db/x",
        "DJANGO_SETTINGS_MODULE": "drawndose.department.settings",
    }
    command = [sys.executable, "-c", "import drawndose.department.wsgi"]
    run = subprocess.run(command, env=environment, capture_output=True, text=True, check=False)
    assert (run.returncode, "no such storage" in run.stderr) == (1, True)


def test_every_option_says_what_it_is() -> None:
    assert all(one.means and one.accepts and one.without for one in OPTIONS)
