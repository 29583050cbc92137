"""Signing in and out."""

from __future__ import annotations

from django.contrib.auth import authenticate, login, logout
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_http_methods, require_POST

from drawndose.department.pages.page import page


@require_http_methods(["GET", "HEAD", "POST"])
def sign_in(request: HttpRequest) -> HttpResponse:
    """The sign-in page; a wrong name and a wrong password are not told apart."""
    back = request.POST.get("next") or request.GET.get("next") or reverse("board")
    if not url_has_allowed_host_and_scheme(back, allowed_hosts=None):
        back = reverse("board")
    wrong = False
    username = request.POST.get("username", "").strip().lower()
    if request.method == "POST":
        person = authenticate(request, username=username, password=request.POST.get("password", ""))
        if person is not None:
            login(request, person)
            return HttpResponseRedirect(back)
        wrong = True
    context = {"next": back, "wrong": wrong, "username": username}
    return page(request, "department/sign_in.html", context, status=422 if wrong else 200)


@require_POST
def sign_off(request: HttpRequest) -> HttpResponse:
    """Sign off, and back to the sign-in page."""
    logout(request)
    return HttpResponseRedirect(reverse("sign-in"))
