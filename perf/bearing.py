"""What perf/faults.py and perf/small_disks.py share: the table, an invented department in a storage, and a write that may be refused."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date

from writers import BOTTLE

LATER = date(2099, 6, 30)


@dataclass
class Report:
    """The table, how many rows are not as they must be, and which were not run: those prove nothing."""

    rows: list[tuple[str, str, str]] = field(default_factory=list)
    wrong: int = 0
    left_out: list[str] = field(default_factory=list)

    def add(self, what: str, counts: str, *, right: bool) -> None:
        """One row."""
        self.wrong += not right
        self._row(what, counts, "as it must be" if right else "WRONG")

    def not_run(self, what: str, why: str) -> None:
        """A row that could not be run here."""
        self.left_out.append(what)
        self._row(what, f"not run: {why}", "NOT RUN")

    def _row(self, what: str, counts: str, how: str) -> None:
        self.rows.append((what, counts, how))
        print(f"  {what:<34} {counts:<92} {how}", flush=True)

    def status(self, *, allow_not_run: bool) -> int:
        """The exit status: 1 when a row is wrong, 3 when one was not run and nobody allowed that; the reason is printed."""
        if self.wrong:
            print(f"{self.wrong} of {len(self.rows)} rows are not as they must be.")
            return 1
        if self.left_out and not allow_not_run:
            print(
                f"Not run, and so not proved: {'; '.join(self.left_out)}. With --allow-not-run this counts as a whole run."
            )
            return 3
        return 0


def prepared() -> None:
    """An invented department in an empty storage."""
    from django.core.management import call_command

    from drawndose.department.keeping.invented import make
    from drawndose.department.ledger.append import now

    call_command("migrate", verbosity=0)
    make(now())


def reached(seconds: int = 60) -> None:
    """Wait until the storage answers again."""
    from django.db import Error, connections

    until = time.monotonic() + seconds
    while True:
        try:
            with connections["default"].cursor() as cursor:
                cursor.execute("SELECT 1")
            return
        except Error:
            connections.close_all()
            if time.monotonic() > until:
                raise
            time.sleep(0.05)


def told_by_a_write() -> str:
    """What a person is told who writes now: "done", or the sentence. A fault without a sentence is told by its kind."""
    from django.db import Error

    from drawndose.department.keeping.troubles import told
    from drawndose.department.people.models import Person
    from drawndose.department.work import shelf
    from drawndose.department.work.models import Site

    try:
        by, site = Person.objects.get(username="ana"), Site.objects.get(name="Ward 3")
        shelf.receive(site, BOTTLE, "20 mL", lot="L" * 20, expiry=LATER, by=by, count=20)
    except (Error, OSError) as error:
        return told(error) or f"without a sentence: {type(error).__name__}: {error}"
    return "done"


def rows_now() -> list[int]:
    """How many rows each table has."""
    from drawndose.department.keeping.tables import tables

    reached()
    return [model._base_manager.count() for model in tables().values()]


def hindered(report: Report, what: str, before: list[int], free: Callable[[], None]) -> None:
    """A write that cannot be done gets a sentence and changes nothing; afterwards the storage is whole and takes writes again."""
    from drawndose.department.keeping.audit import audit

    said = told_by_a_write()
    free()
    now = rows_now()
    whole = audit().fault == ""
    again = told_by_a_write()
    right = whole and now == before and again == "done" and said.endswith("again.")
    report.add(what, f'"{said}" {sum(now) - sum(before)} rows changed; afterwards: {again}', right=right)
