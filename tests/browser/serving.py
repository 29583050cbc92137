"""What a browser test looks at: a department's storage, filled by a piece of code, behind the server of a real one."""

from __future__ import annotations

import json
import os
import shutil
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from urllib.error import URLError
from urllib.request import urlopen

ROOT = Path(__file__).parents[2]
EMPTY = """
import django; django.setup()
from django.core.management import call_command
call_command("migrate", verbosity=0)
call_command("collectstatic", "--noinput", verbosity=0)
"""


@dataclass(frozen=True)
class Served:
    """The address of a server, the file of its storage, and the environment in which that file is its own."""

    address: str
    file: Path
    env: dict[str, str] = field(repr=False)

    def run(self, code: str) -> str:
        """What a piece of the department's own code prints."""
        made = subprocess.run([sys.executable, "-c", code], env=self.env, capture_output=True, text=True)
        assert made.returncode == 0, made.stderr[-2000:]
        return made.stdout

    def told(self, code: str) -> Any:
        """What the code calls `told`."""
        return json.loads(self.run(f"import json\ntold = None\n{code}\nprint(json.dumps(told))"))


def free_port() -> int:
    """A port that nobody listens on."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        return int(free.getsockname()[1])


def until_it_answers(url: str) -> None:
    """Wait for a server that starts. A machine that does much besides is slow, not wrong."""
    for _ in range(1200):
        try:
            urlopen(url).close()
            return
        except (URLError, ConnectionError):
            time.sleep(0.1)
    raise TimeoutError(url)


def environment(folder: Path, static: Path) -> dict[str, str]:
    """The settings of a department whose storage is a file in a folder."""
    return os.environ | {
        "DJANGO_SETTINGS_MODULE": "drawndose.department.settings",
        "DRAWNDOSE_DATABASE": f"sqlite://{folder / 'records.sqlite3'}",
        "DRAWNDOSE_STATIC": str(static),
        "DRAWNDOSE_SECRET_KEY": "k" * 60,
        "PYTHONPATH": os.pathsep.join([str(ROOT), os.environ.get("PYTHONPATH", "")]),
    }


def empty(folder: Path) -> Path:
    """A storage with all tables and nothing in them, and the static files: made once, copied by every `served`."""
    env = environment(folder, folder / "static")
    subprocess.run([sys.executable, "-c", EMPTY], env=env, check=True)
    return folder


@contextmanager
def served(emptied: Path, folder: Path, make: str, threads: int = 2) -> Iterator[Served]:
    """A department, filled by `make` in a process of its own, and served as a department is."""
    shutil.copy(emptied / "records.sqlite3", folder / "records.sqlite3")
    port = free_port()
    env = environment(folder, emptied / "static")
    one = Served(f"http://127.0.0.1:{port}", folder / "records.sqlite3", env)
    one.run(make)
    options = ["--bind", f"127.0.0.1:{port}", "--threads", str(threads), "--no-control-socket", "--log-level", "error"]
    server = subprocess.Popen(
        [sys.executable, "-m", "gunicorn", *options, "drawndose.department.wsgi:application"], env=env
    )
    try:
        until_it_answers(f"{one.address}/sign-in/")
        yield one
    finally:
        server.terminate()
        server.wait(timeout=120)
