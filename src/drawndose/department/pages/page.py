"""Every page that keeps records is drawn here: lighting, who is signed in, what kind of records these are."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import NoReverseMatch, reverse

from drawndose.department.pages.veil import veil_part
from drawndose.department.people.models import Person
from drawndose.department.people.roles import Right, rights_of
from drawndose.department.web.page import LIGHTS
from drawndose.department.web.views import light_of

PLACES = (
    ("board", "Board", Right.SEE_WORK),
    ("shelf", "Shelf", Right.SEE_WORK),
    ("patients", "Patients", Right.SEE_WORK),
    ("records", "Records", Right.SEE_WORK),
    ("day", "Day report", Right.SEE_DAY),
    ("policy", "Policy", Right.SEE_WORK),
    ("jobs", "Long work", Right.MOVE_DATA),
    ("lab", "Skills lab", Right.TEACH),
    ("lab-programme", "Training", Right.SET_POLICY),
    ("lab-mine", "My training", Right.LEARN),
    ("people", "People", Right.KEEP_PEOPLE),
)
"""The places of the department: address name, word, and the right to see it."""


def _there(name: str) -> bool:
    """True when an address of this name exists."""
    try:
        reverse(name)
    except NoReverseMatch:
        return False
    return True


def places_of(person: Person) -> list[tuple[str, str]]:
    """The places that this person may see, as address name and word."""
    held = rights_of(person.roles())
    return [(name, word) for name, word, right in PLACES if right in held and _there(name)]


def page(request: HttpRequest, template: str, context: dict[str, Any], status: int = 200) -> HttpResponse:
    """The page, with what every page shows."""
    person = request.user if request.user.is_authenticated else None
    shared = {
        "light": light_of(request),
        "lights": LIGHTS,
        "person": person,
        "places": places_of(person) if person is not None else [],
        "veil": veil_part(request.sitting) if hasattr(request, "sitting") else None,
    }
    return render(request, template, shared | context, status=status)
