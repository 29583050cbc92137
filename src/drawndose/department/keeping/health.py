"""Pages for what watches a department: does the process live, is it ready to work, and how much there is to do. No one's data."""

from __future__ import annotations

from collections.abc import Iterator
from importlib.metadata import version

from django.db import Error
from django.db.models import Count, Model
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.views.decorators.http import require_safe

from drawndose.department.keeping.job_states import JOB
from drawndose.department.keeping.models import Job
from drawndose.department.keeping.state import ready
from drawndose.department.keeping.troubles import UNMADE, told
from drawndose.department.ledger.append import now
from drawndose.department.ledger.models import Head
from drawndose.department.work.models import Container, DueDose, Order, Preparation
from drawndose.department.work.states import CONTAINER, DOSE, ORDER, PREPARATION, Table

OPENMETRICS = "application/openmetrics-text; version=1.0.0; charset=utf-8"
COUNTED: tuple[tuple[str, type[Model], Table], ...] = (
    ("orders", Order, ORDER),
    ("doses", DueDose, DOSE),
    ("containers", Container, CONTAINER),
    ("preparations", Preparation, PREPARATION),
    ("jobs", Job, JOB),
)


@require_safe
def health(request: HttpRequest) -> HttpResponse:
    """The process answers. It asks nothing of the storage: a process is not started anew because the storage is away."""
    return JsonResponse({"says": "here"})


@require_safe
def readiness(request: HttpRequest) -> HttpResponse:
    """Ready to work: the storage answers, has its tables and was founded. 503 with the reason when not."""
    says = ready()
    return JsonResponse({"ready": not says, "says": says}, status=503 if says else 200)


@require_safe
def metrics(request: HttpRequest) -> HttpResponse:
    """Counts out of the storage, in the OpenMetrics text format 1.0: the same whichever process is asked. 503 when it is away."""
    try:
        body = "\n".join([*_lines(), "# EOF", ""])
    except Error as error:
        return HttpResponse(told(error) or UNMADE, status=503, content_type="text/plain; charset=utf-8")
    return HttpResponse(body, content_type=OPENMETRICS)


def _lines() -> Iterator[str]:
    yield from _head("drawndose_build", "info", "The version that answers.")
    yield f'drawndose_build_info{{version="{version("drawndose")}"}} 1'
    for name, model, states in COUNTED:
        found = dict(model._base_manager.values_list("state").annotate(Count("pk")))
        yield from _head(f"drawndose_{name}", "gauge", f"How many {name} are in each state.")
        for state in states:
            if state:
                yield f'drawndose_{name}{{state="{state}"}} {found.get(state, 0)}'
    yield from _head("drawndose_doses_late", "gauge", "Due doses that nobody has begun and whose window is past.")
    yield f"drawndose_doses_late {DueDose.objects.filter(state='due', to_at__lt=now()).count()}"
    head = Head.objects.filter(pk=1).first()
    if head is not None:
        yield from _head("drawndose_events", "counter", "Events in the ledger.")
        yield f"drawndose_events_total {head.number}"
        if head.at is not None:
            yield from _head("drawndose_last_event_seconds", "gauge", "When the last event was, in seconds since 1970.")
            yield f"drawndose_last_event_seconds {head.at.timestamp():.3f}"


def _head(name: str, kind: str, says: str) -> Iterator[str]:
    yield f"# TYPE {name} {kind}"
    yield f"# HELP {name} {says}"
