"""A sheet without a place: on to where its work goes on."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.views.decorators.http import require_safe

from drawndose.department.pages.sheet.frame import address, on_sheet, place_of
from drawndose.department.people.roles import Right
from drawndose.department.work.models import Preparation
from drawndose.department.work.planning import plan_of


@require_safe
@on_sheet(Right.SEE_WORK)
def sheet(request: HttpRequest, made: Preparation) -> HttpResponse:
    """To the place that is due and that this person may work at; else to the record."""
    place = place_of(made)
    if made.state == "drawn" and made.read_by_id is None and plan_of(made).second_reader:
        place = "second"
    rights = {"second": (Right.READ_SECOND, Right.PREPARE), "give": (Right.GIVE,), "close": (Right.GIVE, Right.PREPARE)}
    wanted = rights.get(place, (Right.PREPARE,))
    may = place == "record" or any(request.user.may(right) for right in wanted)
    return HttpResponseRedirect(address(made, place if may else "record"))
