"""Orders as they were written. Times are those of the site's clock."""

from __future__ import annotations

from datetime import datetime
from functools import partial

from drawndose.bench.moments import read_moment
from drawndose.department.keeping.lists import shape
from drawndose.department.keeping.lists.shape import Column, Row, needed, truth
from drawndose.department.people.models import Person
from drawndose.department.work import orders
from drawndose.department.work.models import Order, Patient, Site
from drawndose.department.work.orders import Written
from drawndose.department.work.places import zone_of
from drawndose.quantities import Gathering, gather

COLUMNS = (
    Column(name="patient", means="the patient's number", accepts="a number that is known"),
    Column(name="site", means="the site's name", accepts="a site that there is"),
    Column(name="order", means="the order as it was written", accepts="albuterol 2.5 mg by nebulizer, made up to 3 mL"),
    Column(name="prescriber", means="who ordered it", accepts="a name"),
    Column(name="ordered_at", means="when it was written", accepts="2026-11-25 07:40"),
    Column(name="first_at", means="when its first dose is due", accepts="2026-11-25 08:00"),
    Column(name="spoken", means="it was spoken", accepts="yes, no", needed=False),
    Column(name="read_back", means="it was read back and confirmed", accepts="yes, no", needed=False),
    Column(name="reason", means="what it is given for", accepts="up to 200 characters", needed=False),
)

MOMENTS = ("ordered_at", "first_at")


def read(row: Row) -> tuple[Patient, Site, Written]:
    """Whose it is, where, and what was written: read by the engine already, so that every fault of its text is told."""
    gathering = Gathering()
    gathering.faults += needed(row, COLUMNS)
    patient = gathering.take(lambda: shape.patient(row["patient"])) if row["patient"] else None
    site = gathering.take(lambda: shape.site(row["site"])) if row["site"] else None
    if row["order"]:
        gathering.take(lambda: orders.reading_of(row["order"]))
    spoken = gathering.take(lambda: truth(row.get("spoken", ""), "spoken"))
    read_back = gathering.take(lambda: truth(row.get("read_back", ""), "read_back"))
    ordered_at, first_at = (gathering.take(partial(_moment, row[name], site, name)) for name in MOMENTS)
    gather(gathering.faults)
    if patient is None or site is None or ordered_at is None or first_at is None:
        raise AssertionError("what is missing was a fault")
    written = Written(
        text=row["order"],
        prescriber=row["prescriber"],
        ordered_at=ordered_at,
        first_at=first_at,
        spoken=bool(spoken),
        read_back=bool(read_back),
        reason=row.get("reason", ""),
    )
    written.hold()
    return patient, site, written


def _moment(text: str, site: Site | None, field: str) -> datetime | None:
    """A time on the clock of the site; none where the cell is empty or the site is unknown, which are faults of their own."""
    return read_moment(text, zone_of(site), field) if text and site is not None else None


def write(made: tuple[Patient, Site, Written], by: Person, key: str) -> tuple[int, str]:
    """Enter the order; it is complete, or entered with something left open. Refused when it stands there already."""
    patient, site, written = made
    there = Order.objects.filter(patient=patient, text=written.text, ordered_at=written.ordered_at)
    if there.exclude(state="changed").exists():
        raise shape.refused("order", "this order of this patient is there already", written.text, "another order")
    return 1, orders.enter(patient, site, written, by=by, key=key).state
