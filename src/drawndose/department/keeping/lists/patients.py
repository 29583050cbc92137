"""Patients, with what must be known of them before a dose is prepared."""

from __future__ import annotations

from typing import Any
from zoneinfo import ZoneInfo

from drawndose.bench.order.allergies import allergies_in
from drawndose.department.keeping.lists.shape import Column, Row, day, needed, refused
from drawndose.department.people.models import Person
from drawndose.department.work import patients
from drawndose.department.work.models import Site
from drawndose.department.work.patients import Identity
from drawndose.quantities import Gathering, gather
from drawndose.reference import load

COLUMNS = (
    Column(name="number", means="the patient's number", accepts="1 to 30 characters"),
    Column(name="name", means="the name as on the band", accepts="2 to 120 characters: Model, Dora"),
    Column(name="born", means="day of birth", accepts="1961-11-05"),
    Column(
        name="allergies",
        means="as names, with commas; none when asked and none known; empty when nobody asked",
        accepts="sulfites, latex; none",
        needed=False,
    ),
    Column(name="weight", means="with its unit, to the gram", accepts="70 kg, 3.25 kg, 820 g", needed=False),
    Column(name="weighed_on", means="the day of that weight", accepts="2026-11-25", needed=False),
)
NONE = "none"


def read(row: Row) -> dict[str, Any]:
    """What a patient is made of. Whether it can be together is asked when it is written."""
    gathering = Gathering()
    gathering.faults += needed(row, COLUMNS)
    born = gathering.take(lambda: day(row["born"], "born")) if row["born"] else None
    weight, on, allergies = (row.get(name, "") for name in ("weight", "weighed_on", "allergies"))
    weighed_on = gathering.take(lambda: day(on, "weighed_on")) if on else None
    if weight:
        gathering.take(lambda: patients.grams_of(weight))
    if bool(weight) != bool(on):
        gathering.faults += refused(
            "weighed_on", "a weight has its day, and a day its weight", on, "both, or none"
        ).faults
    if allergies and allergies.lower() != NONE:
        gathering.take(lambda: allergies_in(allergies, book=load()))
    if born is not None:
        gathering.take(lambda: Identity(name=row["name"], born=born, number=row["number"]).hold(_today()))
    gather(gathering.faults)
    return row | {"born": born, "weighed_on": weighed_on}


def _today() -> Any:
    """The day at the first site."""
    first = Site.objects.order_by("pk").first()
    return patients.today_at(ZoneInfo(first.zone if first is not None else "UTC"))


def write(made: dict[str, Any], by: Person, key: str) -> tuple[int, str]:
    """Add the patient, with weight and allergies as events of their own. Refused when the number is someone's already."""
    today = _today()
    who = Identity(name=made["name"], born=made["born"], number=made["number"])
    patient = patients.add(who, by=by, today=today, key=key)
    said = made.get("allergies", "")
    if said:
        none = said.lower() == NONE
        words = "" if none else said
        patients.set_allergies(patient, words, none_known=none, by=by, version=patient.version)
    if made.get("weight"):
        patients.weigh(patient, made["weight"], made["weighed_on"], by=by, version=patient.version, today=today)
    return 1, "added"
