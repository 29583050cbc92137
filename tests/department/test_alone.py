"""One process at a time prepares a folder or a storage; those that start at the same moment wait, and find it done."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from drawndose.department.alone import alone
from tests.department.keeping.places import environment, new_database, new_file, postgresql
from tests.department.keeping.test_founding import settings
from tests.pages import django

HELD = "import sys\nfrom pathlib import Path\nfrom drawndose.department.alone import alone\nwith alone(Path(sys.argv[1])):\n    print('in')"
PREPARE = "import django; django.setup()\nfrom drawndose.department.keeping.founding import prepare_storage\nprepare_storage()"
COLLECT = "import django; django.setup()\nfrom django.core.management import call_command\ncall_command('collectstatic', '--noinput', verbosity=0)"


def begun(code: str, *words: str, **more: str) -> subprocess.Popen[str]:
    command = [sys.executable, "-c", code, *words]
    return subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, **more)  # type: ignore[call-overload]


def test_another_process_waits_until_the_folder_is_let_go(tmp_path: Path) -> None:
    folder = tmp_path / "new"
    with alone(folder):
        other = begun(HELD, str(folder))
        with pytest.raises(subprocess.TimeoutExpired):
            other.wait(timeout=1.5)
    assert other.communicate(timeout=60)[0] == "in\n"
    with pytest.raises(OSError, match="on purpose"), alone(folder):
        raise OSError("on purpose")
    assert begun(HELD, str(folder)).communicate(timeout=60)[0] == "in\n"


def test_the_command_that_collects_is_the_one_that_waits(tmp_path: Path) -> None:
    django()
    from django.core.management import get_commands

    assert get_commands()["collectstatic"] == "drawndose.department.web"


@pytest.mark.parametrize("code", [COLLECT, PREPARE], ids=["styles", "tables"])
def test_four_that_start_at_once_all_come_up(code: str, tmp_path: Path) -> None:
    django()
    where = new_database() if postgresql() else new_file(tmp_path)
    env = environment(
        where,
        DJANGO_SETTINGS_MODULE="drawndose.department.settings",
        **settings(tmp_path, DRAWNDOSE_STATIC=str(tmp_path / "static")),
    )
    started = [begun(code, env=env) for _ in range(4)]  # type: ignore[arg-type]
    said = [one.communicate(timeout=240)[1] for one in started]
    assert [(one.returncode, words[-400:]) for one, words in zip(started, said, strict=True)] == [(0, "")] * 4
