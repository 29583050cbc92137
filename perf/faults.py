"""What a department's storage bears: processes and the server killed while they write, many writers at once, a full disk, a storage
that can only be read, a backup taken under load. Nothing acknowledged may be lost, nothing may be half there.

Run by `make perf-faults`: once on SQLite in a file, once on the PostgreSQL that DRAWNDOSE_DATABASE names, with fsync on. Prints a table
of counts; exit 1 when one of them is not what it must be. `python perf/faults.py 50` kills 50 times only. A full disk and a storage that
can only be read are made with a small disk in memory, which takes root; elsewhere these rows say that they were not run, and the exit
status is 3 unless `--allow-not-run` is given: what was not run is not proved.
"""

from __future__ import annotations

import argparse
import os
import signal
import subprocess
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path
from random import Random

from bearing import LATER, Report, prepared, reached
from small_disks import POSTGRESQL, full_disk, only_read
from writers import BOTTLE, Child, draw_on, write_on

KILLS, SEED = 1_000, 20_261_125
SERVER = 10
"""On PostgreSQL one kill of so many ends the server's own process, and with it every connection: it recovers from its log."""
WRITERS = 64 if POSTGRESQL else 8


class Witness:
    """What was acknowledged, held against what is there: the new end of the chain after each kill, all of it at the end."""

    def __init__(self) -> None:
        self.seen, self.hash, self.lost, self.broken = 0, "", 0, 0

    def look(self, acknowledged: list[tuple[int, int, int]]) -> None:
        """The tail since the last look: bound, whole, up to the head; each acknowledged event with its row as it was said."""
        from drawndose.department.ledger.chain import digest
        from drawndose.department.ledger.models import Event, Head
        from drawndose.department.work.models import Container

        events = {event.number: event for event in Event.objects.filter(number__gt=self.seen).order_by("number")}
        before = self.hash
        for number, event in events.items():
            if (self.seen and event.before != before) or event.hash != digest(event) or number != self.seen + 1:
                self.broken += 1
            before, self.seen = event.hash, number
        self.hash = before
        head = Head.objects.get(pk=1)
        self.broken += (head.number, head.hash) != (self.seen, self.hash)
        rows = Container.objects.in_bulk([container for _, container, _ in acknowledged])
        for number, container, version in acknowledged:
            row, event = rows.get(container), events.get(number)
            there = row is not None and row.version >= version and event is not None and event.subject == str(container)
            self.lost += not there


def kills(report: Report, count: int) -> None:
    """Kill writers, and on PostgreSQL the server's processes, at moments of chance."""
    from drawndose.department.keeping.audit import audit

    chance, witness, ended = Random(SEED), Witness(), Counter[str]()
    witness.look([])
    said = 0
    for round_ in range(count):
        child = Child(write_on)
        _, server = child.line()
        first = child.line()
        time.sleep(chance.random() * 0.05)
        of_server = POSTGRESQL and round_ % SERVER == 0
        if of_server:
            os.kill(int(server), signal.SIGKILL)
            time.sleep(0.01)
        child.kill()
        ended["server's process" if of_server else "writer"] += 1
        lines = [line for line in [first, *child.end()] if line and line[0] == "done"]
        said += len(lines)
        reached()
        witness.look([(int(number), int(key), int(version)) for _, number, key, version in lines])
        if round_ % 100 == 99 or round_ == count - 1:
            witness.broken += bool(audit().fault)
    who = ", ".join(f"{number:,} of the {name}" for name, number in ended.items())
    counts = f"{who}: {said:,} writes acknowledged, {witness.lost} lost, {witness.broken} chains or rows broken"
    report.add(f"kill -9, {count:,} times", counts, right=witness.lost == witness.broken == 0)


