"""Long work, handed over to a worker: submitted, claimed under a lease, told how far it is, landed once.

A claim is a conditional UPDATE: of two workers one wins, on every storage. A worker that is not heard of for the length of its lease
loses the job to the next one. What a job writes, it writes together with its own end, in one transaction that checks the claim first:
whoever lost it writes nothing.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from django.db import IntegrityError, transaction
from django.db.models import F, Q

from drawndose.department.keeping.job_states import OPEN
from drawndose.department.keeping.models import Job
from drawndose.department.ledger.append import now
from drawndose.quantities import Fault, Refused

LEASE = timedelta(minutes=2)
"""So long a worker may be silent. A house setting; every step of progress renews it."""
MOST_LOST = 3
"""After so many workers that ended while at it, a job has failed: the fourth would end too. A worker that was told to stop hands the
job back, which does not count."""
OFTEN = 0.5
"""Seconds between two notes of how far a job is."""
KEPT = timedelta(days=7)
"""So long the result of a job is kept: it may hold health data."""
MOST_OPEN = 5
"""Jobs that one person may have waiting or running: more are pressed by mistake. A house setting."""
MOST_TOLD = 30
"""Jobs of one person that a page lists, the newest first."""


class Stopped(Exception):
    """The worker is to stop, or has lost the job. Nothing of the job was written."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """What came of a job, as a file; says: one sentence about it."""

    name: str = ""
    media_type: str = ""
    content: bytes = b""
    says: str = ""


Progress = Callable[[int, int, str], None]
"""done, total, and what is being done."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """One kind of long work.

    work: does what takes long, and writes nothing. land: writes what came of it and says what to tell, in the transaction that ends
    the job; without one, what `work` returned is the result.
    """

    work: Callable[[Job, Progress], Any]
    land: Callable[[Job, Any], Result] | None = None


KINDS: dict[str, Kind] = {}
"""The kinds that there are. Whoever has long work registers it when the application is ready."""


def register(name: str, kind: Kind) -> None:
    """Make a kind known to workers."""
    KINDS[name] = kind


def submit(kind: str, arguments: dict[str, Any], *, by: str, about: str = "", key: str | None = None) -> Job:
    """Hand over a job; the one that is there already when the same form asked for it before. about: what it is, in words.

    Refused for a kind that nobody knows, and for a person who has MOST_OPEN under way.
    """
    if kind not in KINDS:
        raise Refused([Fault(field="job", rule="no such kind", came=kind, accepted=", ".join(sorted(KINDS)))])
    there = Job.objects.filter(key=key).first() if key is not None else None
    if there is not None:
        return there
    open_now = Job.objects.filter(by=by, state__in=OPEN).count()
    if open_now >= MOST_OPEN:
        rule = f"at most {MOST_OPEN} pieces of long work are under way for one person"
        accepted = "when one of them has ended, or was cancelled"
        raise Refused([Fault(field="job", rule=rule, came=f"{open_now} are", accepted=accepted)])
    try:
        with transaction.atomic():
            return Job.objects.create(kind=kind, arguments=arguments, by=by, about=about, key=key, submitted_at=now())
    except IntegrityError:
        return Job.objects.get(key=key)  # the same form, sent twice at once


@dataclass(frozen=True, slots=True, kw_only=True)
class Status:
    """How a job stands, for a page. ready: there is a file to fetch. until: until when it is kept."""

    number: int
    kind: str
    about: str
    state: str
    done: int
    total: int
    says: str
    ready: bool
    submitted_at: datetime
    ended_at: datetime | None

    @property
    def open(self) -> bool:
        """True while it may still come to something."""
        return self.state in OPEN

    @property
    def until(self) -> datetime | None:
        """Until when its result is kept."""
        return self.ended_at + KEPT if self.ended_at is not None else None


def _status(job: Job) -> Status:
    names = ("kind", "about", "state", "done", "total", "says", "submitted_at", "ended_at")
    return Status(number=job.pk, ready=bool(job.result_name), **{name: getattr(job, name) for name in names})


def status(job_id: int, *, by: str) -> Status | None:
    """How a job of this person stands; None when there is none: a job of someone else is no one's business."""
    job = Job.objects.filter(pk=job_id, by=by).defer("result", "arguments").first()
    return _status(job) if job is not None else None


