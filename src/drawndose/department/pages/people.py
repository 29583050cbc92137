"""The persons of the department: who they are, what they may do, and since when not any more."""

from __future__ import annotations

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from drawndose.bench.moments import told_day
from drawndose.department.ledger import append as ledger
from drawndose.department.pages.access import allowed
from drawndose.department.pages.acting import Outcome, act, new_key, sent
from drawndose.department.pages.page import page
from drawndose.department.pages.sites import site_of
from drawndose.department.people import roster, tries
from drawndose.department.people.limits import limits, minutes
from drawndose.department.people.models import Person
from drawndose.department.people.roles import RIGHTS, Right, Role
from drawndose.department.people.secrets import SHORTEST
from drawndose.department.work.places import local
from drawndose.quantities import Fault, Refused

NONE = Outcome(done=True)


@require_http_methods(["GET", "HEAD", "POST"])
@allowed(Right.KEEP_PEOPLE)
def people(request: HttpRequest) -> HttpResponse:
    """Everyone, those who are active first; and the form that adds one."""
    outcome = NONE
    if request.method == "POST":
        outcome = _added(request)
        if outcome.done:
            return HttpResponseRedirect(_address(outcome.value) if outcome.value else reverse("people"))
    persons = Person.objects.prefetch_related("roleheld_set").order_by("-is_active", "name", "pk")
    context = {
        "here": "people",
        "persons": [(one, _held(one), _state(one)) for one in persons],
        "outcome": outcome,
        "key": new_key(),
        "typed": request.POST,
        "roles": [(role.value, _may(role), role.value in request.POST.getlist("role")) for role in Role],
        "shortest": SHORTEST,
    }
    return page(request, "department/people.html", context, status=outcome.status)


def _added(request: HttpRequest) -> Outcome:
    form = sent(request)

    def add() -> Person:
        known = {role.value: role for role in Role}
        roles = {known[one] for one in request.POST.getlist("role") if one in known}
        username, name = form.fields.get("username", ""), form.fields.get("name", "")
        # A password is taken as it was typed, spaces and all.
        password, reason = request.POST.get("first_password", ""), form.fields.get("reason", "")
        return roster.add(username, name, roles, password, by=request.user, reason=reason, key=form.key)

    return act(add, key=form.key)


@require_http_methods(["GET", "HEAD", "POST"])
@allowed(Right.KEEP_PEOPLE)
def person(request: HttpRequest, number: int) -> HttpResponse:
    """One person: roles given and taken, a first password set anew, let go and taken back."""
    of = get_object_or_404(Person, pk=number)
    outcome, form = NONE, sent(request)
    if request.method == "POST":
        do = request.POST.get("do", "")
        # One form has several buttons: each of them is an act of its own, so its name belongs to the key.
        key = f"{form.key[:36]}:{do}"[:64]
        reason = form.fields.get("reason", "")
        outcome = act(lambda: _do(request, of, do)(by=request.user, reason=reason, key=key), key=key)
        if outcome.done:
            return HttpResponseRedirect(_address(of))
    of.refresh_from_db()
    site = site_of(request)
    context = {
        "here": "people",
        "of": of,
        "state": _state(of),
        "locked": _locked(of),
        "added": told_day(local(site, of.added_at) if site is not None else of.added_at),
        "mine": of.pk == request.user.pk,
        "roles": [(role.value, _may(role), role in _all_roles(of)) for role in Role],
        "outcome": outcome,
        "key": new_key(),
        "reason": form.fields.get("reason", ""),
        "shortest": SHORTEST,
    }
    return page(request, "department/person.html", context, status=outcome.status)


def _do(request: HttpRequest, of: Person, do: str) -> Callable[..., None]:
    """The service that a button names, with what it needs beside who, why and key."""
    act_of, _, role = do.partition(" ")
    known = {one.value: one for one in Role}
    if act_of in {"give", "take"} and role in known:
        service = roster.give if act_of == "give" else roster.take
        return lambda **more: service(of, known[role], **more)
    plain = {"deactivate": roster.deactivate, "activate": roster.activate}
    if do in plain:
        return lambda **more: plain[do](of, **more)
    if do == "password":
        return lambda **more: roster.set_password(of, request.POST.get("first_password", ""), **more)
    raise Refused([Fault(field="page", rule="there is no such act", came=do, accepted="one of this page's buttons")])


def _all_roles(of: Person) -> set[Role]:
    """The roles as they are kept, also of someone who is not active and may do nothing."""
    return {Role(held.role) for held in of.roleheld_set.all()}


def _held(of: Person) -> str:
    return ", ".join(role.value for role in Role if role in _all_roles(of)) or "no role"


def _may(role: Role) -> str:
    return "; ".join(right.value for right in Right if right in RIGHTS[role])


def _state(of: Person) -> str:
    if not of.is_active:
        return "not active"
    return "first password not changed yet" if of.must_change else "active"


def _locked(of: Person) -> int:
    """For how many minutes more the name is locked; 0 when it is not."""
    rules, at = limits(), ledger.now()
    until = tries.locked_until(tries.Counted("person", str(of.pk), rules.failures), rules.lock, at)
    return minutes(until - at) if until is not None else 0


def _address(of: Person) -> str:
    return reverse("person", args=[of.pk])
