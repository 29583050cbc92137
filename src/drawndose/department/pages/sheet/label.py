"""Label: what stands on it, at its size; writing it, and printing it again. PDF and picture are of one layout."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_http_methods, require_safe

from drawndose.bench.labels import LabelLine
from drawndose.department.pages.acting import Outcome, act
from drawndose.department.pages.label_sizes import sizes_here
from drawndose.department.pages.own_codes import code_of, of_code
from drawndose.department.pages.page import page
from drawndose.department.pages.sheet.draw import Button
from drawndose.department.pages.sheet.frame import (
    Stop,
    acted,
    address,
    draft_name,
    go,
    held,
    mine_to_make,
    on_sheet,
    shown,
)
from drawndose.department.people.roles import Right
from drawndose.department.printing import Printed, cup, cup_of_plan, print_label
from drawndose.department.printing.label import Label
from drawndose.department.work import checklist, preparing
from drawndose.department.work.models import Preparation
from drawndose.department.work.planning import plan_of
from drawndose.quantities import Fault, Refused, gather

SHOWN = {"drawn", "labelled", "given", "not given", "closed"}
"""The states in which there is a label to look at."""


@require_http_methods(["GET", "HEAD", "POST"])
@on_sheet(Right.PREPARE, Right.GIVE)
def label(request: HttpRequest, made: Preparation) -> HttpResponse:
    """The label's place. POST: its content is written, and it is printed."""
    if request.method != "POST":
        return _page(request, made)
    if "scan" in request.POST:
        seen = act(lambda: _its_label(request.POST["scan"].strip(), made))
        return go(request, f"{address(made, 'give')}?label=yes") if seen.done else _page(request, made, seen)
    outcome = acted(request, made, lambda form: _write(request, made, form.version, form.key))
    if not outcome.done:
        return _page(request, made, outcome)
    return go(request, f"{address(made, 'label')}?print=1", outcome, draft_name(made, "label"))


def _write(request: HttpRequest, made: Preparation, version: int, key: str) -> None:
    if not mine_to_make(request, made):
        rule = f"{made.by.name} prepares this one"
        raise Refused([Fault(field="sheet", rule=rule, came=request.user.name, accepted=made.by.name)])
    check = (
        checklist.next_check(checklist.checklist(made, plan_of(made)), drawn=True) if made.state == "drawn" else None
    )
    if check is not None:
        accepted = f"scan {'; '.join(checklist.name_of(one) for one in check.wanted)}, on the page Draw"
        gather([Fault(field="label check", rule=check.step.says.rstrip("."), came="no scan", accepted=accepted)])
    preparing.label(made, by=request.user, version=version, key=key)


def _its_label(scanned: str, made: Preparation) -> None:
    """Refused for anything but the label of this sheet, with whose label it is."""
    found = of_code(scanned) if scanned else None
    if found == made:
        return
    rule = "this is not the label of this sheet"
    if isinstance(found, Preparation):
        rule = f"this label is for {found.order.patient.name}, no. {found.order.patient.number}"
    raise Refused([Fault(field="label", rule=rule, came=scanned, accepted=f"the label {code_of(made)}")])


def _page(request: HttpRequest, made: Preparation, outcome: Outcome | None = None) -> HttpResponse:
    if made.state not in SHOWN:
        return shown(request, made, "label", {"waits": True}, outcome=outcome)
    plan, stops = plan_of(made), held(made)
    reading = bool(plan.second_reader) and made.read_by_id is None
    mine = mine_to_make(request, made)
    check = made.state == "drawn" and checklist.next_check(checklist.checklist(made, plan), drawn=True) is not None
    context = {
        "lines": _words(made),
        "stops": stops,
        "written": bool(made.label),
        "preview": bool(made.label) or not (stops or reading or check),
        "print_now": request.GET.get("print") == "1" and bool(made.label),
        "code": code_of(made),
        "mine": mine,
        "plan": plan,
        "button": _button(made, stops, reading=reading, check=check, mine=mine),
    }
    return shown(request, made, "label", context, outcome=outcome, plan=plan)


def lines_of(made: Preparation) -> tuple[LabelLine, ...]:
    """The label's lines: as they were written, else as they would be."""
    if made.label:
        return tuple(LabelLine(name=one["name"], text=one["text"], large=one["large"]) for one in made.label)
    return preparing.label_lines(made, plan_of(made))


def _words(made: Preparation) -> tuple[LabelLine, ...]:
    """What prints, line by line; what is to be written by hand where a part of it is missing."""
    try:
        content = content_of(made)
    except Refused:
        return lines_of(made)
    return tuple(LabelLine(name="", text=one.text, large=one.large) for one in (*content.lines, *content.beside))


def _button(made: Preparation, stops: tuple[Stop, ...], *, reading: bool, check: bool, mine: bool) -> Button | None:
    if stops:
        return Button(words="Break it off", to=address(made, "break-off"))
    if made.label:
        return Button(words="Go to giving", to=address(made, "give"))
    if not mine:
        return None
    if check:
        return Button(words="Check the label of the container first", to=f"{address(made, 'draw')}#check")
    if reading:
        return Button(words="To the second reading", to=address(made, "second"))
    return Button(words="Print label", form="label-form", value="label")


def content_of(made: Preparation) -> Label:
    """The label before it has a size, as another person needs it. Refused when a part is missing that must be on it."""
    return cup(cup_of_plan(plan_of(made), lines_of(made), code=code_of(made), for_another=True))


@require_safe
@on_sheet(Right.PREPARE, Right.GIVE, Right.SEE_WORK)
def label_pdf(request: HttpRequest, made: Preparation) -> HttpResponse:
    """The label as PDF, on the first size of label that holds it whole."""
    return _file(request, made, "application/pdf", lambda printed: printed.pdf)


@require_safe
@on_sheet(Right.PREPARE, Right.GIVE, Right.SEE_WORK)
def label_png(request: HttpRequest, made: Preparation) -> HttpResponse:
    """The same layout as a picture; what is drawn and not written yet is shown as it will be."""
    return _file(request, made, "image/png", lambda printed: printed.png)


def _file(request: HttpRequest, made: Preparation, kind: str, part) -> HttpResponse:  # type: ignore[no-untyped-def]
    if not made.label and (made.state != "drawn" or kind != "image/png"):
        context = {"title": "Label waits for a reading", "words": "Nothing was drawn and labelled on this sheet yet."}
        return page(request, "department/told.html", context, status=404)
    try:
        printed: Printed = print_label(content_of(made), sizes_here())
    except Refused as refused:
        words = " ".join(f"{one.rule}: {one.came}." for one in refused.faults)
        context = {"title": "No label here holds it", "words": words, "do": "Copy it by hand from the page."}
        return page(request, "department/told.html", context, status=422)
    name = f"label-{made.pk}.{'pdf' if kind.endswith('pdf') else 'png'}"
    return HttpResponse(part(printed), content_type=kind, headers={"Content-Disposition": f'inline; filename="{name}"'})
