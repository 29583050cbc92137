"""The real server under load: board and bench at 50 requests a second on two cores, with a small and a large ledger.

Run by `make perf-load`. For each size of ledger a storage is filled (a chain that holds, with the doses, containers and preparations
of so many events), `gunicorn` is started on it as a department runs it, one person signs in, and requests are sent at a steady
rate, each on time whether or not the last one was answered. Printed: the least, p50, p95, p99 and errors for each page, and how
p95 and the least grew from the small ledger to the large one, as a ratio. On a machine that does other work, look at the least.
"""

import argparse
import http.client
import os
import re
import socket
import statistics
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, date, datetime, timedelta
from itertools import islice
from pathlib import Path
from urllib.parse import urlencode

PASSWORD = "a long invented password"
PAGES = ("/board/", "/")
EVENTS_OF_A_DOSE = 12
BATCH = 2_000
FOUND = "found"
"""How a line begins that one size tells the run of all sizes."""


def django(folder: Path) -> None:
    """Django on a storage of this folder, migrated."""
    os.environ["DJANGO_SETTINGS_MODULE"] = "drawndose.department.settings"
    os.environ.setdefault("DRAWNDOSE_DATABASE", f"sqlite://{folder}/load.sqlite3")
    os.environ["DRAWNDOSE_STATIC"] = f"{folder}/static"
    os.environ["DRAWNDOSE_SECRET_KEY"] = "of this run only " * 4
    import django as framework
    from django.core.management import call_command

    framework.setup()
    call_command("migrate", verbosity=0)
    call_command("collectstatic", "--noinput", verbosity=0)


