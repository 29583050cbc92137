"""Addresses that another part of the pages may or may not have, and what a person may do, for links that never break."""

from __future__ import annotations

from typing import Any

from django.urls import NoReverseMatch, reverse

from drawndose.department.people.models import Person
from drawndose.department.people.roles import Right, rights_of
from drawndose.department.work.models import Preparation

GOES_ON = {"begun": "in-hand", "planned": "draw", "drawn": "label", "labelled": "give", "closed": "record"}
"""The place of a sheet where the work on a preparation of this state goes on; whatever else was decided is closed."""


def there(name: str, *args: Any) -> str:
    """The address of this name; "" where there is no such page."""
    try:
        return reverse(name, args=args)
    except NoReverseMatch:
        return ""


def sheet_address(made: Preparation) -> str:
    """The address of a sheet, which leads each person to where their work on it goes on; "" where there are no sheets."""
    return there("sheet", made.pk)


def may_any(person: Person, *rights: Right) -> bool:
    """True when the person holds one of the rights."""
    return bool(rights_of(person.roles()) & set(rights))
