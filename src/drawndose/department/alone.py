"""One process of this machine at a time does something to a folder: the others wait, and then find it done."""

from __future__ import annotations

import fcntl
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


@contextmanager
def alone(folder: Path) -> Iterator[None]:
    """Hold the folder, which is made if need be. Let go at the end, also by a process that is killed."""
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    held = os.open(folder, os.O_RDONLY)
    try:
        fcntl.flock(held, fcntl.LOCK_EX)
        yield
    finally:
        os.close(held)
