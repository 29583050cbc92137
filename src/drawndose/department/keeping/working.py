"""A worker: takes up one long job after the other. Any number of them may run, on any machine that reaches the storage."""

from __future__ import annotations

import argparse
import logging
import os
import signal
import socket
import threading
from collections.abc import Callable
from types import FrameType

from django.db import DatabaseError, close_old_connections

from drawndose.department.keeping import jobs
from drawndose.department.keeping.models import Job
from drawndose.department.keeping.troubles import told
from drawndose.department.ledger.append import now
from drawndose.department.work.orders import top_up

ABOUT = (
    "Do the long work that the pages hand over: exports, imports, packs of sheets. Ctrl+C hands the work at hand back."
)
EXAMPLES = """\
  drawndose department work
  drawndose department work --once          do what waits now, and end
"""
PAUSE = 1.0
"""Seconds between two looks for work."""
log = logging.getLogger("drawndose.work")


def add(parser: argparse.ArgumentParser) -> None:
    """Add the options of the verb."""
    parser.add_argument("--once", action="store_true", help="do what waits now, and end")
    parser.add_argument("--beside", type=int, default=0, metavar="PID", help="end when this process is gone")


def run(args: argparse.Namespace) -> int:
    """Work until told to stop."""
    stop = threading.Event()

    def asked(number: int, frame: FrameType | None) -> None:
        stop.set()

    signal.signal(signal.SIGTERM, asked)
    signal.signal(signal.SIGINT, asked)
    name = f"{socket.gethostname()}:{os.getpid()}"
    log.info("worker started", extra={"worker": name})
    while not stop.is_set() and _there(args.beside):
        if not step(name, stop.is_set):
            if args.once:
                break
            stop.wait(PAUSE)
    log.info("worker stopped", extra={"worker": name})
    return 0


def _there(parent: int) -> bool:
    """True while the process that this worker stands beside is its parent."""
    return not parent or os.getppid() == parent


def step(name: str, stop: Callable[[], bool] = lambda: False) -> bool:
    """Plan the doses that fall due, and do one job. False when there was none, or the storage is away: then it is tried again."""
    close_old_connections()
    try:
        jobs.tidy()
        top_up(now())
        job = jobs.claim(name)
        if job is None:
            return False
        log.info("job taken up", extra={"job": job.pk, "kind": job.kind, "claims": job.claims})
        return _do(job, stop)
    except DatabaseError as error:
        log.error("the storage refused", extra={"trouble": told(error) or type(error).__name__})
        return False


def _do(job: Job, stop: Callable[[], bool]) -> bool:
    try:
        jobs.run(job, stop)
        log.info("job ended", extra={"job": job.pk})
    except jobs.Stopped:
        log.info("job handed back, or lost to another worker", extra={"job": job.pk})
    except DatabaseError as error:
        jobs.lay_down(job, told(error) or "The storage refused it.")
        raise
    except Exception:
        log.exception("a fault of ours in a job", extra={"job": job.pk})
        jobs.end(job, "failed", "The fault is ours. Nothing of it was written; the log says where it happened.")
    return True