def fill(events: int) -> None:
    """A department with so many events behind it, and a usual shift's doses ahead."""
    from drawndose.department.ledger.models import Kind
    from drawndose.department.ledger.storage import found
    from drawndose.department.people.models import Person, RoleHeld
    from drawndose.department.work.models import Order, Patient, Site

    now = datetime.now(UTC)
    found(Kind.DEMO, actor="setup")
    person = Person(username="ana", name="Ana Sample", added_at=now)
    person.set_password(PASSWORD)
    person.save()
    for role in ("preparer", "manager"):
        RoleHeld.objects.create(person=person, role=role)
    site = Site.objects.create(name="Ward 3", zone="UTC")
    patients = Patient.objects.bulk_create(
        Patient(name=f"Model {place}", born=date(1960, 1, 1), number=f"{200_000 + place}", allergies_asked=True)
        for place in range(40)
    )
    words = {"text": "albuterol 2.5 mg by nebulizer, made up to 3 mL, every 4 hours", "prescriber": "Dr. Invented"}
    orders = Order.objects.bulk_create(
        Order(patient=one, site=site, ordered_at=now, state="complete", **words) for one in patients
    )
    fill_doses(list(orders), events // EVENTS_OF_A_DOSE, now)
    fill_ledger(events, now)


def fill_doses(orders: list[object], past: int, now: datetime) -> None:
    """So many given doses behind, and sixty around now."""
    from drawndose.department.work.models import DueDose

    hour = timedelta(hours=1)
    behind = [("given", now - timedelta(minutes=30 + place * 5)) for place in range(past)]
    ahead = [("due", now + timedelta(minutes=3 * place - 30, seconds=7)) for place in range(60)]
    doses = (
        DueDose(order=orders[place % len(orders)], due_at=at, from_at=at - hour, to_at=at + hour, state=state)
        for place, (state, at) in enumerate([*behind, *ahead])
    )
    while batch := list(islice(doses, BATCH)):
        DueDose.objects.bulk_create(batch)


def fill_ledger(events: int, now: datetime) -> None:
    """So many events, in a chain that holds."""
    from django.db import transaction

    from drawndose.department.ledger.models import Event, Head

    head = Head.objects.get(pk=1)
    with transaction.atomic():
        made = chain(head.number, head.hash, events, now)
        last = None
        while batch := list(islice(made, BATCH)):
            Event.objects.bulk_create(batch)
            last = batch[-1]
        if last is not None:
            Head.objects.filter(pk=1).update(number=last.number, hash=last.hash, at=last.at)


def chain(number: int, before: str, count: int, now: datetime) -> Iterator[object]:
    """Events that are bound to each other as the ledger binds them."""
    from drawndose.department.ledger.chain import digest
    from drawndose.department.ledger.models import Event

    for place in range(count):
        number += 1
        event = Event(
            number=number,
            at=now - timedelta(seconds=count - place),
            actor="ana",
            name="dose.given" if place % EVENTS_OF_A_DOSE == 0 else "preparation.drawn",
            subject_kind="dose",
            subject=str(place // EVENTS_OF_A_DOSE + 1),
            reason="",
            content={"volume_nl": "500000"},
            key=None,
            before=before,
        )
        event.hash = before = digest(event)
        yield event


def free_port() -> int:
    """A port of this machine that nobody uses."""
    with socket.socket() as trial:
        trial.bind(("127.0.0.1", 0))
        return int(trial.getsockname()[1])


def served(port: int, folder: Path) -> subprocess.Popen[bytes]:
    """The server as a department runs it: two processes of two threads."""
    words = ["--bind", f"127.0.0.1:{port}", "--workers", "2", "--threads", "2", "--log-level", "warning"]
    command = [sys.executable, "-m", "gunicorn", *words, "--no-control-socket", "drawndose.department.wsgi:application"]
    server = subprocess.Popen(command, env=os.environ | {"DRAWNDOSE_STATIC": f"{folder}/static"})
    for _ in range(200):
        try:
            socket.create_connection(("127.0.0.1", port), 0.2).close()
            return server
        except OSError:
            time.sleep(0.1)
    raise RuntimeError("the server did not open its port")


def signed_in(port: int) -> str:
    """The cookies of a person who signed in."""
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=20)
    connection.request("GET", "/sign-in/")
    answer = connection.getresponse()
    cookies = {one.split("=", 1)[0]: one for one in _cookies(answer)}
    found = re.search(r'name="csrfmiddlewaretoken" value="([^"]+)"', answer.read().decode())
    assert found is not None
    form = urlencode({"username": "ana", "password": PASSWORD, "csrfmiddlewaretoken": found[1]})
    headers = {
        "Content-Type": "application/x-www-form-urlencoded",
        "Cookie": "; ".join(cookies.values()),
        "Origin": f"http://127.0.0.1:{port}",
    }
    connection.request("POST", "/sign-in/", form, headers)
    answer = connection.getresponse()
    answer.read()
    if answer.status != 302:
        raise RuntimeError(f"not signed in: {answer.status}")
    cookies |= {one.split("=", 1)[0]: one for one in _cookies(answer)}
    return "; ".join(cookies.values())


def _cookies(answer: http.client.HTTPResponse) -> list[str]:
    return [text.partition(";")[0] for name, text in answer.getheaders() if name.lower() == "set-cookie"]


LOCAL = threading.local()


def ask(port: int, path: str, cookie: str, due: float) -> tuple[str, float, int]:
    """One request, its time counted from when it was due, whether or not a connection was free then.

    A connection that the server closed while it lay idle is opened anew, once, as a browser does.
    """
    connection = getattr(LOCAL, "connection", None)
    kept = connection is not None and connection.port == port
    status = got(connection, path, cookie) if kept else 0
    if not status:
        connection = LOCAL.connection = http.client.HTTPConnection("127.0.0.1", port, timeout=30)
        status = got(connection, path, cookie)
    return path, time.perf_counter() - due, status


def got(connection: http.client.HTTPConnection, path: str, cookie: str) -> int:
    """The status of one answer, read to its end; 0 for none."""
    try:
        connection.request("GET", path, headers={"Cookie": cookie})
        answer = connection.getresponse()
        answer.read()
    except (OSError, http.client.HTTPException):
        connection.close()
        return 0
    return answer.status


def steady(port: int, cookie: str, rate: int, seconds: int) -> list[tuple[str, float, int]]:
    """So many requests a second, each sent on time."""
    start = time.perf_counter()
    with ThreadPoolExecutor(64) as pool:
        sent = []
        for place in range(rate * seconds):
            due = start + place / rate
            time.sleep(max(0.0, due - time.perf_counter()))
            sent.append(pool.submit(ask, port, PAGES[place % len(PAGES)], cookie, due))
        return [one.result() for one in sent]


def report(events: int, answers: list[tuple[str, float, int]], filled: float) -> dict[str, float]:
    """A table for this size of ledger; for each page its p95, and its least, which another's work on the machine moves the least."""
    sys.stdout.write(f"\n{events:,} events in the ledger (filled in {filled:.0f} s)\n")
    sys.stdout.write(
        f"{'page':10} {'asked':>7} {'errors':>7} {'least ms':>8} {'p50 ms':>8} {'p95 ms':>8} {'p99 ms':>8}\n"
    )
    found = {}
    for path in PAGES:
        times = sorted(taken for page, taken, status in answers if page == path and status == 200)
        wrong = sum(page == path and status != 200 for page, _, status in answers)
        if not times:
            sys.stdout.write(f"{path:10} {wrong:7} {wrong:7}\n")
            continue
        cut = statistics.quantiles(times, n=100)
        found |= {f"p95 {path}": cut[94], f"least {path}": times[0]}
        row = [times[0], statistics.median(times), cut[94], cut[98]]
        sys.stdout.write(
            f"{path:10} {len(times) + wrong:7} {wrong:7} " + " ".join(f"{one * 1e3:8.1f}" for one in row) + "\n"
        )
    return found


def one_size(events: int, rate: int, seconds: int) -> dict[str, float]:
    """Fill, serve, ask, report."""
    with tempfile.TemporaryDirectory(prefix="drawndose-load-") as name:
        folder = Path(name)
        django(folder)
        start = time.perf_counter()
        fill(events)
        filled = time.perf_counter() - start
        port = free_port()
        server = served(port, folder)
        try:
            cookie = signed_in(port)
            steady(port, cookie, 10, 6)  # each process reads the catalogue at its first request
            return report(events, steady(port, cookie, rate, seconds), filled)
        finally:
            server.terminate()
            server.wait()


def main() -> int:
    """Each size in a process of its own, since Django knows one storage."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--events", type=int, action="append", default=[])
    parser.add_argument("--rate", type=int, default=50)
    parser.add_argument("--seconds", type=int, default=20)
    args = parser.parse_args()
    sizes = args.events or [10_000, 1_000_000]
    if len(sizes) == 1:
        one = one_size(sizes[0], args.rate, args.seconds)
        for name, seconds in one.items():
            sys.stdout.write(f"{FOUND} {seconds} {name}\n")
        return 0
    found: list[dict[str, float]] = []
    for events in sizes:
        words = ["--events", str(events), "--rate", str(args.rate), "--seconds", str(args.seconds)]
        done = subprocess.run([sys.executable, __file__, *words], capture_output=True, text=True, check=True)
        lines = done.stdout.splitlines()
        sys.stdout.write("\n".join(line for line in lines if not line.startswith(FOUND)) + "\n")
        told = [line.split(maxsplit=2)[1:] for line in lines if line.startswith(FOUND)]
        found.append({name: float(seconds) for seconds, name in told})
    for name in found[0]:
        if name in found[-1]:
            sys.stdout.write(f"growth of {name}: {found[-1][name] / found[0][name]:.2f}\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
