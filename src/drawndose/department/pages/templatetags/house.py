"""How the pages that keep records tell moments, days and volumes: by the clock of the site, in words that cannot be misread."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime
from typing import Any

from django import template

from drawndose.bench.moments import told, told_day
from drawndose.department.ledger.models import Event
from drawndose.department.pages.misread import misread
from drawndose.department.web.templatetags.bench import glue
from drawndose.department.work.change import volume_words
from drawndose.department.work.checklist import name_of
from drawndose.department.work.models import Container, Patient, Site
from drawndose.department.work.patients import weight_words
from drawndose.department.work.places import local
from drawndose.department.work.reading import kilograms
from drawndose.quantities import show

register = template.Library()


@register.filter
def at_site(moment: datetime | None, site: Site) -> str:
    """25 Nov 2026 14:05, by the clock of the site; "Not recorded" for none."""
    return told(local(site, moment)) if moment is not None else "Not recorded"


@register.filter
def clock_at(moment: datetime, site: Site) -> str:
    """14:05."""
    return f"{local(site, moment):%H:%M}"


@register.filter
def day(value: date | None) -> str:
    """25 Nov 2026; "Not recorded" for none."""
    return told_day(value) if value is not None else "Not recorded"


@register.filter
def nl(volume: int | None) -> str:
    """A volume in nanolitres for people."""
    return glue(volume_words(volume)) if volume is not None else "Not recorded"


@register.filter
def weight_of(patient: Patient) -> str:
    """8.4 kg, weighed 25 Nov 2026."""
    return glue(weight_words(patient))


@register.filter
def grams(weight: int) -> str:
    """A weight in grams for people: 8.4 kg."""
    return glue(show(kilograms(weight)))


@register.filter
def container_name(container: Container) -> str:
    """Product, size and lot."""
    return glue(name_of(container))


@register.filter
def happened(event: Event) -> str:
    """What an event is called on a page: Opened, Not given."""
    words = event.name.partition(".")[2].replace("_", " ")
    return words[:1].upper() + words[1:]


@register.filter
def misread_in(event: Event) -> tuple[str, ...]:
    """What in its typed texts has been misread."""
    return misread(event)


@register.filter
def told_of(event: Event) -> str:
    """What of an event's content a person wants to read beside its name."""
    teller = TELLERS.get(event.name)
    return teller(event.content) if teller is not None else ""


Content = dict[str, Any]


def _volume(content: Content, name: str) -> str:
    return volume_words(int(content[name]))


def _day(text: str) -> str:
    return told_day(date.fromisoformat(text))


def _received(content: Content) -> str:
    return f"lot {content['lot']}, last day {_day(content['expiry'])}, holds {_volume(content, 'holds_nl')}"


def _opened(content: Content) -> str:
    owner = f", for no. {content['owner']}" if content.get("owner") else ""
    day = content.get("discard_after")
    return f"discard after {_day(day)}{owner}" if day else f"no discard date{owner}"


def _moved(content: Content) -> str:
    bedside = ", at a bedside" if content.get("bedside") else ""
    return f"from {content['from'] or 'no place'} to {content['to'] or 'no place'}{bedside}"


def _weighed(content: Content) -> str:
    grams = content.get("weight_g")
    return show(kilograms(int(grams))) + f", {_day(content['weighed_on'])}" if grams else ""


TELLERS: dict[str, Callable[[Content], str]] = {
    "container.received": _received,
    "container.opened": _opened,
    "container.drawn": lambda content: f"{_volume(content, 'volume_nl')} for sheet {content['preparation']}",
    "container.moved": _moved,
    "container.owned": lambda content: f"for no. {content['owner']}" if content["owner"] else "for nobody",
    "container.corrected": lambda content: f"{_volume(content, 'from_nl')} to {_volume(content, 'left_nl')}",
    "container.emptied": lambda content: f"{_volume(content, 'left_nl')} left by the ledger",
    "container.discarded": lambda content: f"with {_volume(content, 'left_nl')} in it",
    "order.completed": _weighed,
    "order.asked": lambda content: " ".join(content.get("why", [])),
    "patient.weighed": _weighed,
    "patient.allergies": lambda content: content["to"] or "none known",
    "patient.corrected": lambda content: f"was {content['from']['name']}, no. {content['from']['number']}",
}
"""What is told of an event, by its name; of others the name says it."""