def together(report: Report) -> None:
    """Many processes draw from the same containers until these are empty."""
    from drawndose.department.keeping.audit import audit
    from drawndose.department.people.models import Person
    from drawndose.department.work import preparing, shelf
    from drawndose.department.work.models import Container, Draw, Order, Site

    by, site = Person.objects.get(username="ana"), Site.objects.get(name="Ward 3")
    order = Order.objects.filter(site=site, state="complete").order_by("pk")[0]
    bottles = shelf.receive(site, BOTTLE, "20 mL", lot="TOGETHER", expiry=LATER, by=by, count=2)
    containers = [one.pk for one in bottles]
    each = -(-240 // WRITERS)  # 240 draws of 0.1 mL are wanted of each bottle, which holds 200
    made = [[preparing.begin(order, by=by).pk for _ in range(each)] for _ in range(WRITERS)]
    children = [Child(draw_on(containers, mine)) for mine in made]
    lines = [line for child in children for line in child.end()]
    came = Counter(line[0] for line in lines)
    for line in lines:
        if line[0] == "failed":
            print("   ", *line, flush=True)
    rows = Container.objects.filter(pk__in=containers)
    drawn = sum(Draw.objects.filter(container__in=containers).values_list("volume_nl", flat=True))
    left = sum(rows.values_list("left_nl", flat=True))
    below = rows.filter(left_nl__lt=0).count()
    right = drawn + left == sum(rows.values_list("holds_nl", flat=True)) and came["drawn"] * 100_000 == drawn
    right = right and left == below == came["failed"] == 0 and not audit().fault
    counts = f"{came['drawn']} drawn, {came['refused']} refused as empty, {came['failed']} failed; "
    counts += f"{drawn / 1e6:g} mL drawn, {left / 1e6:g} mL left, {below} below nothing"
    report.add(f"{WRITERS} writers on two bottles", counts, right=right)


def under_load(report: Report, folder: Path) -> None:
    """A backup while others write; restored into a new file, it audits."""
    from drawndose.department.keeping.backup import backup
    from drawndose.department.keeping.restore import verify
    from drawndose.department.ledger.models import Event

    children = [Child(write_on) for _ in range(4)]
    for child in children:
        child.line()
        child.line()
    before = Event.objects.count()
    manifest = backup(folder / "load.zip")
    after = Event.objects.count()
    for child in children:
        child.kill()
        child.end()
    reached()
    number, digest = manifest.head["number"], manifest.head["hash"]
    same = Event.objects.get(number=number).hash == digest and verify(folder / "load.zip") == manifest
    place = os.environ | {"DRAWNDOSE_DATABASE": f"sqlite://{folder / 'again.sqlite3'}"}
    verb = [sys.executable, "-m", "drawndose.department.keeping"]
    restored = subprocess.run([*verb, "restore", str(folder / "load.zip")], env=place, capture_output=True, text=True)
    audited = subprocess.run([*verb, "audit"], env=place, capture_output=True, text=True)
    right = same and restored.returncode == audited.returncode == 0 and before <= number <= after and after > before
    said = next(iter((restored.stderr or audited.stdout or audited.stderr).splitlines()), "nothing was said")
    counts = f"events {before:,} before, {number:,} in the backup, {after:,} after; {said}"
    report.add("backup under load, restored", counts, right=right)


def main(count: int, *, allow_not_run: bool = False) -> int:
    """Everything, on one storage."""
    with tempfile.TemporaryDirectory(prefix="drawndose-faults-") as name:
        folder = Path(name)
        if not POSTGRESQL:
            os.environ["DRAWNDOSE_DATABASE"] = f"sqlite://{folder / 'department.sqlite3'}"
        os.environ["DJANGO_SETTINGS_MODULE"] = "drawndose.department.settings"
        import django

        django.setup()
        print(f"On {'PostgreSQL' if POSTGRESQL else 'SQLite'}", flush=True)
        report = Report()
        prepared()
        kills(report, count)
        together(report)
        under_load(report, folder)
        full_disk(report, folder)
        only_read(report, folder)
        return report.status(allow_not_run=allow_not_run)


def _asked() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description="What a department's storage bears.")
    parser.add_argument(
        "kills", nargs="?", type=int, default=KILLS, help=f"how often something is killed (default {KILLS:,})"
    )
    parser.add_argument("--allow-not-run", action="store_true", help="exit 0 although rows could not be run here")
    return parser.parse_args()


if __name__ == "__main__":
    asked = _asked()
    sys.exit(main(asked.kills, allow_not_run=asked.allow_not_run))
