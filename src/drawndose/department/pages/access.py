"""Who may open a page: signed in, and with a right for it. Said in one line above every view."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any
from urllib.parse import quote

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse

from drawndose.department.pages.page import page
from drawndose.department.people.roles import RIGHTS, Right

View = Callable[..., HttpResponse]


def allowed(*rights: Right) -> Callable[[View], View]:
    """Only for signed-in persons who hold one of the rights. Others are sent to sign in, or told who may."""

    def guard(view: View) -> View:
        @wraps(view)
        def guarded(request: HttpRequest, *args: Any, **more: Any) -> HttpResponse:
            person = request.user
            if not person.is_authenticated:
                return _to_sign_in(request)
            if not any(person.may(right) for right in rights):
                return not_yours(request, rights)
            return view(request, *args, **more)

        guarded.rights = frozenset(rights)  # type: ignore[attr-defined]
        return guarded

    return guard


def signed_in(view: View) -> View:
    """Only for signed-in persons, whatever they may do. A view says in `rights` who it is for; a test reads it."""

    @wraps(view)
    def guarded(request: HttpRequest, *args: Any, **more: Any) -> HttpResponse:
        return view(request, *args, **more) if request.user.is_authenticated else _to_sign_in(request)

    guarded.rights = frozenset(Right)  # type: ignore[attr-defined]
    return guarded


def _to_sign_in(request: HttpRequest) -> HttpResponse:
    """The sign-in page, and back to here afterwards. A part that htmx asked for takes the whole page along."""
    back = request.get_full_path() if request.method in {"GET", "HEAD"} else reverse("board")
    address = f"{reverse('sign-in')}?next={quote(back)}"
    if getattr(request, "htmx", False):
        answer = HttpResponse(status=200)
        answer["HX-Redirect"] = address
        return answer
    return HttpResponseRedirect(address)


def not_yours(request: HttpRequest, rights: tuple[Right, ...]) -> HttpResponse:
    """What this person may not do, and which roles may."""
    roles = sorted(role.value for role, held in RIGHTS.items() if held & set(rights))
    held = ", ".join(sorted(role.value for role in request.user.roles())) or "no role"
    words = f"These may {rights[0].value}: {', '.join(roles)}. You are signed in as {request.user.name}, {held}."
    return page(request, "department/told.html", {"title": "Not yours to do", "words": words}, status=403)
