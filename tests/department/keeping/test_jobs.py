"""Long work: claimed once, handed on when a worker dies, landed together with its end, and nothing by half."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from datetime import timedelta

import pytest

from drawndose.quantities import Fault, Refused
from tests.department.keeping.places import environment
from tests.department.work.test_at_once import in_threads

pytestmark = pytest.mark.usefixtures("committed")


@pytest.fixture
def kinds(committed: None):
    """A kind that writes an event when it lands, one that is refused, one with a fault of ours; taken away afterwards."""
    from drawndose.department.keeping import jobs
    from drawndose.department.ledger.append import append
    from drawndose.department.ledger.models import Kind as Records
    from drawndose.department.ledger.storage import found

    found(Records.PRACTICE, actor="setup")

    def work(job, progress):
        for number in range(3):
            progress(number, 3, f"part {number}")
        return job.arguments["word"]

    def land(job, made):
        append("word.said", "word", made, actor=job.by)
        return jobs.Result(name="word.txt", media_type="text/plain", content=made.encode(), says="Said.")

    def no(job, progress):
        raise Refused([Fault(field="word", rule="it is too long", came="x", accepted="y")])

    def broken(job, progress):
        raise ZeroDivisionError("a patient's name")

    mine = {"say": jobs.Kind(work=work, land=land), "no": jobs.Kind(work=no), "broken": jobs.Kind(work=broken)}
    jobs.KINDS.update(mine)
    yield jobs
    for name in mine:
        del jobs.KINDS[name]


def said() -> int:
    from drawndose.department.ledger.models import Event

    return Event.objects.filter(name="word.said").count()


def test_a_job_is_done_and_its_result_is_there_for_who_asked(kinds) -> None:
    from drawndose.department.keeping.working import step

    job = kinds.submit("say", {"word": "hello"}, by="ana")
    assert kinds.status(job.pk, by="ana").state == "waiting"
    assert step("worker") is True
    assert step("worker") is False
    found = kinds.status(job.pk, by="ana")
    assert (found.state, found.says, found.ready, said()) == ("done", "Said.", True, 1)
    assert kinds.status(job.pk, by="ben") is None
    job.refresh_from_db()
    assert (bytes(job.result), job.result_name, job.arguments) == (b"hello", "word.txt", {})


def test_of_many_workers_one_takes_it_up(kinds) -> None:
    job = kinds.submit("say", {"word": "once"}, by="ana")
    got = in_threads(6, lambda place: kinds.claim(f"worker {place}"))
    assert [one.pk for one in got if one is not None] == [job.pk]


def test_every_one_of_many_jobs_is_done_once(kinds) -> None:
    from drawndose.department.keeping.working import step
    from drawndose.department.ledger.models import Event

    for number in range(12):
        kinds.submit("say", {"word": str(number)}, by=f"person {number}")

    def work(place: int) -> int:
        count = 0
        while kinds.Job.objects.filter(state="waiting").exists():
            count += step(f"worker {place}")
        return count

    got = in_threads(3, work)
    assert sum(got) == 12, got
    assert sorted(Event.objects.filter(name="word.said").values_list("subject", flat=True), key=int) == [
        str(number) for number in range(12)
    ]


def test_refused_work_says_why_and_a_fault_of_ours_says_nothing_of_what_it_held(kinds) -> None:
    from drawndose.department.keeping.working import step

    with pytest.raises(Refused, match="no such kind"):
        kinds.submit("sing", {}, by="ana")
    first, second = kinds.submit("no", {}, by="ana"), kinds.submit("broken", {}, by="ana")
    assert (step("worker"), step("worker")) == (True, True)
    assert 'word: it is too long. Came: "x"' in kinds.status(first.pk, by="ana").says
    assert kinds.status(second.pk, by="ana").state == "failed"
    assert "patient" not in kinds.status(second.pk, by="ana").says


def later(monkeypatch: pytest.MonkeyPatch, kinds, **more: int) -> None:
    moment = kinds.now() + timedelta(**more)
    monkeypatch.setattr(kinds, "now", lambda: moment)


def test_a_silent_workers_job_is_taken_up_by_another_and_the_first_writes_nothing(
    kinds, monkeypatch: pytest.MonkeyPatch
) -> None:
    job = kinds.submit("say", {"word": "once"}, by="ana")
    first = kinds.claim("first")
    assert kinds.claim("second") is None
    later(monkeypatch, kinds, minutes=3)
    second = kinds.claim("second")
    assert (second.pk, second.claims, second.lost) == (job.pk, 2, 1)
    with pytest.raises(kinds.Stopped):
        kinds.run(first)
    assert said() == 0
    kinds.run(second)
    with pytest.raises(kinds.Stopped):
        kinds.end(first, "failed", "too late")
    assert (said(), kinds.status(job.pk, by="ana").state) == (1, "done")


def test_a_job_that_ends_every_worker_fails_at_last(kinds, monkeypatch: pytest.MonkeyPatch) -> None:
    job = kinds.submit("say", {"word": "never"}, by="ana")
    for _ in range(kinds.MOST_LOST):
        assert kinds.claim("worker").pk == job.pk
        later(monkeypatch, kinds, minutes=3)
    assert kinds.claim("worker") is None
    assert "begun 3 times" in kinds.status(job.pk, by="ana").says


def test_a_worker_told_to_stop_hands_its_job_back(kinds) -> None:
    job = kinds.submit("say", {"word": "later"}, by="ana")
    for _ in range(5):
        with pytest.raises(kinds.Stopped):
            kinds.run(kinds.claim("worker"), lambda: True)
        job.refresh_from_db()
        assert (job.state, job.lost, said()) == ("waiting", 0, 0)


def test_what_lands_and_its_end_are_written_together_or_not_at_all(kinds) -> None:
    from django.db import OperationalError

    from drawndose.department.keeping.working import step

    def land(job, made):
        kinds.KINDS["say"].land(job, made)
        raise OperationalError("database or disk is full")

    kinds.KINDS["full"] = kinds.Kind(work=kinds.KINDS["say"].work, land=land)
    job = kinds.submit("full", {"word": "lost"}, by="ana")
    assert step("worker") is False
    job.refresh_from_db()
    assert (job.state, job.lost, said()) == ("waiting", 1, 0)
    assert job.says.startswith("The disk is full.")
    del kinds.KINDS["full"]


def test_old_results_are_removed_and_new_ones_stay(kinds, monkeypatch: pytest.MonkeyPatch) -> None:
    from drawndose.department.keeping.working import step

    kinds.submit("say", {"word": "old"}, by="ana")
    step("worker")
    assert kinds.tidy() == 0
    later(monkeypatch, kinds, days=8)
    assert kinds.tidy() == 1


def test_a_worker_process_that_is_killed_is_replaced(kinds, monkeypatch: pytest.MonkeyPatch) -> None:
    """An import of the real kind: the first worker is killed while at it, the second one finishes it, and it stands once."""
    from django.db import connection

    from drawndose.department.people.models import Person
    from drawndose.department.work.models import Patient

    Person.objects.create(username="max", name="Max Pattern", added_at=kinds.now()).roleheld_set.create(role="manager")
    rows = "\n".join(f'{number},"Made, Up {number}",1960-01-01' for number in range(300))
    arguments = {"list": "patients", "text": f"number,name,born\n{rows}\n", "dry_run": False}
    job = kinds.submit("import", arguments, by="max")
    slow = "import time, drawndose.department.keeping.importing as one; real = one.LISTS['patients'].read\n"
    slow += "object.__setattr__(one.LISTS['patients'], 'read', lambda row: (time.sleep(0.05), real(row))[1])\n"
    words = "import os, sys, django; django.setup()\n" + slow
    words += "from drawndose.department.keeping import working; working.step('killed')\n"
    run = subprocess.Popen(
        [sys.executable, "-c", words],
        env=environment(os.environ["DRAWNDOSE_DATABASE"], DJANGO_SETTINGS_MODULE="drawndose.department.settings"),
    )
    until = time.monotonic() + 30
    while kinds.status(job.pk, by="max").done == 0 and time.monotonic() < until:
        time.sleep(0.05)
    assert kinds.status(job.pk, by="max").says.startswith("row")
    run.send_signal(signal.SIGKILL)
    run.wait()
    assert Patient.objects.count() == 0
    later(monkeypatch, kinds, minutes=3)
    kinds.run(kinds.claim("second"))
    connection.close()
    assert (kinds.status(job.pk, by="max").says, Patient.objects.count()) == ("300 rows of patients: 300 added.", 300)


def test_a_job_that_is_cancelled_while_a_worker_is_at_it_writes_nothing(kinds) -> None:
    for cancel_in in ("work", "before the end"):
        job = kinds.submit("say", {"word": cancel_in}, by="ana")
        claimed = kinds.claim("worker")
        kind = kinds.KINDS["say"]
        if cancel_in == "work":
            assert kinds.cancel(job.pk, by="ana")
            with pytest.raises(kinds.Stopped):
                kinds.run(claimed)
        else:
            made = kind.work(claimed, lambda done, total, says: None)
            assert kinds.cancel(job.pk, by="ana")
            kinds.KINDS["say"] = kinds.Kind(work=lambda job, progress, made=made: made, land=kind.land)
            with pytest.raises(kinds.Stopped):
                kinds.run(claimed)
            kinds.KINDS["say"] = kind
        assert (said(), kinds.status(job.pk, by="ana").state) == (0, "cancelled")
        job.refresh_from_db()
        assert (job.arguments, job.result) == ({}, None)
        assert not kinds.cancel(job.pk, by="ana")
        assert kinds.claim("another") is None


def test_a_job_is_cancelled_by_its_own_person_only(kinds) -> None:
    job = kinds.submit("say", {"word": "x"}, by="ana")
    assert not kinds.cancel(job.pk, by="ben")
    assert kinds.status(job.pk, by="ana").state == "waiting"
    assert kinds.fetch(job.pk, by="ana") is None


def test_the_same_form_sent_at_once_is_one_job(kinds) -> None:
    got = in_threads(4, lambda place: kinds.submit("say", {"word": "x"}, by="ana", key="form").pk)
    assert len(set(got)) == 1
