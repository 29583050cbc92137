"""What someone types and has not sent is kept for them on the server; a press, or sending it, lets it go."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_POST

from drawndose.department.pages.access import signed_in
from drawndose.department.work import drafts

SECRET = ("csrfmiddlewaretoken", "second_secret", "key", "version", "draft", "next", "do")
"""Fields that are never kept, or that a form carries for itself."""


@require_POST
@signed_in
def draft(request: HttpRequest) -> HttpResponse:
    """Keep the fields of a form under its name (`draft`); with nothing typed it is let go. Without scripts: back to `next`."""
    fields = {name: value for name, value in request.POST.items() if name not in SECRET and "secret" not in name}
    drafts.keep(request.user, request.POST.get("draft", ""), fields)
    back = request.POST.get("next", "")
    if back and url_has_allowed_host_and_scheme(back, allowed_hosts=None):
        return HttpResponseRedirect(back)
    return HttpResponse(status=204)
