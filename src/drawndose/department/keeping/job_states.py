"""The states of long work, as data: from a state, by what happens, to a state. It is no record, and stands in no ledger."""

from drawndose.department.work.states import Table

JOB: Table = {
    "": {"job.submitted": "waiting"},
    "waiting": {"job.claimed": "running"},
    "running": {
        "job.claimed": "running",
        "job.laid_down": "waiting",
        "job.done": "done",
        "job.failed": "failed",
    },
    "done": {},
    "failed": {},
}
"""A running job is claimed again when its worker has not been heard of for the length of its lease."""
