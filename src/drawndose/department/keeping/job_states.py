"""The states of long work, as data: from a state, by what happens, to a state. It is no record, and stands in no ledger."""

from drawndose.department.work.states import Table

JOB: Table = {
    "": {"job.submitted": "waiting"},
    "waiting": {"job.claimed": "running", "job.cancelled": "cancelled"},
    "running": {
        "job.claimed": "running",
        "job.laid_down": "waiting",
        "job.done": "done",
        "job.failed": "failed",
        "job.cancelled": "cancelled",
    },
    "done": {},
    "failed": {},
    "cancelled": {},
}
"""A running job is claimed again when its worker has not been heard of for the length of its lease. Cancelled while it runs, it is laid
aside by its worker at the next step of progress: nothing of it was written, for what it writes it writes together with its end."""
OPEN = ("waiting", "running")
"""The states of a job that may still come to something."""
