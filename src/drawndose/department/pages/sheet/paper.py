"""The preparation sheet on paper: everything that the plan says, with the person on every page."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from drawndose.bench.moments import told, told_day
from drawndose.department.ledger.append import now
from drawndose.department.pages.label_sizes import paper_here
from drawndose.department.pages.own_codes import code_of
from drawndose.department.pages.page import page
from drawndose.department.pages.sheet.frame import on_sheet
from drawndose.department.pages.sheet.label import lines_of
from drawndose.department.people.models import Person
from drawndose.department.people.roles import Right
from drawndose.department.printing import PreparationSheet, preparation_sheet, sheet_of_plan
from drawndose.department.work.models import Preparation
from drawndose.department.work.places import local
from drawndose.department.work.planning import plan_of
from drawndose.department.work.policy import own_nebulizers
from drawndose.quantities import Refused

PLANNED = ("planned", "drawn", "labelled", "given", "not given", "closed")
"""The states of a preparation that has a plan to be printed; what was broken off was not made by its plan."""


def content_of(made: Preparation, by: Person) -> PreparationSheet:
    """What the sheet says. Refused where its plan cannot be followed."""
    patient = made.order.patient
    return sheet_of_plan(
        plan_of(made),
        lines_of(made),
        person=f"{patient.name}, born {told_day(patient.born)}, no. {patient.number}",
        printed=f"Printed {told(local(made.order.site, now()))} by {by.name}",
        code=code_of(made),
        nebulizers=own_nebulizers(),
    )


@require_safe
@on_sheet(Right.PREPARE, Right.GIVE, Right.SEE_WORK)
def sheet_pdf(request: HttpRequest, made: Preparation) -> HttpResponse:
    """The preparation sheet as PDF, for the system's print dialog."""
    if made.state not in PLANNED or not made.chosen:
        words = "The sheet waits for its plan: take the container in hand first."
        return page(request, "department/told.html", {"title": "No plan to print", "words": words}, status=404)
    try:
        printed = preparation_sheet(content_of(made, request.user), paper_here())
    except Refused as refused:
        words = " ".join(f"{one.rule}: {one.came}." for one in refused.faults)
        return page(request, "department/told.html", {"title": "This cannot be printed", "words": words}, status=422)
    headers = {"Content-Disposition": f'inline; filename="sheet-{made.pk}.pdf"'}
    return HttpResponse(printed.pdf, content_type="application/pdf", headers=headers)
