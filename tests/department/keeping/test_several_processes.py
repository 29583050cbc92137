"""Two web processes and a worker on one storage: whoever is asked, it is the same department."""

from __future__ import annotations

import http.cookiejar
import json
import re
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.parse
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.department.keeping.places import environment, new_database, new_file, postgresql, verb
from tests.department.keeping.test_founding import WORD, settings


def free_port() -> int:
    with socket.socket() as trial:
        trial.bind(("127.0.0.1", 0))
        return int(trial.getsockname()[1])


class Browser:
    """Someone who keeps cookies, and goes to one process or the other."""

    def __init__(self) -> None:
        self.jar = http.cookiejar.CookieJar()
        self.opener = urllib.request.build_opener(urllib.request.HTTPCookieProcessor(self.jar))

    def get(self, port: int, path: str) -> tuple[int, str, str]:
        """Status, the address in the end, and the page."""
        return self._open(urllib.request.Request(f"http://127.0.0.1:{port}{path}"))

    def post(self, port: int, path: str, page: str, **fields: str) -> tuple[int, str, str]:
        """Send the form of a page."""
        token = re.search(r'name="csrfmiddlewaretoken" value="([^"]+)"', page)
        assert token is not None
        data = urllib.parse.urlencode({"csrfmiddlewaretoken": token[1], **fields}).encode()
        headers = {"Origin": f"http://127.0.0.1:{port}"}
        return self._open(urllib.request.Request(f"http://127.0.0.1:{port}{path}", data, headers))

    def _open(self, request: urllib.request.Request) -> tuple[int, str, str]:
        try:
            with self.opener.open(request, timeout=120) as answer:
                return answer.status, answer.url, answer.read().decode()
        except urllib.error.HTTPError as error:
            return error.code, request.full_url, error.read().decode()


class Department:
    """The running processes of one department."""

    def __init__(self, where: str, folder: Path) -> None:
        self.where, self.settings = where, settings(folder, DRAWNDOSE_STATIC=str(folder / "static"))
        self.ports = [free_port(), free_port()]
        alone = ("--processes", "1", "--workers", "0")
        self.web = [self._begin("start", "--port", str(port), *alone) for port in self.ports]
        self.worker = self._begin("work")

    def until_ready(self) -> None:
        """Wait for both web processes. A machine that does much besides is slow, not wrong."""
        for port in self.ports:
            self._wait(lambda port=port: Browser().get(port, "/ready/")[0] == 200)

    def _begin(self, *words: str) -> subprocess.Popen[bytes]:
        command = [sys.executable, "-m", "drawndose.department.keeping", *words]
        quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
        return subprocess.Popen(command, env=environment(self.where, **self.settings), **quiet)

    def _wait(self, holds, seconds: int = 240) -> None:
        until = time.monotonic() + seconds
        while time.monotonic() < until:
            try:
                if holds():
                    return
            except OSError:
                pass
            time.sleep(0.1)
        raise AssertionError("it did not come to that in time")

    def submit(self, kind: str, arguments: dict[str, object], by: str) -> None:
        """Hand over a job, as a page would."""
        words = "import json, sys, django; django.setup()\n"
        words += "from drawndose.department.keeping.jobs import submit\n"
        words += "kind, arguments, by = json.loads(sys.stdin.read()); submit(kind, arguments, by=by)\n"
        env = environment(self.where, DJANGO_SETTINGS_MODULE="drawndose.department.settings", **self.settings)
        subprocess.run(
            [sys.executable, "-c", words], env=env, input=json.dumps([kind, arguments, by]), text=True, check=True
        )

    def metric(self, port: int, name: str) -> float:
        """One number, as one process tells it."""
        found = re.search(rf"^{re.escape(name)} (\S+)$", Browser().get(port, "/metrics/")[2], re.MULTILINE)
        assert found is not None, name
        return float(found[1])

    def stop(self) -> None:
        """End what was begun, and only that."""
        for process in (*self.web, self.worker):
            process.terminate()
        for process in (*self.web, self.worker):
            process.wait(timeout=120)


@pytest.fixture
def department(tmp_path: Path) -> Iterator[Department]:
    from tests.pages import django

    django()
    where = new_database() if postgresql() else new_file(tmp_path)
    run = verb(where, "start", "--only-prepare", **settings(tmp_path))
    assert run.returncode == 0, run.stderr
    made = Department(where, tmp_path)
    try:
        made.until_ready()
        yield made
    finally:
        made.stop()


def test_sessions_jobs_and_counts_are_of_the_department_and_not_of_a_process(department: Department) -> None:
    first, second = department.ports
    browser = Browser()
    _, _, page = browser.get(first, "/sign-in/")
    status, address, _ = browser.post(first, "/sign-in/", page, username="kim.pattern", password=WORD)
    assert (status, "/sign-in/" in address) == (200, False)
    status, address, page = browser.get(second, "/people/")
    assert (status, address.endswith("/people/")) == (200, True), "the other process does not know who signed in"
    assert department.metric(first, "drawndose_events_total") == department.metric(second, "drawndose_events_total") > 3

    rows = "".join(f'{number},"Made, Up {number}",1960-01-01\n' for number in range(40))
    department.submit(
        "import", {"list": "patients", "text": "number,name,born\n" + rows, "dry_run": False}, "kim.pattern"
    )
    department._wait(lambda: department.metric(second, 'drawndose_jobs{state="done"}') == 1)
    events = [department.metric(port, "drawndose_events_total") for port in department.ports]
    assert events[0] == events[1] > 40

    department.web[0].kill()
    department.web[0].wait()
    status, address, page = browser.get(second, "/people/")
    assert (status, address.endswith("/people/")) == (200, True), "the session went with its process"
    browser.post(second, "/sign-off/", page)
    assert "/sign-in/" in browser.get(second, "/people/")[1]
    assert "rows agree" in verb(department.where, "audit").stdout


def test_work_waits_until_a_worker_is_there(department: Department) -> None:
    second = department.ports[1]
    department.worker.kill()
    department.worker.wait()
    department.submit("export", {}, "kim.pattern")
    assert department.metric(second, 'drawndose_jobs{state="waiting"}') == 1
    department.worker = department._begin("work")
    department._wait(lambda: department.metric(second, 'drawndose_jobs{state="done"}') == 1)
