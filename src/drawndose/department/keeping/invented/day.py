"""The invented working day, step by step: so many minutes before now, what happened. Every state of a dose stands at its end."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta

from drawndose.bench.plans import Status
from drawndose.department.people.models import Person
from drawndose.department.work import due, giving, orders, preparing, shelf
from drawndose.department.work.models import Container, DueDose, Order, Patient, Preparation, Site
from drawndose.department.work.orders import Written

BOTTLE, SALINE = "albuterol-0.5pct-bottle-20ml", "sodium-chloride-0.9pct-unit-dose"
CUP = "cup-6"
DOCTOR = "Dr. Invented"


@dataclass(slots=True)
class Day:
    """What there is, by name, while the day goes on."""

    moment: datetime
    people: dict[str, Person]
    sites: list[Site]
    patients: dict[str, Patient]
    orders: dict[str, Order]
    makings: dict[str, Preparation]


Step = Callable[[Day], None]
STEPS: list[tuple[int, Step]] = []
"""Minutes before now, and what happens then. Steps of the same minute in the order of this page."""


def _at(minutes: int, step: Step) -> None:
    STEPS.append((minutes, step))


def _ordered(name: str, patient: str, text: str, *, first: int, site: int = 0, said: int = 400) -> None:
    """An order, written said minutes ago; its first dose was or is due first minutes ago."""

    def step(day: Day) -> None:
        written = Written(
            text=text,
            prescriber=DOCTOR,
            ordered_at=day.moment - timedelta(minutes=said),
            first_at=day.moment - timedelta(minutes=first),
        )
        by = day.people["ana" if site == 0 else "ben"]
        day.orders[name] = orders.enter(day.patients[patient], day.sites[site], written, by=by)

    _at(said, step)


def _begun(minutes: int, name: str, by: str) -> None:
    """A preparation of the first dose of an order that is due."""

    def step(day: Day) -> None:
        order = day.orders[name]
        dose = DueDose.objects.filter(order=order, state="due").order_by("due_at").first()
        day.makings[name] = preparing.begin(order, by=day.people[by], dose=dose)

    _at(minutes, step)


def _planned(minutes: int, name: str, *presentations: str) -> None:
    """With one container of each presentation: an opened one of this patient first, else the next on the shelf."""

    def step(day: Day) -> None:
        made = day.makings[name]
        chosen = [_next(one, made.order) for one in presentations]
        found = preparing.choose(made, chosen, [], CUP, by=made.by, version=made.version)
        assert found.status is Status.READY, [one.says for one in found.findings]

    _at(minutes, step)


def _next(presentation: str, order: Order) -> Container:
    here = Container.objects.filter(site=order.site, presentation=presentation)
    mine = here.filter(state="opened", owner=order.patient, left_nl__gt=0).first()
    return mine or here.filter(state="received").order_by("expiry", "pk")[0]


def _drawn(minutes: int, name: str, *readings: str) -> None:
    def step(day: Day) -> None:
        made = day.makings[name]
        stopped = preparing.drawn(made, readings, by=made.by, version=made.version)
        assert stopped == (), [one.says for one in stopped]

    _at(minutes, step)


def _read_second(minutes: int, name: str, by: str, *readings: str) -> None:
    def step(day: Day) -> None:
        made = day.makings[name]
        preparing.read_again(made, readings, by=day.people[by], version=made.version)

    _at(minutes, step)


def _labelled(minutes: int, name: str) -> None:
    def step(day: Day) -> None:
        made = day.makings[name]
        preparing.label(made, by=made.by, version=made.version)

    _at(minutes, step)


def _given(minutes: int, name: str, by: str, **observed: str) -> None:
    def step(day: Day) -> None:
        made = day.makings[name]
        patient = made.order.patient
        seen = {one.replace("_", " "): value for one, value in observed.items()}
        born = patient.born.isoformat()
        giving.give(made, patient.number, born, by=day.people[by], version=made.version, observed=seen)

    _at(minutes, step)


def _closed(minutes: int, name: str, by: str) -> None:
    """All of what was prepared was given; or all of it wasted, when none was."""

    def step(day: Day) -> None:
        made = day.makings[name]
        total = made.total_nl if made.total_nl is not None and made.draw_set.exists() else 0
        given = total if made.state == "given" else 0
        who = day.people[by]
        giving.close(made, given_nl=given, wasted_nl=total - given, left_nl=0, by=who, version=made.version)

    _at(minutes, step)


def _shelf(minutes: int, presentation: str, what: str, reason: str) -> None:
    """Something else that happens to the last shut container of a presentation."""

    def step(day: Day) -> None:
        one = Container.objects.filter(presentation=presentation, state="received").order_by("-pk")[0]
        by = day.people["ben"]
        if what == "opened":
            shelf.open_it(one, by=by, version=one.version)
        elif what == "doubted":
            shelf.doubt(one, by=by, version=one.version, reason=reason)
        else:
            shelf.discard(one, by=by, version=one.version, reason=reason)

    _at(minutes, step)


# A whole round: given and closed.
_ordered("Dora", "Model", "albuterol 2.5 mg by nebulizer, made up to 3 mL, every 2 hours", first=110)
_begun(122, "Dora", "ana")
_planned(121, "Dora", BOTTLE, SALINE)
_drawn(118, "Dora", "0.5 mL")
_read_second(117, "Dora", "cleo", "0.5 mL")
_labelled(116, "Dora")
_given(108, "Dora", "dana", pulse="88", respiratory_rate="22", oxygen_saturation="93")
_closed(95, "Dora", "dana")

# Late: nobody has begun it.
_ordered("Otto", "Muster", "ipratropium 500 mcg by nebulizer every 6 hours", first=100)

# Being prepared: begun, planned, and drawn.
_ordered("Nils", "Proof", "albuterol 2.5 mg by nebulizer every 6 hours", first=12)
_begun(4, "Nils", "ben")
_ordered("Ruth", "Outline", "levalbuterol 0.63 mg by nebulizer every 8 hours", first=15)
_begun(10, "Ruth", "ben")
_planned(8, "Ruth", "levalbuterol-0.63mg-3ml")
_ordered("Karl", "Sketch", "acetylcysteine 600 mg by nebulizer every 12 hours", first=20)
_begun(17, "Karl", "ana")
_planned(16, "Karl", "acetylcysteine-20pct")
_drawn(12, "Karl", "3 mL")

# Prepared and waiting; and prepared too long ago.
_ordered("Lena", "Stencil", "racepinephrine 2.25 % 0.05 mL/kg max 0.5 mL by nebulizer to 3 mL once", first=5, said=40)
_begun(18, "Lena", "ben")
_planned(17, "Lena", "racepinephrine-11.25mg-0.5ml", SALINE)
_drawn(13, "Lena", "0.4 mL")
_read_second(11, "Lena", "cleo", "0.4 mL")
_labelled(9, "Lena")
_ordered("Max", "Figure", "albuterol 2.5 mg by nebulizer every 4 hours", first=80)
_begun(86, "Max", "ana")
_planned(85, "Max", "albuterol-2.5mg-3ml")
_drawn(84, "Max")
_labelled(83, "Max")

# At the other site: given and still open, one as needed that waits, one that was not given, one that was broken off.
_ordered("Ida", "Diagram", "budesonide 0.5 mg by nebulizer every 12 hours", first=35, site=1)
_begun(33, "Ida", "ben")
_planned(32, "Ida", "budesonide-0.5mg-unit-dose-2ml")
_drawn(31, "Ida")
_labelled(30, "Ida")
_given(25, "Ida", "dana", pulse="76", breath_sounds="wheeze on both sides")
_ordered(
    "as needed", "Diagram", "albuterol 2.5 mg by nebulizer every 4 hours as needed for wheezing", first=300, site=1
)
_ordered("not given", "Proof", "albuterol 2.5 mg by nebulizer once", first=90, site=1)
_ordered("broken off", "Figure", "albuterol 2.5 mg by nebulizer every 6 hours", first=50, site=1, said=390)
_begun(60, "broken off", "ben")
_planned(59, "broken off", "albuterol-2.5mg-3ml")
_drawn(58, "broken off")


def _asked(day: Day) -> None:
    order = day.orders["as needed"]
    due.on_demand(order, by=day.people["ben"], version=order.version, reason="short of breath")


def _not_given(day: Day) -> None:
    dose = DueDose.objects.get(order=day.orders["not given"])
    due.not_given(dose, by=day.people["dana"], version=dose.version, reason="asleep, and breathing well", told=DOCTOR)


def _broken_off(day: Day) -> None:
    made = day.makings["broken off"]
    preparing.break_off(made, by=made.by, version=made.version, reason="the cup was knocked over")


_at(57, _broken_off)
_closed(56, "broken off", "ben")
_at(85, _not_given)
_at(8, _asked)

# Orders in their other states: left open, on hold, changed, ended.
_ordered("open", "Outline", "albuterol by nebulizer every 6 hours", first=-30, said=60)
_ordered("held", "Muster", "albuterol 2.5 mg by nebulizer every 6 hours", first=-60, said=380)
_ordered("changed", "Sketch", "albuterol 2.5 mg by nebulizer every 8 hours", first=-90, said=370)
_ordered("ended", "Model", "ipratropium 500 mcg by nebulizer every 8 hours", first=-120, said=360)


def _hold(day: Day) -> None:
    order = day.orders["held"]
    orders.hold(order, by=day.people["ana"], version=order.version, reason="pulse above 130, prescriber was told")


def _replace(day: Day) -> None:
    order = day.orders["changed"]
    written = Written(
        text="albuterol 2.5 mg by nebulizer every 6 hours",
        prescriber=DOCTOR,
        ordered_at=day.moment - timedelta(minutes=90),
        first_at=day.moment + timedelta(minutes=75),
        spoken=True,
        read_back=True,
    )
    orders.replace(order, written, by=day.people["ana"], version=order.version, reason="more often, by telephone")


def _end(day: Day) -> None:
    order = day.orders["ended"]
    orders.end(order, by=day.people["ana"], version=order.version, reason="replaced by another treatment")


_at(170, _hold)
_at(88, _replace)
_at(80, _end)

# The shelf in its other states.
_shelf(160, "acetylcysteine-20pct", "opened", "")
_shelf(155, "albuterol-2.5mg-3ml", "doubted", "the foil was open")
_shelf(150, "sodium-chloride-0.9pct-unit-dose", "discarded", "fell on the floor")
