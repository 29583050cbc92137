"""An invented department for tests: one site, three persons, one patient, an order, a bottle and saline."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

ORDER = "albuterol 2.5 mg by nebulizer, made up to 3 mL, every 4 hours"
BOTTLE, SALINE = "albuterol-0.5pct-bottle-20ml", "sodium-chloride-0.9pct-unit-dose"


@dataclass
class Scene:
    """What a test works with; Django's rows, so untyped here."""

    site: Any
    ana: Any
    ben: Any
    cleo: Any
    patient: Any


def scene() -> Scene:
    """A founded storage with people and a patient."""
    from drawndose.department.ledger.append import now
    from drawndose.department.ledger.models import Kind
    from drawndose.department.ledger.storage import found
    from drawndose.department.people.models import Person
    from drawndose.department.work.models import Patient, Site

    found(Kind.DEMO, actor="setup")
    people = [
        Person.objects.create(username=username, name=name, added_at=now())
        for username, name in (("ana", "Ana Sample"), ("ben", "Ben Example"), ("cleo", "Cleo Specimen"))
    ]
    site = Site.objects.create(name="Ward 3", zone="America/Chicago")
    patient = Patient.objects.create(name="Model, Dora", born=date(1961, 11, 5), number="204118", allergies_asked=True)
    return Scene(site, *people, patient)


def order(on: Scene, text: str = ORDER, **more: Any) -> Any:
    """An order written an hour ago and entered by Ana."""
    from drawndose.department.work import orders

    return orders.enter(on.patient, on.site, written(text, **more), by=on.ana)


def written(text: str = ORDER, **more: Any) -> Any:
    """An order as it was written down."""
    from drawndose.department.ledger.append import now
    from drawndose.department.work.orders import Written

    moment = now()
    known: dict[str, Any] = {
        "prescriber": "Dr. Invented",
        "ordered_at": moment - timedelta(hours=1),
        "first_at": moment + timedelta(minutes=10),
    }
    return Written(text=text, **known | more)


def received(on: Scene, presentation: str, pack: str, **more: Any) -> Any:
    """One container on the shelf."""
    from drawndose.department.work import shelf

    known: dict[str, Any] = {"lot": "4K21", "expiry": date(2099, 6, 30), "by": on.ana}
    (made,) = shelf.receive(on.site, presentation, pack, **known | more)
    return made


def planned(on: Scene, text: str = ORDER, **more: Any) -> tuple[Any, Any, Any]:
    """A preparation with its plan, its bottle and its saline."""
    from drawndose.bench.plans import Status
    from drawndose.department.work import preparing

    entered = order(on, text, **more)
    bottle, saline = received(on, BOTTLE, "20 mL"), received(on, SALINE, "3 mL")
    made = preparing.begin(entered, by=on.ana, dose=entered.duedose_set.order_by("due_at").first())
    found = preparing.choose(made, [bottle, saline], [], "cup-6", by=on.ana, version=made.version)
    assert found.status is Status.READY, [one.says for one in found.findings]
    return made, bottle, saline


def labelled(on: Scene, **more: Any) -> tuple[Any, Any, Any]:
    """A preparation that waits to be given."""
    from drawndose.department.work import preparing

    made, bottle, saline = planned(on, **more)
    assert preparing.drawn(made, ["0.5 mL"], by=on.ana, version=made.version) == ()
    preparing.label(made, by=on.ana, version=made.version)
    return made, bottle, saline
