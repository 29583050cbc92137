"""Making the invented department: by the services of a real one, under a clock that is set back and goes forward to now."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from django.db import transaction

from drawndose.department.keeping.founding import add_site
from drawndose.department.keeping.invented.cast import GUESTS, SHELF, SITES, Player, players
from drawndose.department.keeping.invented.day import STEPS, Day
from drawndose.department.keeping.invented.lab import LEARNERS, lab_steps
from drawndose.department.ledger.append import pinned
from drawndose.department.ledger.models import Kind
from drawndose.department.ledger.storage import found
from drawndose.department.people import roster, secrets
from drawndose.department.people.models import Person
from drawndose.department.people.roles import Role
from drawndose.department.training.sealed import seeded
from drawndose.department.work import patients, policy, shelf
from drawndose.department.work.models import Patient, Site
from drawndose.department.work.patients import Identity

SEED = 20_261_125
BEFORE = timedelta(days=2)
"""So long ago the invented department was set up."""
HERE = "127.0.0.1"
CHOSEN = (
    ("bottle_life", "28 d"),
    ("second_reading", "concentrate"),
    ("shared_bottles", "no"),
)
"""What the invented manager decided."""


def make(moment: datetime, seed: int = SEED, learners: int = LEARNERS) -> tuple[Player, ...]:
    """Fill an empty storage with the invented department as it stands at a moment. Returned is who may sign in, with the words.

    The same moment, seed and size of the class give the same ledger, to the last hash. Refused when the storage holds anything already.
    """
    who = players(seed)
    with pinned(moment - BEFORE):
        with transaction.atomic():
            found(Kind("demo"), actor=roster.FIRST)
        people = _people(who)
        day = Day(moment=moment, people=people, sites=_sites(), patients={}, orders={}, makings={})
        for name, value in CHOSEN:
            policy.choose(name, value, reason="invented committee, for this demo", by=people["eli"])
        day.patients.update(_patients(people["ana"], day.sites[0]))
        _receive(people["ana"], day)
    happened = [(moment - timedelta(minutes=minutes), step) for minutes, step in STEPS]
    with seeded(seed):
        for at, step in sorted([*happened, *lab_steps(moment, learners)], key=lambda one: one[0]):
            with pinned(at):
                _take(step, day)
    return who


def _take(step: Callable[[Day], None], day: Day) -> None:
    with transaction.atomic():
        step(day)


def _people(who: tuple[Player, ...]) -> dict[str, Person]:
    first = next(one for one in who if Role.ADMINISTRATOR in one.roles)
    admin = roster.first_administrator(first.username, first.name, first.word)
    made = {first.username: admin}
    for one in who:
        if one is not first:
            reason = "invented for the demo"
            made[one.username] = roster.add(one.username, one.name, set(one.roles), one.word, by=admin, reason=reason)
        if one.pin:
            secrets.change_pin(made[one.username], one.word, one.pin, one.pin, address=HERE)
    # Whoever looks at a demo signs in with the printed words, and need not choose others first.
    Person.objects.filter(must_change=True).update(must_change=False)
    return {one.username: one for one in Person.objects.all()}


def _sites() -> list[Site]:
    with transaction.atomic():
        return [add_site(name, zone, actor="hal") for name, zone in SITES]


def _patients(by: Person, site: Site) -> dict[str, Patient]:
    """By the first word of their names."""
    made = {}
    today = patients.today_at(ZoneInfo(site.zone))
    for guest in GUESTS:
        who = Identity(name=guest.name, born=guest.born, number=guest.number)
        patient = patients.add(who, by=by, today=today)
        if guest.allergies:
            none = guest.allergies == "none"
            said = "" if none else guest.allergies
            patients.set_allergies(patient, said, none_known=none, by=by, version=patient.version)
        if guest.weight:
            patients.weigh(patient, guest.weight, today, by=by, version=patient.version, today=today)
        made[guest.name.split(",")[0]] = patient
    return made


def _receive(by: Person, day: Day) -> None:
    for one in SHELF:
        expiry = (day.moment + timedelta(days=one.days)).date()
        site = day.sites[one.site]
        shelf.receive(
            site, one.presentation, one.pack, lot=one.lot, expiry=expiry, by=by, place=one.place, count=one.count
        )
