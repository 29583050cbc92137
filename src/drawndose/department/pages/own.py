"""One's own page: what I may do, my site, my password, my PIN."""

from __future__ import annotations

from django.conf import settings
from django.contrib.auth import update_session_auth_hash
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from drawndose.department.pages.access import signed_in
from drawndose.department.pages.acting import Outcome, act
from drawndose.department.pages.device import address_of
from drawndose.department.pages.idle import own
from drawndose.department.pages.page import page
from drawndose.department.pages.sites import choose_site, site_of
from drawndose.department.people import sittings
from drawndose.department.people.limits import limits
from drawndose.department.people.roles import Role, rights_of
from drawndose.department.people.secrets import PIN_DIGITS, SHORTEST, change_password, change_pin
from drawndose.department.web import device
from drawndose.department.web.views import A_YEAR
from drawndose.department.work.models import Site
from drawndose.quantities import Fault, Refused, gather

DONE = {
    "password": "Your password is changed. Other devices where you were signed in are signed off.",
    "pin": "Your PIN is set.",
    "pin-away": "You have no PIN any more. The password returns an idle session.",
    "site": "Your site is kept until you sign off.",
    "device": "Kept in this browser, for whoever uses it.",
}


@own
@require_http_methods(["GET", "HEAD", "POST"])
@signed_in
def me(request: HttpRequest) -> HttpResponse:
    """The page, and each of its forms, told apart by `do`."""
    outcome, do = None, request.POST.get("do", "")
    if request.method == "POST":
        outcome = act(lambda: _do(request, do))
        if outcome.done:
            return _kept_here(request, do, HttpResponseRedirect(f"{reverse('me')}?done={do}"))
    person = request.user
    context = {
        "here": "me",
        "outcome": outcome or Outcome(done=True),
        "do": do,
        "done": DONE.get(request.GET.get("done", ""), ""),
        "roles": [role.value for role in Role if role in person.roles()],
        "rights": sorted(right.value for right in rights_of(person.roles())),
        "sites": Site.objects.order_by("name"),
        "site": site_of(request),
        "shortest": SHORTEST,
        "digits": PIN_DIGITS,
        "second_by_pin": limits().second_by_pin,
        "device": device.chosen(request),
        "sides": device.SIDES,
        "tones": device.TONES,
    }
    return page(request, "department/me.html", context, status=200 if outcome is None else outcome.status)


def _kept_here(request: HttpRequest, do: str, answer: HttpResponse) -> HttpResponse:
    """The answer, which keeps what was chosen for this device in its browser."""
    for name in device.CHOICES if do == "device" else ():
        answer.set_cookie(
            name, request.POST[name], max_age=A_YEAR, samesite="Strict", secure=settings.SESSION_COOKIE_SECURE
        )
    return answer


def _choose_device(request: HttpRequest) -> None:
    """Refused with every choice that is none."""
    came = {name: request.POST.get(name, "") for name in device.CHOICES}
    gather(
        Fault(field=name, rule="there is no such choice", came=came[name], accepted=", ".join(words))
        for name, words in device.CHOICES.items()
        if came[name] not in words
    )


def _do(request: HttpRequest, do: str) -> None:
    """Carry out one form. The boxes of secrets are taken as they were typed, spaces and all."""
    person, address = request.user, address_of(request)
    typed = {name: request.POST.get(name, "") for name in ("password", "new_password", "again_password")}
    if do == "password":
        change_password(person, *typed.values(), address=address)
        update_session_auth_hash(request, person)
        sittings.moved(request.sitting, request.session.session_key)
    elif do == "pin":
        pin, again = (request.POST.get(name, "").strip() for name in ("new_pin", "again_pin"))
        _given(pin)
        change_pin(person, typed["password"], pin, again, address=address)
    elif do == "pin-away":
        change_pin(person, typed["password"], "", "", address=address)
    elif do == "device":
        _choose_device(request)
    elif do != "site" or choose_site(request, request.POST.get("site", "")) is None:
        raise Refused([Fault(field="page", rule="there is no such choice", came=do, accepted="one of this page's")])


def _given(pin: str) -> None:
    if not pin:
        accepted = f"{PIN_DIGITS} digits or more"
        raise Refused([Fault(field="new PIN", rule="a PIN is wanted", came="nothing", accepted=accepted)])
