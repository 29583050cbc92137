"""What the processes of perf/faults.py do: writers that say what they wrote, and pairs that draw from the same container.

Each is forked off a process that has Django ready, and has a connection of its own.
"""

from __future__ import annotations

import os
import signal
from collections.abc import Callable
from datetime import date
from typing import Any

SALINE = "sodium-chloride-0.9pct-unit-dose"
BOTTLE = "albuterol-0.5pct-bottle-20ml"


class Child:
    """A forked process and the lines that it has written."""

    def __init__(self, work: Callable[[Callable[[str], None]], None]) -> None:
        from django.db import connections

        connections.close_all()  # a connection is not shared by two processes
        read, write = os.pipe()
        self.pid = os.fork()
        if self.pid == 0:
            os.close(read)
            self._be(work, write)
        os.close(write)
        self.file = os.fdopen(read, encoding="ascii")

    def _be(self, work: Callable[[Callable[[str], None]], None], write: int) -> None:
        """The child: its work, and then nothing of its parent's."""
        signal.signal(signal.SIGINT, signal.SIG_DFL)
        try:
            work(lambda line: _say(write, line))
        except BaseException as met:
            _say(write, f"failed {type(met).__name__}: {str(met).splitlines()[0] if str(met) else ''}")
            os._exit(1)
        os._exit(0)

    def line(self) -> list[str]:
        """The next line in words; none when the child has ended."""
        return self.file.readline().split()

    def kill(self) -> None:
        """End it where it stands."""
        os.kill(self.pid, signal.SIGKILL)

    def end(self) -> list[list[str]]:
        """Wait for its end, and return what it wrote since the last look: whole lines only."""
        rest = [line.split() for line in self.file if line.endswith("\n")]
        self.file.close()
        os.waitpid(self.pid, 0)
        return rest


def _say(write: int, line: str) -> None:
    os.write(write, f"{line}\n".encode("ascii", "replace"))


def write_on(say: Callable[[str], None]) -> None:
    """Receive and move containers without end. Said after each commit: "done", the number of the last event, the container, its version.

    The first line says who serves this process: "server", the number of PostgreSQL's own process, or 0.
    """
    from django.db import connection

    from drawndose.department.ledger.models import Event
    from drawndose.department.people.models import Person
    from drawndose.department.work import shelf
    from drawndose.department.work.models import Site

    connection.ensure_connection()
    say(f"server {connection.connection.info.backend_pid if connection.vendor == 'postgresql' else 0}")
    by, site = Person.objects.get(username="ana"), Site.objects.get(name="Ward 3")
    while True:
        (made,) = shelf.receive(site, SALINE, "3 mL", lot=f"P{os.getpid()}", expiry=date(2099, 6, 30), by=by)
        for place in ("cabinet 1", "cabinet 2", "cabinet 3"):
            shelf.move(made, place, by=by, version=made.version)
            mine = Event.objects.filter(subject_kind="container", subject=str(made.pk)).order_by("-number")
            say(f"done {mine.values_list('number', flat=True)[0]} {made.pk} {made.version}")


def draw_on(containers: list[int], preparations: list[int]) -> Callable[[Callable[[str], None]], None]:
    """Draw 0.1 mL for each preparation from each container in turn, and count what came of it: "drawn", "refused" or "failed"."""

    def work(say: Callable[[str], None]) -> None:
        from django.db import transaction

        from drawndose.department.people.models import Person
        from drawndose.department.work import shelf
        from drawndose.department.work.change import Moved
        from drawndose.department.work.models import Container, Preparation
        from drawndose.quantities import Refused

        by = Person.objects.get(username="ana")
        for number in preparations:
            made = Preparation.objects.get(pk=number)
            for key in containers:
                for _ in range(200):
                    try:
                        with transaction.atomic():
                            shelf.draw(Container.objects.get(pk=key), made, 100_000, by=by)
                        say("drawn")
                        break
                    except Refused as refused:
                        # "there are 0.5 mL left": someone was quicker, and there is more; looked at again.
                        if _emptied(key):
                            say("refused")
                            break
                        last: Any = refused
                    except Moved as moved:
                        last = moved
                else:
                    say(f"failed {last}")

    return work


def _emptied(key: int) -> bool:
    from drawndose.department.work.models import Container

    return Container.objects.get(pk=key).state in {"emptied", "discarded"}
