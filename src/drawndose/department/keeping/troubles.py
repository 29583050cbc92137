"""What the storage or the disk refuses, in one clear sentence: what happened, that nothing was done by half, and what to do."""

from __future__ import annotations

import errno

from django.db import DatabaseError, OperationalError

KEPT = "Nothing of this was written, and everything before it stands."
FULL = f"The disk is full. {KEPT} Make room, then do it again."
READ_ONLY = f"The storage can only be read. {KEPT} Let this user write to it, then do it again."
BUSY = f"The storage was busy for too long. {KEPT} Do it again."
AWAY = f"The storage cannot be reached. {KEPT} Look whether it runs and whether DRAWNDOSE_DATABASE names it."
SHUT = f"The file of the storage cannot be opened. {KEPT} See that it is there and that this user may write its folder, then do it again."
FAILING = f"The disk gave a fault. {KEPT} Look after the disk before you go on."
UNMADE = "The storage has no tables yet, or older ones. Run: drawndose department start"

_SQLSTATES = {"53100": FULL, "25006": READ_ONLY, "55P03": BUSY, "40P01": BUSY, "58030": FAILING, "42P01": UNMADE}
_SQLITE = {
    "full": FULL,
    "readonly": READ_ONLY,
    "locked": BUSY,
    "disk I/O": FAILING,
    "unable to open": SHUT,
    "no such table": UNMADE,
    "no such column": UNMADE,
    "malformed": FAILING,
    "not a database": AWAY,
}
_SYSTEM = {
    errno.ENOSPC: FULL,
    errno.EDQUOT: FULL,
    errno.EFBIG: FULL,
    errno.EROFS: READ_ONLY,
    errno.EACCES: READ_ONLY,
    errno.EIO: FAILING,
}


def told(error: BaseException | None) -> str:
    """The sentence for a fault of storage or disk; empty for a fault of another sort."""
    if isinstance(error, DatabaseError):
        return _of_storage(error)
    if isinstance(error, OSError):
        return _SYSTEM.get(error.errno or 0, "")
    return ""


def _of_storage(error: DatabaseError) -> str:
    state = getattr(error.__cause__, "sqlstate", None)
    if state in _SQLSTATES:
        return _SQLSTATES[state]
    text = str(error)
    for piece, sentence in _SQLITE.items():
        if state is None and piece in text:
            return sentence
    # PostgreSQL that is away, or goes away, has no state of its own, or one of the class "connection".
    gone = state is None or state[:2] in {"08", "57"}
    return AWAY if gone and isinstance(error, OperationalError) else ""
