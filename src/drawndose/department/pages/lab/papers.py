"""The lab on paper: the papers of a day, the file of a class and of a learner, as PDF for the system's print dialog."""

from __future__ import annotations

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from drawndose.bench.moments import told as told_moment
from drawndose.department.ledger.append import now
from drawndose.department.pages.access import allowed
from drawndose.department.pages.lab.frame import place_of, sits_in, today, told
from drawndose.department.pages.label_sizes import paper_here
from drawndose.department.people.roles import Right
from drawndose.department.training import days
from drawndose.department.training.cohort import ident
from drawndose.department.training.forms import forms_in_use
from drawndose.department.training.models import Cohort, LabDay, Learner
from drawndose.department.training.records import records_of_class, records_of_learner
from drawndose.department.work.places import local
from drawndose.lab.papers.class_file import class_file
from drawndose.lab.papers.document import Document, pdf_of
from drawndose.lab.papers.laid import Laid
from drawndose.lab.papers.learner_file import learner_file
from drawndose.lab.papers.pack import KINDS, WHOLE, documents
from drawndose.quantities import Refused


@require_safe
@allowed(Right.TEACH, Right.SET_POLICY)
def day(request: HttpRequest, number: int, kind: str) -> HttpResponse:
    """One kind of paper of a day. Nobody who sits in it prints them: the key is among them."""
    row = LabDay.objects.filter(pk=number).first()
    if row is None or kind not in {*KINDS, WHOLE}:
        return told(request, "No such paper", f"There is no paper {kind} of a day {number}.")
    if Learner.objects.filter(pk__in=row.seats, person=request.user).exists():
        return told(request, "Not yours to print", "You sit in this day yourself: another evaluator prints it.", 403)
    return _pdf(request, lambda: documents(laid(row, _printed(request)), kind, forms_in_use()), f"lab-{row.pk}-{kind}")


def laid(row: LabDay, printed: str) -> Laid:
    """The day with its learners' names. Refused where the seed draws other tasks than the cards hold."""
    names = tuple(one.name for one in days.seated(row))
    return Laid(tasks=days.again(row), printed=printed, title=row.title, names=names)


@require_safe
@allowed(Right.TEACH, Right.SET_POLICY)
def cohort(request: HttpRequest, number: int) -> HttpResponse:
    """The file of a class."""
    row = Cohort.objects.filter(pk=number).first()
    if row is None or sits_in(request.user, row):
        return told(request, "No such class", f"There is no class {number} here, or you are a learner of it.")
    who = [ident(one) for one in row.learner_set.select_related("person").order_by("number")]
    zone = place_of(request).zone

    def made() -> tuple[Document, ...]:
        found = records_of_class(row, zone, today(request))
        return (class_file(found, who, of=row.name, printed=_printed(request)),)

    return _pdf(request, made, f"class-{row.pk}")


@require_safe
@allowed(Right.TEACH, Right.SET_POLICY)
def learner(request: HttpRequest, number: int) -> HttpResponse:
    """The file of one learner, for evaluators and the manager."""
    row = Learner.objects.select_related("cohort", "person").filter(pk=number).first()
    if row is None or row.person_id == request.user.pk:
        return told(request, "No such learner", "There is none of this number, or it is you: see My training.")
    return _learner(request, row)


@require_safe
@allowed(Right.LEARN)
def own(request: HttpRequest, number: int) -> HttpResponse:
    """A learner's own file."""
    row = Learner.objects.select_related("cohort", "person").filter(pk=number, person=request.user).first()
    if row is None:
        return told(request, "No such file", "A learner sees their own file, and no one else's.")
    return _learner(request, row)


def _learner(request: HttpRequest, row: Learner) -> HttpResponse:
    zone = place_of(request).zone

    def made() -> tuple[Document, ...]:
        found = records_of_learner(row, zone, today(request))
        return (learner_file(found, ident(row), of=row.cohort.name, printed=_printed(request)),)

    return _pdf(request, made, f"learner-{row.pk}")


def _printed(request: HttpRequest) -> str:
    return f"Printed {told_moment(local(place_of(request), now()))} by {request.user.name}"  # type: ignore[arg-type]


def _pdf(request: HttpRequest, made: Callable[[], tuple[Document, ...]], name: str) -> HttpResponse:
    """The PDF, or a page that says why there is none."""
    try:
        pdf = pdf_of(made(), paper_here())
    except Refused as refused:
        words = " ".join(f"{one.rule}: {one.came}." for one in refused.faults)
        return told(request, "This cannot be printed", words, 422)
    headers = {"Content-Disposition": f'inline; filename="{name}.pdf"'}
    return HttpResponse(pdf, content_type="application/pdf", headers=headers)
