"""Papers of the skills lab, made by a worker: those of a day, one PDF of each kind, and the files of a whole class, one of each learner."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from typing import Any

from django.utils.text import slugify

from drawndose.bench.moments import told
from drawndose.department.keeping.jobs import Kind, Progress, Result, register
from drawndose.department.keeping.models import Job
from drawndose.department.ledger.append import append, now
from drawndose.department.pages.lab.frame import Place, sits_in
from drawndose.department.pages.lab.papers import laid
from drawndose.department.people.models import Person
from drawndose.department.people.roles import Right, roles_with
from drawndose.department.training.cohort import ident
from drawndose.department.training.forms import forms_in_use
from drawndose.department.training.models import Cohort, LabDay, Learner
from drawndose.department.training.records import records_of_class
from drawndose.department.work.label_stock import PAPERS
from drawndose.department.work.places import local
from drawndose.lab.papers.class_file import class_file
from drawndose.lab.papers.document import Document, pdf_of
from drawndose.lab.papers.file import Records
from drawndose.lab.papers.learner_file import learner_file
from drawndose.lab.papers.pack import KINDS, documents
from drawndose.quantities import Fault, Refused

RIGHTS = (Right.TEACH, Right.SET_POLICY)
"""Either of them is enough, as on the pages of the lab."""
MOST = 200
"""Learners whose files are made at once. A house setting."""
Pages = Iterator[tuple[str, str, Callable[[], tuple[Document, ...]]]]
"""Each PDF: its name, what it is in words, and what makes its pages."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Zipped:
    """What was made, and how many PDFs it holds."""

    content: bytes
    count: int


def lab_person(username: str, cohort: Cohort) -> Person:
    """Who may have the papers of this class. Refused for anyone else, and for a learner of it: the key is among them."""
    person = Person.objects.filter(username=username, is_active=True).first()
    if person is None or not any(person.may(right) for right in RIGHTS):
        rule, accepted = "this person may not have papers of the lab", ", ".join(roles_with(*RIGHTS))
        raise Refused([Fault(field="by", rule=rule, came=username, accepted=accepted)])
    if sits_in(person, cohort):
        rule = "who is a learner of the class does not print its papers"
        raise Refused([Fault(field="by", rule=rule, came=person.name, accepted="another evaluator")])
    return person


def _cohort(asked: dict[str, Any]) -> Cohort:
    if asked["pack"] == "lab-day":
        return LabDay.objects.select_related("cohort").get(pk=asked["of"]).cohort
    return Cohort.objects.get(pk=asked["of"])


def _printed(asked: dict[str, Any], by: Person) -> str:
    return f"Printed {told(local(Place(asked['zone']), now()))} by {by.name}"  # type: ignore[arg-type]


def _day(asked: dict[str, Any], by: Person) -> Pages:
    day, forms = laid(LabDay.objects.get(pk=asked["of"]), _printed(asked, by)), forms_in_use()
    for kind, words in KINDS.items():
        yield f"{kind}.pdf", words, partial(documents, day, kind, forms)


def _class(asked: dict[str, Any], by: Person) -> Pages:
    cohort, printed = Cohort.objects.get(pk=asked["of"]), _printed(asked, by)
    learners = list(Learner.objects.filter(cohort=cohort).select_related("person").order_by("number"))
    if not 0 < len(learners) <= MOST:
        rule = f"files of 1 to {MOST} learners are made at once"
        raise Refused([Fault(field="class", rule=rule, came=f"{len(learners):,}", accepted="a smaller class")])
    found = records_of_class(cohort, asked["zone"], local(Place(asked["zone"]), now()).date())  # type: ignore[arg-type]
    who = [ident(one) for one in learners]
    yield "class.pdf", "The class", lambda: (class_file(found, who, of=cohort.name, printed=printed),)
    for place, (one, learner) in enumerate(zip(who, learners, strict=True), start=1):
        name = f"{place:03d}-{slugify(learner.name, allow_unicode=True)}"[:60]
        yield f"{name}.pdf", learner.name, partial(_file, found, one, cohort.name, printed)


def _file(found: Records, who: str, of: str, printed: str) -> tuple[Document, ...]:
    return (learner_file(found, who, of=of, printed=printed),)


PACKS: dict[str, Callable[[dict[str, Any], Person], Pages]] = {"lab-day": _day, "lab-class": _class}
"""Each pack by its name."""


def _work(job: Job, progress: Progress) -> Zipped:
    asked = job.arguments
    pages = list(PACKS[asked["pack"]](asked, lab_person(job.by, _cohort(asked))))
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as archive:
        for place, (name, words, make) in enumerate(pages):
            progress(place, len(pages), f"{words}: the pages are set")
            archive.writestr(name, pdf_of(make(), PAPERS[asked["on"]]))
    return Zipped(content=made.getvalue(), count=len(pages))


def _land(job: Job, made: Zipped) -> Result:
    pack, by = job.arguments["pack"], lab_person(job.by, _cohort(job.arguments))
    append("pack.made", "storage", "1", actor=by.username, content={"pack": pack, "count": made.count})
    name = f"{pack}-{job.submitted_at:%Y-%m-%dT%H%M%SZ}.zip"
    says = f"{made.count} PDFs in one zip, ready to be fetched."
    return Result(name=name, media_type="application/zip", content=made.content, says=says)


register("lab_pack", Kind(work=_work, land=_land))
