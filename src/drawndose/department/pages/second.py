"""The second person on a page: the part of the form, and who it is. The session of the first is not touched.

A view that needs a second person puts `second_part(request, right)` into its context as `second`, includes
`department/_second_person.html` in its form, and takes the person inside `act`, outside of any transaction of its own:

    act(lambda: preparing.read_again(made, readings, by=with_second_person(request, Right.READ_SECOND), version=..., key=...))
"""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest

from drawndose.department.pages.device import address_of
from drawndose.department.people.models import Person
from drawndose.department.people.roles import Right, roles_with
from drawndose.department.people.second import second_person, secret_words

NAME, SECRET = "second_name", "second_secret"
"""The boxes of the form. The secret is never shown again, and never kept."""


def with_second_person(request: HttpRequest, right: Right) -> Person:
    """The second person of this form, for this one act. Refused when there is none, or it is not they, or they may not."""
    return second_person(
        request.POST.get(NAME, ""),
        request.POST.get(SECRET, ""),
        first=request.user,
        right=right,
        address=address_of(request),
    )


def second_part(request: HttpRequest, right: Right) -> dict[str, Any]:
    """What `_second_person.html` shows: the name as typed, who may, and what they sign with."""
    return {"name": request.POST.get(NAME, ""), "who": ", ".join(roles_with(right)), "secret": secret_words()}
