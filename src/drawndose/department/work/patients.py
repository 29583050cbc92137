"""Patients: added with two identifiers, weighed with the day of it, asked about allergies, corrected. Nothing is overwritten without
its event; what stood before stays in the ledger.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.db import IntegrityError, transaction
from django.db.models import F, Q

from drawndose.bench.order.allergies import allergies_in
from drawndose.bench.order.model import Patient as Facts
from drawndose.bench.order.patient import implausible
from drawndose.department.ledger.append import Replayed, append, now
from drawndose.department.ledger.models import Event
from drawndose.department.people.models import Person
from drawndose.department.work.change import Moved
from drawndose.department.work.models import Patient
from drawndose.department.work.reading import age_on, kilograms
from drawndose.quantities import Fault, Manner, Refused, gather, read_quantity, show
from drawndose.reference import load

LEAST_G, MOST_G = 300, 350_000
"""What a patient can weigh: the engine's own wide bounds."""
OLDEST_YEARS = 120
MOST = 50
"""Patients that a search shows."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Identity:
    """Who a patient is, as typed and read."""

    name: str
    born: date
    number: str

    def hold(self, today: date) -> None:
        """Refused with everything that cannot be."""
        faults = []
        if not 1 < len(self.name) <= 120:
            faults.append(_fault("name", "a name has 2 to 120 characters", self.name[:60], "Sample, Ana"))
        if not 1 <= len(self.number) <= 30 or not self.number.isprintable():
            faults.append(_fault("number", "a number has 1 to 30 characters", self.number[:60], "204118"))
        if not OLDEST_YEARS * 366 >= (today - self.born).days >= 0:
            rule = f"a day of birth lies between today and {OLDEST_YEARS} years ago"
            faults.append(_fault("born", rule, f"{self.born:%d %b %Y}", "1961-11-05"))
        gather(faults)

    def data(self) -> dict[str, str]:
        """As the ledger keeps it."""
        return {"name": self.name, "born": self.born.isoformat(), "number": self.number}


@dataclass(frozen=True, slots=True, kw_only=True)
class Weighed:
    """One weight out of the ledger: so many grams on a day, who wrote it down and when, and why where it corrects one."""

    grams: int
    on: date
    by: str
    at: datetime
    reason: str


def _fault(field: str, rule: str, came: str, accepted: str) -> Fault:
    return Fault(field=field, rule=rule, came=came, accepted=accepted)


def add(who: Identity, *, by: Person, today: date, other: str = "", key: str | None = None) -> Patient:
    """Add a patient. Refused when the number is there already, or for the same name and day of birth without a word on it.

    other: why this is another person than the one of the same name and day of birth.
    """
    who.hold(today)
    there = Patient.objects.filter(number=who.number).first()
    if there is not None and key is not None:
        _replayed(key)
    faults = []
    if there is not None:
        came = f"{who.number}: {there.name}, born {there.born:%d %b %Y}"
        faults.append(_fault("number", "another patient has this number", came, "this patient's own number"))
    alike = Patient.objects.filter(name__iexact=who.name, born=who.born).exclude(number=who.number).first()
    if alike is not None and not other.strip():
        rule = "a patient of this name and day of birth is here already"
        accepted = "that patient's page, or why this is another person"
        faults.append(_fault("other", rule, f"no. {alike.number}", accepted))
    gather(faults)
    try:
        with transaction.atomic():
            made = Patient.objects.create(name=who.name, born=who.born, number=who.number)
            append(
                "patient.added",
                "patient",
                str(made.pk),
                actor=by.username,
                key=key,
                reason=other.strip(),
                content=who.data(),
            )
    except IntegrityError:
        raise Refused([_fault("number", "another patient has this number", who.number, "this patient's own")]) from None
    return made


def correct(
    patient: Patient, who: Identity, *, by: Person, version: int, today: date, reason: str, key: str | None = None
) -> None:
    """Correct name, day of birth or number. What stood there stays in the ledger."""
    who.hold(today)
    if not reason.strip():
        gather([_fault("reason", "a reason is needed", reason, "why, in a few words")])
    other = Patient.objects.filter(number=who.number).exclude(pk=patient.pk).first()
    if other is not None:
        raise Refused([_fault("number", "another patient has this number", who.number, "this patient's own")])
    was = Identity(name=patient.name, born=patient.born, number=patient.number).data()
    values = {"name": who.name, "born": who.born, "number": who.number}
    content = {"from": was, "to": who.data()}
    _change(patient, "patient.corrected", by, version, values, content=content, reason=reason, key=key)


def weigh(
    patient: Patient,
    text: str,
    on: date,
    *,
    by: Person,
    version: int,
    today: date,
    reason: str = "",
    sure: bool = False,
    key: str | None = None,
) -> None:
    """Write down a weight with its day. Refused for what is no weight in kg, and, unless sure, for one that does not fit the age.

    reason: why it corrects one that was written down; a weight of an earlier day than the last one needs it.
    """
    grams = grams_of(text)
    faults = []
    if not patient.born <= on <= today:
        rule = "a day between birth and today"
        faults.append(_fault("weighed on", rule, f"{on:%d %b %Y}", f"{today.isoformat()} or before"))
    if patient.weighed_on is not None and on < patient.weighed_on and not reason.strip():
        rule = "a weight of an earlier day takes the place of a later one only with a reason"
        faults.append(_fault("reason", rule, f"{on:%d %b %Y}, before {patient.weighed_on:%d %b %Y}", "why"))
    if patient.born <= on and not sure:
        faults += [
            _fault("weight", doubt, text, "the right one, or a tick that it is sure")
            for doubt in _doubts(patient, grams, on)
        ]
    gather(faults)
    values = {"weight_g": grams, "weighed_on": on}
    content = {"weight_g": str(grams), "weighed_on": on.isoformat(), "sure": sure}
    _change(patient, "patient.weighed", by, version, values, content=content, reason=reason, key=key)


def _doubts(patient: Patient, grams: int, on: date) -> list[str]:
    """What speaks against a weight: the age, and the last weight when it is more than twice or less than half of it."""
    facts = Facts(weight=kilograms(grams), age=age_on(patient.born, on))
    found = [one.asks for one in implausible(facts, blocking=True)]
    last = patient.weight_g
    if last is not None and not last <= 2 * grams <= 4 * last:
        found.append(f"the last weight was {weight_words(patient)}")
    return found


def grams_of(text: str) -> int:
    """A weight in whole grams out of a text in kg or g; a bare number is asked for its unit. Refused for anything else."""
    words = " ".join(text.split())
    if words.replace(".", "", 1).isdecimal():
        raise Refused([_fault("weight", "a weight has its unit", text, f"{words} kg")])
    quantity = read_quantity(words, field="weight", manner=Manner.READING)
    grams = None
    if quantity.dimension == (("body mass", 1),):
        grams = quantity.to("kg").value * 1000
    elif quantity.dimension == (("mass", 1),):
        grams = quantity.to("g").value
    if grams is None or grams.denominator != 1 or not LEAST_G <= grams <= MOST_G:
        rule = "a patient's weight is in kg or g, to the gram, between 0.3 and 350 kg"
        raise Refused([_fault("weight", rule, text, "8.4 kg, 950 g")])
    return int(grams)


def set_allergies(
    patient: Patient, text: str, *, none_known: bool, by: Person, version: int, key: str | None = None
) -> None:
    """Write down what was said of allergies, as names. An empty text counts only with "none known". Refused for what is no name."""
    words = " ".join(text.split())
    if bool(words) is none_known:
        came = "both" if words else "neither"
        raise Refused([_fault("allergies", "allergies, or none known", came, "one of them")])
    if len(words) > 500:
        raise Refused([_fault("allergies", "at most 500 characters", f"{len(words):,} characters", "fewer words")])
    if words:
        allergies_in(words, book=load())
    content = {"from": patient.allergies, "to": words}
    values = {"allergies": words, "allergies_asked": True}
    _change(patient, "patient.allergies", by, version, values, content=content, key=key)


def _replayed(key: str | None) -> None:
    if key is not None and (done := Event.objects.filter(key=key).first()) is not None:
        raise Replayed(done)


def _change(
    patient: Patient,
    event: str,
    by: Person,
    version: int,
    values: dict[str, Any],
    *,
    content: dict[str, Any],
    reason: str = "",
    key: str | None = None,
) -> None:
    """Write the values with their event. Moved when someone else changed this patient meanwhile."""
    _replayed(key)
    if patient.version != version:
        raise Moved(patient)
    with transaction.atomic():
        append(event, "patient", str(patient.pk), actor=by.username, reason=reason.strip(), key=key, content=content)
        found = Patient.objects.filter(pk=patient.pk, version=version)
        if found.update(version=F("version") + 1, **values) != 1:
            raise Moved(Patient.objects.get(pk=patient.pk))
    patient.refresh_from_db()


def weights(patient: Patient, most: int = MOST) -> list[Weighed]:
    """Every weight that was written down, the last one first."""
    events = Event.objects.filter(subject_kind="patient", subject=str(patient.pk), name="patient.weighed")
    return [
        Weighed(
            grams=int(one.content["weight_g"]),
            on=date.fromisoformat(one.content["weighed_on"]),
            by=one.actor,
            at=one.at,
            reason=one.reason,
        )
        for one in events.order_by("-number")[:most]
    ]


def weight_words(patient: Patient) -> str:
    """The weight with its day, or that none is recorded."""
    if patient.weight_g is None or patient.weighed_on is None:
        return "Not recorded"
    return f"{show(kilograms(patient.weight_g))}, weighed {patient.weighed_on:%d %b %Y}"


def allergy_words(patient: Patient) -> str:
    """What was said of allergies; that nobody asked is told as such."""
    return patient.allergies or ("None known" if patient.allergies_asked else "Not asked")


def find(text: str) -> list[Patient]:
    """Patients by their whole number, else by the beginning of the name; at most MOST. A number that is not right finds nobody."""
    words = " ".join(text.split())
    if not words:
        return []
    exact = Patient.objects.filter(number=words)
    if exact.exists():
        return list(exact)
    if any(character.isdecimal() for character in words):
        return []
    return list(Patient.objects.filter(Q(name__istartswith=words)).order_by("name", "pk")[:MOST])


def today_at(zone: Any) -> date:
    """The day by the clock of a place."""
    return now().astimezone(zone).date()
