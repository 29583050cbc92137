"""One task out of a template: the station set up, the order written, the engine asked, and the key made of its plan.

The engine is asked as at the bedside: `plan` with the containers, the measures and the moment. What it answers is the key.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from functools import lru_cache

from drawndose.bench.condition import Condition, Sight
from drawndose.bench.in_hand import InHand
from drawndose.bench.kept import Tool
from drawndose.bench.order import read_order
from drawndose.bench.plans import Plan, plan
from drawndose.lab.reading import refused, zoned
from drawndose.lab.tasks.answer_key import key_of
from drawndose.lab.tasks.task import Flaw, Stand, Task
from drawndose.lab.tasks.template import Template, template
from drawndose.quantities import show
from drawndose.reference import Catalogue, Container, Needle, Pack, Presentation, load

GOOD_FOR = timedelta(days=420)
PAST_BY = timedelta(days=45)
PEOPLE = ("Ada Alder, record 4471", "Ben Birch, record 4417")
"""Invented people: whom the order is for, and somebody whose record number looks alike."""


def draw_up(made: Template, pick: tuple[int, int, int], at: datetime) -> Task:
    """The task that a template makes of one of its picks, for this moment. ValueError without a zone."""
    return _drawn(made, pick, zoned(at, "the moment of a task"))


def task_again(ident: str, at: datetime) -> Task:
    """The task of this id, made again. Refused when the template is not there, or is of another version by now."""
    parts = ident.split(".")
    if len(parts) != 3 or not all(one.isdigit() for one in parts[2].split("-")):
        raise refused("task", "this is no id of a task", ident, "bottle-dropper.1a2b3c4d.0-1-0")
    made = template(parts[0])
    if made.version[:8] != parts[1]:
        rule = "the template is of another version now, and this task cannot be made again by it"
        raise refused("task", rule, ident, f"{made.id}.{made.version[:8]}")
    pick = tuple(int(one) for one in parts[2].split("-"))
    for one in made.picks:
        if one == pick:
            return draw_up(made, one, at)
    raise refused("task", "the template makes no such task", ident, f"one of its {len(made.picks)} tasks")


@lru_cache(maxsize=4096)
def _drawn(made: Template, pick: tuple[int, int, int], at: datetime) -> Task:
    row, book = made.rows[pick[0]], load()
    fill = row.fills[pick[1]] if row.fills else ""
    order = made.order.format(dose=row.dose, fill=fill, often=made.often[pick[2]], weight=row.weight)
    stand = _stand(made, book, at)
    answer = _asked(order, stand, at, book)
    container = stand.drug.presentation.container
    return Task(
        id=f"{made.id}.{made.version[:8]}.{'-'.join(map(str, pick))}",
        template=made.id,
        template_version=made.version,
        at=at,
        kind=made.kind,
        flaw=made.flaw,
        title=f"{container.value.capitalize()}",
        form=made.form,
        container=container,
        difficulty=row.difficulty,
        order=order,
        person=PEOPLE[0],
        stand=stand,
        tolerance=made.tolerance,
        minutes=made.minutes,
        say=made.say,
        write=made.write,
        plan=answer,
        key=key_of(made, row, answer),
    )


def _asked(order: str, stand: Stand, at: datetime, book: Catalogue) -> Plan:
    drugs = (stand.drug,) if stand.diluent is None else (stand.drug, stand.diluent)
    tools: tuple[Tool, ...] = (*stand.measures, stand.cup, *_needles(stand, book))
    return plan(read_order(order, catalogue=book), containers=drugs, instruments=tools, started=at, catalogue=book)


def _needles(stand: Stand, book: Catalogue) -> tuple[Needle, ...]:
    """Glass is drawn from through a filter needle; elsewhere the plan counts its usual one."""
    glass = stand.drug.presentation.container is Container.GLASS_AMPOULE
    return (book.needle("filter-needle"),) if glass else ()


def _stand(made: Template, book: Catalogue, at: datetime) -> Stand:
    drug = book.presentation(made.drug)
    diluent = book.presentation(made.diluent) if made.diluent else None
    sound = Condition(expiry=(at + GOOD_FOR).date())
    return Stand(
        drug=InHand(presentation=drug, pack=_pack(drug, made.drug_pack), condition=_condition(made.flaw, at)),
        diluent=None
        if diluent is None
        else InHand(presentation=diluent, pack=_pack(diluent, made.diluent_pack), condition=sound),
        measures=tuple(book.instrument(one) for one in made.measures),
        cup=next(one for one in book.cups if one.id == made.cup),
    )


def _pack(of: Presentation, size: str) -> Pack:
    """The fill size of this text. Refused where it is not made in it."""
    sizes = {show(one.volume): one for one in of.packs if one.volume is not None}
    if size not in sizes:
        raise refused(f"pack of {of.id}", "it is not made in this size", size, ", ".join(sizes))
    return sizes[size]


def _condition(flaw: Flaw, at: datetime) -> Condition:
    """The container as it stands there: sound, or with what is wrong with it. Dates are laid around the moment."""
    good = (at + GOOD_FOR).date()
    return {
        Flaw.EXPIRED: Condition(expiry=(at - PAST_BY).date()),
        Flaw.UNDATED: Condition(expiry=good, undated=True),
        Flaw.ANOTHERS: Condition(expiry=good, owner=PEOPLE[1], person=PEOPLE[0]),
        Flaw.FAULTY: Condition(expiry=good, seen=(Sight.CLOUDY,)),
    }.get(flaw, Condition(expiry=good))
