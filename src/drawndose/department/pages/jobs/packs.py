"""Packs of paper, made by a worker: the labels of doses due in a span, the preparation sheets of a day, the labels of a shelf."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Any

from django.db.models import Q, QuerySet

from drawndose.department.keeping.importing import importer
from drawndose.department.keeping.jobs import Kind, Progress, Result, register
from drawndose.department.keeping.models import Job
from drawndose.department.ledger.append import append
from drawndose.department.pages import container_label
from drawndose.department.pages.label_sizes import sizes_here
from drawndose.department.pages.sheet import label as cup_label
from drawndose.department.pages.sheet import paper
from drawndose.department.people.models import Person
from drawndose.department.people.roles import Right
from drawndose.department.printing import GRIDS, Size, preparation_sheets, print_each, print_sheet, size_for
from drawndose.department.printing.label import Label
from drawndose.department.work.label_stock import PAPERS
from drawndose.department.work.models import Container, DueDose, Preparation, Site
from drawndose.department.work.places import zone_of
from drawndose.quantities import Fault, Refused

MOST = 300
"""Labels or sheets of one pack: a longer list is taken in parts. A house setting."""
RIGHT = Right.SEE_WORK
EACH = "a label printer"
GRID_OF = {grid.name: grid for grid in GRIDS}


@dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """A pack: the PDF, how many labels or sheets, and in sentences what was left out and why."""

    pdf: bytes
    count: int
    left_out: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Pack:
    """One kind of pack. title: what it is called. on: what it can be printed on. make: out of what was asked, for a person."""

    title: str
    on: tuple[str, ...]
    make: Callable[[dict[str, Any], Person, Progress], Made]


def _each(
    rows: Sequence[Any], content: Callable[[Any], Any], name: Callable[[Any], str], progress: Progress
) -> tuple[list[Any], tuple[str, ...]]:
    """What can be printed of the rows, and in a sentence each that cannot, with why. Refused when nothing can."""
    made, left = [], []
    for at, row in enumerate(rows):
        progress(at, len(rows), f"{name(row)} is set")
        try:
            made.append(content(row))
        except Refused as refused:
            left.append(f"Left out: {name(row)}. {' '.join(str(one) for one in refused.faults)}")
    if not made:
        raise Refused([Fault(field="pack", rule=one, came="", accepted="what can be printed") for one in left])
    progress(len(rows), len(rows), "the pages are put together")
    return made, tuple(left)


def _labels(
    rows: Sequence[Any], content: Callable[[Any], Label], on: str, name: Callable[[Any], str], progress: Progress
) -> Made:
    """Every label that the paper holds; what cannot be printed is told by what it is of."""

    sizes = sizes_here() if on == EACH else (GRID_OF[on].size,)

    def sized(row: Any) -> tuple[Label, Size]:
        label = content(row)
        return label, size_for(label, sizes)

    found, left = _each(rows, sized, name, progress)
    pdf = print_each(found) if on == EACH else print_sheet([label for label, _ in found], GRID_OF[on]).pdf
    return Made(pdf=pdf, count=len(found), left_out=left)


def _some(rows: QuerySet, what: str) -> list[Any]:
    """The rows. Refused for none, or for more than one pack holds."""
    found = list(rows[: MOST + 1])
    if not found:
        raise Refused([Fault(field="pack", rule=f"there are no {what} to print", came="none", accepted="another span")])
    if len(found) > MOST:
        rule = f"a pack holds at most {MOST} of them"
        raise Refused([Fault(field="pack", rule=rule, came=f"more than {MOST}", accepted="a shorter span")])
    return found


def _sheet_name(made: Preparation) -> str:
    return f"sheet {made.pk}"


ROWS = ("order__patient", "order__site", "dose", "by", "read_by")


def due_labels(asked: dict[str, Any], by: Person, progress: Progress) -> Made:
    """The labels that were written for doses due in a span. Doses of the span that have none are told."""
    span = {f"due_at__{way}": datetime.fromisoformat(asked[end]) for way, end in (("gte", "first"), ("lt", "last"))}
    due = DueDose.objects.filter(order__site=asked["site"], **span)
    waiting = due.filter(state__in=["due", "being prepared"]).count()
    ready = Preparation.objects.filter(dose__in=due, state="labelled").exclude(label=[])
    rows = _some(ready.select_related(*ROWS).order_by("dose__due_at", "pk"), "labels of these doses")
    made = _labels(rows, cup_label.content_of, asked["on"], _sheet_name, progress)
    none = "1 dose of this span has no label" if waiting == 1 else f"{waiting} doses of this span have no label"
    left = (f"{none}: not prepared yet.",) if waiting else ()
    return replace(made, left_out=(*left, *made.left_out))


def day_sheets(asked: dict[str, Any], by: Person, progress: Progress) -> Made:
    """The preparation sheets of a day: of doses that were due on it, and of free ones that were begun on it."""
    zone = zone_of(Site.objects.get(pk=asked["site"]))
    first = datetime.fromisoformat(asked["day"]).replace(tzinfo=zone)
    span = (first, (first + timedelta(days=1)))
    of_day = Q(dose__due_at__gte=span[0], dose__due_at__lt=span[1]) | Q(
        dose=None, started_at__gte=span[0], started_at__lt=span[1]
    )
    rows = Preparation.objects.filter(of_day, order__site=asked["site"], state__in=paper.PLANNED)
    found = _some(rows.select_related(*ROWS).order_by("dose__due_at", "pk"), "preparation sheets of this day")
    # Setting a sheet takes long, writing down what it says does not.
    contents, left = _each(found, lambda made: paper.content_of(made, by), _sheet_name, lambda done, total, says: None)
    pdf = preparation_sheets(
        contents,
        PAPERS[asked["on"]],
        lambda at: progress(at - 1, len(contents), f"sheet {at} of {len(contents)} is set"),
    )
    return Made(pdf=pdf, count=len(contents), left_out=left)


def shelf_labels(asked: dict[str, Any], by: Person, progress: Progress) -> Made:
    """The labels of the containers of a shelf, as they stand now: with the discard date where one is open."""
    rows = Container.objects.filter(site=asked["site"], state__in=["received", "opened"])
    if asked.get("place"):
        rows = rows.filter(place__iexact=asked["place"])
    found = _some(rows.select_related("site", "owner").order_by("place", "presentation", "pk"), "containers here")
    return _labels(found, container_label.content_of, asked["on"], lambda row: f"container {row.pk}", progress)


PACKS: dict[str, Pack] = {
    "labels": Pack(title="Labels of prepared doses, by when they are due", on=(EACH, *GRID_OF), make=due_labels),
    "sheets": Pack(title="Preparation sheets of a day", on=tuple(PAPERS), make=day_sheets),
    "shelf": Pack(title="Labels of the shelf", on=(EACH, *GRID_OF), make=shelf_labels),
}
"""Every pack by its name."""


def _work(job: Job, progress: Progress) -> Made:
    return PACKS[job.arguments["pack"]].make(job.arguments, importer(job.by, RIGHT), progress)


def _land(job: Job, made: Made) -> Result:
    by, pack = importer(job.by, RIGHT), job.arguments["pack"]
    append("pack.made", "storage", "1", actor=by.username, content={"pack": pack, "count": made.count})
    thing = "sheet" if pack == "sheets" else "label"
    says = f"{made.count} {thing}{'' if made.count == 1 else 's'}, ready to be fetched."
    name = f"{pack}-{job.submitted_at:%Y-%m-%dT%H%M%SZ}.pdf"
    return Result(name=name, media_type="application/pdf", content=made.pdf, says="\n".join((says, *made.left_out)))


register("pack", Kind(work=_work, land=_land))
