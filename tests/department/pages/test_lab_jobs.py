"""Papers of the lab as long work: a zip of a day's papers or a class's files, for who may have them, and never for who sits in it."""

from __future__ import annotations

import io
import zipfile
from typing import Any

import pytest

from tests.department.people.staff import person
from tests.department.training.school import passed, school
from tests.pages import said, signed

pytestmark = pytest.mark.usefixtures("storage")


def work() -> None:
    from drawndose.department.keeping import jobs

    while (job := jobs.claim("worker")) is not None:
        jobs.run(job)


def set_quickly(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Only the titles are kept of what would be set: how it is set is tried where the papers are."""
    from drawndose.department.pages.jobs import lab_packs

    titles: list[str] = []

    def pdf_of(documents: Any, paper: Any) -> bytes:
        titles.extend(f"{one.title}, {paper.name}" for one in documents)
        return b"%PDF"

    monkeypatch.setattr(lab_packs, "pdf_of", pdf_of)
    return titles


def test_the_papers_of_a_day_are_one_zip(monkeypatch: pytest.MonkeyPatch) -> None:
    from drawndose.department.ledger.models import Event

    on, titles = school(), set_quickly(monkeypatch)
    browser = signed(on.fay)
    page = said(browser.get("/jobs/"))
    assert "Papers of a lab day" in page
    assert "Export everything" not in page
    address = browser.post("/jobs/", {"do": "lab-day", "of": on.day.pk, "on": "Letter", "key": "a"})["Location"]
    work()
    assert "6 PDFs in one zip" in said(browser.get(address))
    made = zipfile.ZipFile(io.BytesIO(browser.get(f"{address}file/").content))
    assert made.namelist() == ["stations.pdf", "cards.pdf", "labels.pdf", "key.pdf", "supplies.pdf", "forms.pdf"]
    assert len(titles) == 5 + 5
    assert all(one.endswith("Letter") for one in titles)
    assert Event.objects.get(name="pack.made").content == {"pack": "lab-day", "count": 6}
    assert signed(on.gil).get(address).status_code == 404
    assert signed(on.lea).get("/jobs/").status_code == 403


def test_the_files_of_a_class_are_one_of_each_learner_and_one_of_all(monkeypatch: pytest.MonkeyPatch) -> None:
    on, titles = school(), set_quickly(monkeypatch)
    passed(on)
    browser = signed(on.max)
    address = browser.post("/jobs/", {"do": "lab-class", "of": on.cohort.pk, "on": "A4", "key": "a"})["Location"]
    work()
    made = zipfile.ZipFile(io.BytesIO(browser.get(f"{address}file/").content))
    assert made.namelist() == ["class.pdf", *(f"{one}.pdf" for one in ("001-lea-model", "002-nia-sample", "003-oda-sketch", "004-pia-outline"))]  # fmt: skip
    assert titles[:2] == ["File of Autumn 2026, A4", "File of Lea Model, A4"]


def test_what_cannot_be_made_is_told_at_once() -> None:
    from drawndose.department.people.roles import Role
    from drawndose.department.training import cohort

    on = school()
    browser = signed(on.fay)
    for fields, rule in (
        ({"do": "lab-day", "of": "999", "on": "A4"}, "there is no such day"),
        ({"do": "lab-class", "of": "x", "on": "A4"}, "there is no such class"),
        ({"do": "lab-class", "of": on.cohort.pk, "on": "papyrus"}, "what it is printed on"),
    ):
        answer = browser.post("/jobs/", fields | {"key": rule})
        assert (answer.status_code, rule in said(answer)) == (422, True)
    both = person("both", "Bo Both", Role.EVALUATOR, Role.LEARNER)
    learner = on.learner("103")
    cohort.link(learner, both, by=on.max, version=learner.version)
    answer = signed(both).post("/jobs/", {"do": "lab-day", "of": on.day.pk, "on": "A4", "key": "b"})
    assert (answer.status_code, "who is a learner of the class" in said(answer)) == (422, True)
    ana = person("ana", "Ana Sample", Role.PREPARER)
    answer = signed(ana).post("/jobs/", {"do": "lab-day", "of": on.day.pk, "on": "A4", "key": "c"})
    assert answer.status_code == 403
    assert "Papers of a lab day" not in said(signed(ana).get("/jobs/"))


def test_who_lost_the_right_meanwhile_and_an_empty_class_get_nothing() -> None:
    from drawndose.department.people.models import Person
    from drawndose.department.training import cohort

    on = school()
    browser = signed(on.gil)
    address = browser.post("/jobs/", {"do": "lab-day", "of": on.day.pk, "on": "A4", "key": "a"})["Location"]
    Person.objects.filter(pk=on.gil.pk).update(is_active=False)
    empty = cohort.open_cohort("Empty", by=on.max)
    none = signed(on.max).post("/jobs/", {"do": "lab-class", "of": empty.pk, "on": "A4", "key": "b"})["Location"]
    work()
    assert "files of 1 to 200 learners" in said(signed(on.max).get(none))
    Person.objects.filter(pk=on.gil.pk).update(is_active=True)
    assert "may not have papers of the lab" in said(signed(on.gil).get(address))
