"""The sites of the department: which there are, one more, another name."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from drawndose.department.ledger.append import now
from drawndose.department.pages.access import allowed
from drawndose.department.pages.acting import act, new_key, sent
from drawndose.department.pages.page import page
from drawndose.department.people.roles import Right
from drawndose.department.work import sites as service
from drawndose.department.work.models import Site
from drawndose.department.work.places import local
from drawndose.quantities import Fault, Refused


@require_http_methods(["GET", "HEAD", "POST"])
@allowed(Right.KEEP_PEOPLE)
def places(request: HttpRequest) -> HttpResponse:
    """Every site with its clock. POST: one is added, or called otherwise."""
    outcome, form = None, sent(request)
    if request.method == "POST":
        outcome = act(lambda: _do(request, form.fields, form.key), key=form.key)
        if outcome.done:
            return HttpResponseRedirect(reverse("places"))
    context = {
        "here": "people",
        "outcome": outcome,
        "key": new_key(),
        "typed": form.fields if outcome is not None else {},
        "sites": [(one, f"{local(one, now()):%d %b %Y %H:%M}") for one in Site.objects.order_by("pk")],
        "longest": service.LONGEST,
    }
    return page(request, "department/places.html", context, status=outcome.status if outcome is not None else 200)


def _do(request: HttpRequest, fields: dict[str, str], key: str) -> None:
    actor = request.user.username
    if fields.get("do") == "add":
        service.add(fields.get("name", ""), fields.get("zone", ""), actor=actor, key=key)
        return
    number = fields.get("site", "")
    known = number.isascii() and number.isdecimal() and len(number) < 19
    site = Site.objects.filter(pk=int(number)).first() if known else None
    if fields.get("do") != "rename" or site is None:
        rule = "there is no such site, or no such act"
        raise Refused([Fault(field="page", rule=rule, came=number, accepted="one of this page's")])
    seen, reason = fields.get("seen", ""), fields.get("reason", "")
    service.rename(site, fields.get("name", ""), seen=seen, reason=reason, actor=actor, key=key)
