"""Patients, with what must be known of them before a dose is prepared."""

from __future__ import annotations

from typing import Any

from drawndose.department.keeping.lists.shape import Column, Row, day, needed, refused
from drawndose.department.ledger.append import append
from drawndose.department.people.models import Person
from drawndose.department.work.models import Patient
from drawndose.quantities import Gathering, Manner, gather, read_quantity

COLUMNS = (
    Column(name="number", means="the patient's number", accepts="1 to 30 characters"),
    Column(name="name", means="the name as on the band", accepts="1 to 120 characters: Model, Dora"),
    Column(name="born", means="day of birth", accepts="1961-11-05"),
    Column(
        name="allergies",
        means="as said; none when asked and none known; empty when nobody asked",
        accepts="sulfites; none",
        needed=False,
    ),
    Column(name="weight", means="with its unit, to the gram", accepts="70 kg, 3.25 kg, 820 g", needed=False),
    Column(name="weighed_on", means="the day of that weight", accepts="2026-11-25", needed=False),
)
LONGEST = {"number": 30, "name": 120}


def read(row: Row) -> dict[str, Any]:
    """What a patient is made of."""
    gathering = Gathering()
    gathering.faults += needed(row, COLUMNS)
    for name, longest in LONGEST.items():
        if len(row[name]) > longest:
            gathering.faults += refused(name, "it is too long", row[name], f"1 to {longest} characters").faults
    born = gathering.take(lambda: day(row["born"], "born")) if row["born"] else None
    weight, on = row.get("weight", ""), row.get("weighed_on", "")
    grams = gathering.take(lambda: _grams(weight)) if weight else None
    weighed_on = gathering.take(lambda: day(on, "weighed_on")) if on else None
    if bool(weight) != bool(on):
        gathering.faults += refused(
            "weighed_on", "a weight has its day, and a day its weight", on, "both, or none"
        ).faults
    gather(gathering.faults)
    said = row.get("allergies", "")
    return {
        "number": row["number"],
        "name": row["name"],
        "born": born,
        "allergies": "" if said.lower() == "none" else said,
        "allergies_asked": bool(said),
        "weight_g": grams,
        "weighed_on": weighed_on,
    }


def _grams(text: str) -> int:
    quantity = read_quantity(text, field="weight", manner=Manner.READING)
    if quantity.dimension == (("body mass", 1),):
        grams = quantity.to("kg").value * 1000
    elif quantity.dimension == (("mass", 1),):
        grams = quantity.to("g").value
    else:
        raise refused("weight", "a weight is wanted", text, COLUMNS[4].accepts)
    if grams.denominator != 1 or not 100 <= grams <= 500_000:
        raise refused("weight", "a weight is whole grams, from 100 g to 500 kg", text, COLUMNS[4].accepts)
    return int(grams)


def write(made: dict[str, Any], by: Person, key: str) -> tuple[int, str]:
    """Add the patient. Refused when the number is someone's already."""
    if Patient.objects.filter(number=made["number"]).exists():
        raise refused("number", "there is a patient of this number already", made["number"], "another number")
    patient = Patient.objects.create(**made)
    content = {name: str(value) for name, value in made.items() if value is not None}
    append("patient.added", "patient", str(patient.pk), actor=by.username, key=key, content=content)
    return 1, "added"
