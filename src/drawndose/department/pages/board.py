"""The board: what is due, being prepared, prepared and waiting, given."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from drawndose.department.pages.access import allowed
from drawndose.department.pages.idle import left_open
from drawndose.department.pages.page import page
from drawndose.department.people.roles import Right


@left_open(lambda request: "wall" in request.GET)
@require_safe
@allowed(Right.SEE_WORK)
def board(request: HttpRequest) -> HttpResponse:
    """Now and the next two hours."""
    return page(request, "department/board.html", {})