def statuses(by: str) -> list[Status]:
    """The jobs of this person, the newest first."""
    mine = Job.objects.filter(by=by).defer("result", "arguments").order_by("-pk")
    return [_status(job) for job in mine[:MOST_TOLD]]


def fetch(job_id: int, *, by: str) -> Result | None:
    """The file that came of a job of this person; None where there is none."""
    job = Job.objects.filter(pk=job_id, by=by, state="done").exclude(result_name="").first()
    if job is None:
        return None
    content = bytes(job.result or b"")
    return Result(name=job.result_name, media_type=job.result_type, content=content, says=job.says)


def cancel(job_id: int, *, by: str) -> bool:
    """Cancel a job of this person. False when it had ended, or there is none: nothing is changed then."""
    mine = Job.objects.filter(pk=job_id, by=by, state__in=OPEN)
    values = {"says": "Cancelled. Nothing of it was written.", "ended_at": now(), "lease_until": None, "arguments": {}}
    return bool(mine.update(state="cancelled", **values))


def claim(worker: str) -> Job | None:
    """Take up the oldest job that waits, or whose worker fell silent. None when there is nothing to do, or another was quicker."""
    moment = now()
    free = Q(state="waiting") | Q(state="running", lease_until__lt=moment)
    for job in Job.objects.filter(free).defer("result").order_by("pk")[:3]:
        mine = Job.objects.filter(free, pk=job.pk, claims=job.claims)
        lost = job.lost + (job.state == "running")
        if lost >= MOST_LOST:
            says = f"It was begun {lost} times, and never came to its end. {job.says}".strip()
            mine.update(state="failed", says=says, ended_at=moment, arguments={}, lost=lost)
            continue
        values = {"worker": worker, "lease_until": moment + LEASE, "lost": lost}
        if mine.update(state="running", claims=F("claims") + 1, **values):
            job.refresh_from_db(fields=["state", "claims", "lost", "worker", "lease_until"])
            return job
    return None


def _held(job: Job) -> Any:
    """The job, as long as this claim holds."""
    return Job.objects.filter(pk=job.pk, state="running", claims=job.claims)


def run(job: Job, stop: Callable[[], bool] = lambda: False) -> None:
    """Do a claimed job and write down what came of it. Stopped when the claim was lost, or the worker is to stop."""
    kind = KINDS.get(job.kind)
    if kind is None:
        end(job, "failed", f"This worker does not know the kind {job.kind}.")
        return
    try:
        made = kind.work(job, _progress(job, stop))
        with transaction.atomic():
            if not _held(job).update(lease_until=now() + LEASE):  # holds the row, too, until all of it is written
                raise Stopped
            end(job, "done", result=kind.land(job, made) if kind.land is not None else made)
    except Refused as refused:
        end(job, "failed", "\n".join(str(fault) for fault in refused.faults))


def _progress(job: Job, stop: Callable[[], bool]) -> Progress:
    told = time.monotonic()

    def progress(done: int, total: int, says: str) -> None:
        nonlocal told
        if stop():
            lay_down(job)
            raise Stopped
        if done and time.monotonic() < told + OFTEN:
            return
        told = time.monotonic()
        if not _held(job).update(done=done, total=total, says=says, lease_until=now() + LEASE):
            raise Stopped

    return progress


def lay_down(job: Job, says: str = "") -> None:
    """Hand a job back. says: the trouble for which it was laid down; without one it does not count as lost."""
    _held(job).update(state="waiting", lease_until=None, says=says, lost=F("lost") + int(bool(says)))


def end(job: Job, state: str, says: str = "", result: Result | None = None) -> None:
    """Write down how a job ended. Stopped when the claim was lost."""
    made = result or Result(says=says)
    values = {"result": made.content or None, "result_name": made.name, "result_type": made.media_type}
    # What a job was given may be a list of persons: it is not kept longer than the job needs it.
    if not _held(job).update(state=state, says=made.says or says, ended_at=now(), arguments={}, **values):
        raise Stopped


def tidy() -> int:
    """Remove what ended long ago; how many that were."""
    old = Job.objects.filter(ended_at__lt=now() - KEPT)
    return old.delete()[0] if old.exists() else 0
