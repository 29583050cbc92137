"""What a scanned or typed text is here: a container on the shelf, a person, a sheet; or what it is not, in one sentence.

Nothing is concluded from a product number: a person of this department has said what it is, or it is asked. A scan that can be
read in more than one way is asked too.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from enum import Enum

from django.db.models import QuerySet

from drawndose.bench.moments import told_day
from drawndose.department.ledger.append import now
from drawndose.department.pages.own_codes import of_code
from drawndose.department.work.checklist import name_of
from drawndose.department.work.known_codes import known
from drawndose.department.work.models import Container, Patient, Preparation, Site
from drawndose.department.work.places import local
from drawndose.department.work.planning import DRAWABLE
from drawndose.quantities import Fault, Refused
from drawndose.reference import load
from drawndose.reference.codes import Reading, scan
from drawndose.reference.codes.meanings import is_past, last_use
from drawndose.reference.codes.scanning import NOT_A_CODE

LONGEST = 400
"""Signs of a scan; a longer text is none."""


class What(Enum):
    """What a text turned out to be."""

    CONTAINERS = "a container"
    PERSON = "a person's number"
    SHEET = "the label of a preparation"
    PRODUCT = "a product that is not known here"
    ABSENT = "a container that is not on the shelf"
    ASKED = "a code that can be read in more than one way"


@dataclass(frozen=True, slots=True, kw_only=True)
class Heard:
    """What was heard. containers: those it may be, ready to be drawn from; gone: those it was, which nobody may draw from now.

    exact: it is this one container and no other. readings: of a code that is asked, as texts to scan.
    """

    what: What
    came: str
    containers: tuple[Container, ...] = ()
    gone: tuple[Container, ...] = ()
    exact: bool = False
    patient: Patient | None = None
    preparation: Preparation | None = None
    gtin: str = ""
    readings: tuple[str, ...] = ()
    says: str = ""


def hear(text: str, site: Site) -> Heard:
    """What a text is at this site. Refused when it can mean nothing here, with what is accepted."""
    came = " ".join(text.split(" ")).strip()[:LONGEST]
    if not came:
        raise Refused([Fault(field="scan", rule="nothing came", came="", accepted="a scan, or a lot as it is printed")])
    mine = of_code(came)
    if isinstance(mine, Preparation):
        return Heard(what=What.SHEET, came=came, preparation=mine)
    if isinstance(mine, Container):
        absent = f"{name_of(mine)}, is {mine.state if mine.site_id == site.pk else f'at {mine.site.name}'}"
        return replace(_there(came, Container.objects.filter(pk=mine.pk, site=site), absent), exact=True)
    patient = Patient.objects.filter(number=came).first()
    if patient is not None:
        return Heard(what=What.PERSON, came=came, patient=patient)
    by_lot = Container.objects.filter(site=site, lot=came)
    if by_lot.exists():
        return _there(came, by_lot, f"Of lot {came} nothing is left to draw from")
    return _code(came, site)


def _drawable(rows: QuerySet[Container]) -> tuple[Container, ...]:
    return tuple(rows.filter(state__in=DRAWABLE).order_by("-opened_at", "expiry", "pk"))


def _there(came: str, rows: QuerySet[Container], absent: str) -> Heard:
    """The containers that may be drawn from, or that there is none, with the reason in words."""
    found = _drawable(rows)
    if found:
        return Heard(what=What.CONTAINERS, came=came, containers=found)
    return Heard(what=What.ABSENT, came=came, says=f"{absent}.", gone=tuple(rows.order_by("-pk")))


def _code(came: str, site: Site) -> Heard:
    """A code by the standards. Refused when it is none."""
    moment = local(site, now()).replace(tzinfo=None)  # a code's own times are those of the place
    try:
        found = scan([came], year=moment.year)
    except Refused as refused:
        rule = "it is no lot on the shelf, no person's number, and no code that can be read"
        why = refused.faults[0].rule
        rule = rule if why == NOT_A_CODE else f"{rule}: {why}"
        accepted = "the code of the container, or its lot as printed"
        raise Refused([Fault(field="scan", rule=rule, came=came, accepted=accepted)]) from None
    if found.question is not None:
        return Heard(
            what=What.ASKED, came=came, readings=tuple(str(one) for one in found.readings), says=found.question.value
        )
    reading = found.answer
    if reading is None or reading.gtin is None:
        rule = "it names no product and stands on no label of ours"
        raise Refused(
            [Fault(field="scan", rule=rule, came=came, accepted="the code of the container, or its lot as printed")]
        )
    return _product(came, reading, reading.gtin, site, moment)


def _product(came: str, reading: Reading, gtin: str, site: Site, moment: datetime) -> Heard:
    """The containers of a product number with its lot and expiry; each of them must agree with the shelf."""
    said = known(gtin)
    rows = Container.objects.filter(site=site)
    rows = rows.filter(presentation=said.presentation, pack=said.pack) if said is not None else rows.filter(code=gtin)
    if said is None and not rows.exists():
        return Heard(what=What.PRODUCT, came=came, gtin=gtin, says=f"Product number {gtin} is not known here")
    name = load().presentation(said.presentation).name if said is not None else f"product number {gtin}"
    lot, expiry = reading.value("10"), last_use(reading.elements, year=moment.year)
    if expiry is not None and is_past(expiry, moment):
        return Heard(what=What.ABSENT, came=came, says=f"{name} expired {told_day(expiry)} by its code.")
    day = expiry.date() if isinstance(expiry, datetime) else expiry
    if lot is None:
        return _without_lot(came, rows, name)
    found = _there(came, rows.filter(lot=lot), f"{name}, lot {lot}, is not on the shelf")
    other = next((one for one in found.containers if one.expiry != day), None)
    if other is not None and day is not None:
        says = f"The code says that lot {lot} expires {told_day(day)}; the shelf says {told_day(other.expiry)}."
        return Heard(what=What.ABSENT, came=came, says=says)
    return found


def _without_lot(came: str, rows: QuerySet[Container], name: str) -> Heard:
    """A code that holds no lot: enough where only one is on the shelf, else the lot is asked."""
    found = _there(came, rows, f"{name} is not on the shelf")
    lots = sorted({one.lot for one in found.containers})
    if len(lots) > 1:
        says = f"This code holds no lot, and there are {len(lots)} on the shelf: {', '.join(lots)}. Type the lot."
        return Heard(what=What.ABSENT, came=came, says=says)
    return found
