"""A furnished department for tests of the pages: people with roles, patients, a shelf, and every state that the board can show."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from tests.department.people.staff import hashed
from tests.department.scene import BOTTLE, SALINE, Scene, order, planned, received, scene

LEVALBUTEROL = "levalbuterol-0.63mg-3ml"
TID = "levalbuterol 0.63 mg by nebulizer three times daily"
AS_NEEDED = "albuterol 2.5 mg by nebulizer, made up to 3 mL, every 4 hours as needed for wheeze"
BY_WEIGHT = "albuterol 0.15 mg/kg by nebulizer, made up to 3 mL, every 4 hours"
PASSWORD = "granite-otter-lamp"


@dataclass
class Ward:
    """What stands in it."""

    on: Scene
    max: Any
    eli: Any
    ida: Any


def people(on: Scene) -> Any:
    """Roles and passwords for the persons of the scene, and a manager."""
    from drawndose.department.ledger.append import now
    from drawndose.department.people.models import Person, RoleHeld
    from drawndose.department.people.roles import Role

    manager = Person.objects.create(username="max", name="Max Manager", added_at=now())
    held = ((on.ana, Role.PREPARER), (on.ben, Role.CHECKER), (on.cleo, Role.GIVER), (manager, Role.MANAGER))
    for person, role in held:
        RoleHeld.objects.create(person=person, role=role.value)
        person.password = hashed(PASSWORD)
        person.save()
    return manager


def noon() -> str:
    """The zone where it is about noon now: what a test says of a day then holds at every hour."""
    from drawndose.department.ledger.append import now

    return f"Etc/GMT{now().hour - 12:+d}"


def ward() -> Ward:
    """People and patients, nothing else."""
    from drawndose.department.work import patients

    on = scene()
    on.site.zone = noon()
    on.site.save()
    manager = people(on)
    today = date(2026, 11, 25)
    eli, ida = (
        patients.add(patients.Identity(name=name, born=born, number=number), by=on.ana, today=today)
        for name, born, number in (
            ("Specimen, Eli", date(2020, 5, 1), "310472"),
            ("Muster, Ida", date(1948, 2, 17), "118830"),
        )
    )
    return Ward(on, manager, eli, ida)


def furnished() -> Ward:
    """Everything."""
    from drawndose.department.ledger.append import now
    from drawndose.department.work import orders, patients
    from drawndose.department.work.models import Preparation

    made = ward()
    on, moment = made.on, now()
    today = moment.date()
    patients.set_allergies(made.ida, "sulfites", none_known=False, by=on.ana, version=made.ida.version)
    shelf(on)
    _worked(on)
    late = {"ordered_at": moment - timedelta(hours=6), "first_at": moment - timedelta(hours=5, minutes=40)}
    order(on, **late)
    on.patient = made.ida
    order(on, TID, **late, spoken=True, read_back=True)
    held = order(on, "ipratropium 0.5 mg by nebulizer every 6 hours")
    orders.hold(held, by=on.ana, version=held.version, reason="in surgery")
    on.patient = made.eli
    order(on, BY_WEIGHT)
    patients.weigh(made.eli, "20 kg", today, by=on.ana, version=made.eli.version, today=today)
    needed = order(on, AS_NEEDED)
    orders.on_demand(needed, by=on.ana, version=needed.version)
    on.patient = Preparation.objects.order_by("pk").first().order.patient
    return made


def shelf(on: Scene) -> None:
    """A shelf of several kinds, one of them nearly out of date, one in doubt."""
    from drawndose.department.work import shelf as service

    soon = date.today() + timedelta(days=9)  # noqa: DTZ011 - invented
    service.receive(on.site, LEVALBUTEROL, "3 mL", lot="L7X", expiry=soon, by=on.ana, count=4, place="Cupboard 2")
    service.receive(on.site, SALINE, "3 mL", lot="S220", expiry=date(2099, 1, 31), by=on.ana, count=6, place="Drawer 1")
    received(on, "epinephrine-1mg-1ml-ampoule", "1 mL", lot="E55", place="Cart")
    bottle = received(on, BOTTLE, "20 mL", lot="B9", place="Cupboard 2")
    service.open_it(bottle, by=on.ana, version=bottle.version, owner=on.patient)
    wrong = received(on, BOTTLE, "20 mL", lot="B8", place="Cupboard 2")
    service.doubt(wrong, by=on.ana, version=wrong.version, reason="cap was off")


def _worked(on: Scene) -> None:
    """One sheet in each state: planned, waiting, past its limit, given and not closed, closed."""
    from drawndose.department.ledger.append import now
    from drawndose.department.work import giving
    from drawndose.department.work.models import Preparation
    from tests.department.scene import labelled

    planned(on)
    labelled(on)
    over, _, _ = labelled(on)
    Preparation.objects.filter(pk=over.pk).update(limit_at=now() - timedelta(minutes=12))
    for close in (False, True):
        given, _, _ = labelled(on)
        giving.give(given, "204118", "1961-11-05", by=on.cleo, version=given.version)
        if close:
            amounts = {"given_nl": 3_000_000, "wasted_nl": 0, "left_nl": 0}
            giving.close(given, **amounts, by=on.cleo, version=given.version)


def long_work(who: str) -> None:
    """Long work of a person in every state in which it can be seen: waiting, under way, done, failed, cancelled, in this order."""
    from drawndose.department.keeping.models import Job
    from drawndose.department.ledger.append import now

    moment, kind = (
        now(),
        {"by": who, "arguments": {}, "about": "Export of everything that is recorded", "kind": "export"},
    )
    over = {"submitted_at": moment, "ended_at": moment}
    under_way = {"done": 13, "total": 40, "says": "dose is written as CSV", "lease_until": moment + timedelta(days=1)}
    file = {"result": b"x", "result_name": "x.zip", "result_type": "application/zip", "says": "1 file."}
    rows = "row 3, born: a day is needed. Came: nothing.\nrow 4, number: it stands twice. Came: 204118."
    Job.objects.create(**kind, state="waiting", submitted_at=moment - timedelta(minutes=2))
    Job.objects.create(**kind, state="running", submitted_at=moment, **under_way)
    Job.objects.create(**kind, state="done", **over, **file)
    Job.objects.create(
        **kind | {"kind": "import", "about": "Import of patients, a dry run"}, **over, state="failed", says=rows
    )
    Job.objects.create(**kind, state="cancelled", **over, says="Cancelled. Nothing of it was written.")
