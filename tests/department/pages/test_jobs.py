"""Long work on pages: asked for once, shown while it goes on, fetched by who asked and still may, taken back, told in sentences."""

from __future__ import annotations

import io
import re
import zipfile
from datetime import timedelta

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from tests.department.furnished import Ward, furnished, people, ward
from tests.department.printing.reading import bare, told
from tests.department.scene import labelled, scene
from tests.pages import client, said, signed, words

pytestmark = pytest.mark.usefixtures(
    "committed"
)  # an export reads the storage as it stands, by a connection of its own

PATIENTS = 'number,name,born,allergies\n7,"Sample, Gus",1948-02-17,none known\n8,"Sample, Hal",2019-01-31,\n'


def work() -> None:
    """A worker that does what waits."""
    from drawndose.department.keeping import jobs

    while (job := jobs.claim("worker")) is not None:
        jobs.run(job)


def listed(text: str = PATIENTS, name: str = "patients", do: str = "import", **more: object) -> dict[str, object]:
    content = text if isinstance(text, bytes) else text.encode()
    return {"do": do, "list": name, "file": SimpleUploadedFile("list.csv", content), "key": "a"} | more


@pytest.fixture
def made(committed: None) -> Ward:
    return ward()


def test_an_export_is_asked_for_shown_and_fetched(made: Ward) -> None:
    browser = signed(made.max)
    asked = browser.post("/jobs/", {"do": "export", "key": "a"})
    address = asked["Location"]
    assert re.fullmatch(r"/jobs/\d+/", address)
    page = browser.get(address)
    assert "Waiting for a worker" in said(page)
    assert 'hx-trigger="every 2s"' in page.content.decode()
    assert '<noscript><meta http-equiv="refresh"' in page.content.decode()
    assert browser.get(f"{address}file/").status_code == 404
    part = browser.get(address, headers={"hx-request": "true"})
    assert "<html" not in part.content.decode()
    work()
    done = browser.get(address, headers={"hx-request": "true"}).content.decode()
    assert "hx-trigger" not in done
    assert f'href="{address}file/"' in done
    file = browser.get(f"{address}file/")
    assert file["Content-Type"] == "application/zip"
    assert file["Content-Disposition"].startswith("attachment; filename=")
    assert file["Cache-Control"] == "no-store"
    assert "records.json" in zipfile.ZipFile(io.BytesIO(file.content)).namelist()
    assert re.search(
        r"Export of everything that is recorded Done asked for \d\d \w{3} \d{4} \d\d:\d\d \(24 h\) Fetch it",
        said(browser.get("/jobs/")),
    )


def test_a_form_that_is_sent_twice_is_one_job(made: Ward) -> None:
    from drawndose.department.keeping.models import Job

    browser = signed(made.max)
    first, again = (browser.post("/jobs/", {"do": "export", "key": "a"})["Location"] for _ in range(2))
    assert first == again
    assert Job.objects.count() == 1
    made.on.ana.roleheld_set.create(role="manager")
    other = signed(made.on.ana).post("/jobs/", {"do": "export", "key": "a"})
    assert (other.status_code, Job.objects.count()) == (422, 1)


def test_no_more_than_a_few_at_a_time(made: Ward) -> None:
    browser = signed(made.max)
    answers = [browser.post("/jobs/", {"do": "export", "key": str(at)}).status_code for at in range(6)]
    assert answers == [302] * 5 + [422]


def test_what_someone_asked_for_is_no_one_elses(made: Ward) -> None:
    made.on.ben.roleheld_set.create(role="manager")
    browser, other = signed(made.max), signed(made.on.ben)
    address = browser.post("/jobs/", {"do": "export", "key": "a"})["Location"]
    work()
    for where in (address, f"{address}file/"):
        assert other.get(where).status_code == 404
        assert client().get(where).status_code == 302
        assert browser.get(where).status_code == 200
    assert other.post(address, {"do": "cancel"}).status_code == 404
    assert "Export" not in said(other.get("/jobs/")).partition("Yours")[2].partition("Labels")[0]


@pytest.mark.parametrize(("role", "status"), [("preparer", 404), ("learner", 403)])
def test_who_lost_the_right_since_fetches_nothing(made: Ward, role: str, status: int) -> None:
    browser = signed(made.max)
    address = browser.post("/jobs/", {"do": "export", "key": "a"})["Location"]
    work()
    made.max.roleheld_set.update(role=role)
    assert browser.get(f"{address}file/").status_code == status
    assert browser.get(address).status_code == status


def test_who_lost_the_right_before_it_was_done_gets_nothing_done(made: Ward) -> None:
    from drawndose.department.keeping import jobs
    from drawndose.department.ledger.models import Event

    browser = signed(made.max)
    browser.post("/jobs/", {"do": "export", "key": "a"})
    made.max.roleheld_set.all().delete()
    work()
    (one,) = jobs.statuses("max")
    assert (one.state, one.ready) == ("failed", False)
    assert "may not import and export" in one.says
    assert not Event.objects.filter(name="records.exported").exists()


def test_each_form_takes_its_own_right(made: Ward) -> None:
    preparer, manager = signed(made.on.ana), signed(made.max)
    assert preparer.post("/jobs/", {"do": "export", "key": "a"}).status_code == 403
    assert preparer.post("/jobs/", listed()).status_code == 403
    assert manager.post("/jobs/", listed(name="people")).status_code == 403
    page = said(preparer.get("/jobs/"))
    assert "Labels of the shelf" in page
    assert "Export everything" not in page
    lists = manager.get("/jobs/").content.decode()
    assert ("<option>patients" in lists, "<option>people" in lists) == (True, False)
    assert preparer.get("/board/").content.decode().count('href="/jobs/"') == 0
    assert manager.get("/board/").content.decode().count('href="/jobs/"') == 1
    made.max.roleheld_set.update(role="administrator")
    page = said(manager.get("/jobs/"))
    assert ("Labels of the shelf" in page, "Export everything" in page) == (False, True)
    assert "<option>people" in manager.get("/jobs/").content.decode()
    assert manager.post("/jobs/", {"do": "shelf", "on": "a label printer"}).status_code == 403


def test_a_job_is_cancelled_while_it_has_not_ended(made: Ward) -> None:
    from drawndose.department.keeping import jobs

    browser = signed(made.max)
    address = browser.post("/jobs/", {"do": "export", "key": "a"})["Location"]
    assert browser.post(address, {"do": "cancel"})["Location"] == address
    assert "Cancelled" in said(browser.get(address))
    work()
    (one,) = jobs.statuses("max")
    assert (one.state, one.ready) == ("cancelled", False)
    again = browser.post(address, {"do": "cancel"})
    assert (again.status_code, "it has ended already" in said(again)) == (422, True)


def test_an_import_is_tried_first_and_every_fault_is_told_by_its_row(made: Ward) -> None:
    from drawndose.department.work.models import Patient

    browser, before = signed(made.max), Patient.objects.count()
    tried = browser.post("/jobs/", listed(do="try"))["Location"]
    work()
    assert "2 rows of patients: 2 would be added. A dry run: nothing was written." in said(browser.get(tried))
    assert Patient.objects.count() == before
    wrong = PATIENTS + '204118,"Copy, Dora",1961-11-05,\n9,"A, B",31.1.1960,\n'
    failed = browser.post("/jobs/", listed(wrong, do="try", key="b"))["Location"]
    work()
    page = browser.get(failed)
    assert "2 things to mend" in said(page)
    lines = [words(one) for one in re.findall(r"<li>(row .*?)</li>", page.content.decode())]
    assert [line.partition(":")[0] for line in lines] == ["row 4, number", "row 5, born"]
    done = browser.post("/jobs/", listed(key="c"))["Location"]
    work()
    assert "2 rows of patients: 2 added." in said(browser.get(done))
    assert Patient.objects.count() == before + 2


@pytest.mark.parametrize(
    ("content", "rule"),
    [
        (PATIENTS.encode("utf-16"), "it is in UTF-16"),
        (PATIENTS.replace("Gus", "Zoë").encode("latin-1"), "it is not in UTF-8"),
        (b"PK\x03\x04more", "it is a spreadsheet's own file"),
        (b"a" * 500_001, "it is larger than is read at once"),
        (b"a" * 5_000_000, "it is larger than is read at once"),
    ],
)
def test_a_file_that_is_no_list_is_told_before_anything_waits(made: Ward, content: bytes, rule: str) -> None:
    from drawndose.department.keeping.models import Job

    answer = signed(made.max).post("/jobs/", listed(content))  # type: ignore[arg-type]
    assert (answer.status_code, rule in said(answer)) == (422, True)
    assert not Job.objects.exists()


def test_no_file_and_no_such_list_are_told_together(made: Ward) -> None:
    from drawndose.department.pages.jobs import asking

    browser = signed(made.max)
    answer = browser.post("/jobs/", {"do": "import", "list": "shoes", "key": "a"})
    assert "which list is it" in said(answer)
    assert "a file is wanted" in said(answer)
    assert asking.lacking(frozenset(), "sing", {}) == ()
    assert "there is no such work" in said(browser.post("/jobs/", {"do": "sing"}))


def test_the_labels_of_a_span_and_what_has_none() -> None:
    from drawndose.department.keeping.audit import audit
    from drawndose.department.ledger.models import Event

    on = scene()
    manager = people(on)
    labelled(on)
    from tests.department.scene import planned

    planned(on)
    browser = signed(on.ana)
    address = browser.post("/jobs/", {"do": "labels", "on": "a label printer", "key": "a"})["Location"]
    work()
    text = said(browser.get(address))
    assert "1 label, ready to be fetched." in text
    assert "have no label: not prepared yet." in text
    pdf = browser.get(f"{address}file/")
    assert pdf["Content-Type"] == "application/pdf"
    (page,) = told(pdf.content)
    assert bare("Model, Dora, born 05 Nov 1961, no. 204118") in bare(page)
    assert Event.objects.get(name="pack.made").content == {"pack": "labels", "count": 1}
    assert audit().fault == ""
    assert signed(manager).get(f"{address}file/").status_code == 404
    nothing = browser.post(
        "/jobs/",
        {"do": "labels", "on": "a label printer", "key": "b", "first": "2020-01-01 08:00", "last": "2020-01-01 09:00"},
    )["Location"]
    work()
    assert "there are no labels of these doses to print" in said(browser.get(nothing))


def test_the_sheets_of_a_day_are_one_file_with_the_person_on_each() -> None:
    from drawndose.department.work import preparing
    from drawndose.department.work.places import local
    from tests.department.scene import planned

    on = scene()
    people(on)
    made, _, _ = planned(on)
    free, _, _ = planned(on, "albuterol 2.5 mg by nebulizer, made up to 3 mL, once")
    begun = preparing.begin(free.order, by=on.ana)
    day = local(on.site, made.dose.due_at).date()
    browser = signed(on.ana)
    address = browser.post("/jobs/", {"do": "sheets", "on": "A4", "day": day.isoformat(), "key": "a"})["Location"]
    work()
    pages = [bare(text) for text in told(browser.get(f"{address}file/").content)]
    assert "2 sheets, ready to be fetched." in said(browser.get(address))
    assert all(bare("Model, Dora, born 05 Nov 1961, no. 204118") in text for text in pages)
    assert browser.get(f"/sheet/{begun.pk}/sheet.pdf").status_code == 404
    one = browser.get(f"/sheet/{made.pk}/sheet.pdf")
    assert one["Content-Type"] == "application/pdf"
    assert {bare(text)[:40] for text in told(one.content)} == {pages[0][:40]}


def test_the_labels_of_a_shelf_stand_on_sheets_and_by_place() -> None:
    from drawndose.department.work.models import Container

    made = furnished()
    browser = signed(made.on.ana)
    grid = "A4, 3 x 8"
    address = browser.post("/jobs/", {"do": "shelf", "on": grid, "place": "drawer 1", "key": "a"})["Location"]
    work()
    count = Container.objects.filter(place="Drawer 1", state__in=["received", "opened"]).count()
    assert f"{count} labels, ready to be fetched." in said(browser.get(address))
    (page,) = told(browser.get(f"{address}file/").content)
    assert bare(page).count("LotS220") == count
    far = browser.post("/jobs/", {"do": "shelf", "on": grid, "place": "x" * 81, "key": "b"})
    assert (far.status_code, "up to 80 characters" in said(far)) == (422, True)
    wrong = browser.post("/jobs/", {"do": "shelf", "on": "parchment", "key": "c"})
    assert (wrong.status_code, "what it is printed on" in said(wrong)) == (422, True)


def test_an_open_container_without_a_discard_date_is_left_out_and_named() -> None:
    from drawndose.department.work.models import Container
    from tests.department.scene import BOTTLE, received

    made = furnished()
    received(made.on, BOTTLE, "20 mL", place="Drawer 9")
    other = received(made.on, BOTTLE, "20 mL", place="Drawer 9")
    Container.objects.filter(pk=other.pk).update(state="opened", opened_at=other.received_at)
    browser = signed(made.on.ana)
    sent = {"do": "shelf", "on": "a label printer", "place": "Drawer 9", "key": "a"}
    address = browser.post("/jobs/", sent)["Location"]
    work()
    text = said(browser.get(address))
    assert "1 label, ready to be fetched." in text
    assert f"Left out: container {other.pk}. discard: an opened container label says this." in text


def test_a_label_that_no_paper_holds_is_named_and_a_pack_of_nothing_is_none() -> None:
    from drawndose.department.work.models import Patient

    on = scene()
    people(on)
    made, _, _ = labelled(on)
    browser = signed(on.ana)
    made.label = [one | {"text": "W" * 400} if one["name"] == "person" else one for one in made.label]
    made.save()
    Patient.objects.update(name="x")
    address = browser.post("/jobs/", {"do": "labels", "on": "A4, 3 x 8", "key": "a"})["Location"]
    work()
    text = said(browser.get(address))
    assert "Nothing was done" in text
    assert f"Left out: sheet {made.pk}. cup label" in text
    assert browser.get(f"{address}file/").status_code == 404


def test_a_span_that_cannot_be_is_told_and_a_night_ends_the_next_day(made: Ward) -> None:
    from drawndose.department.keeping.models import Job

    browser = signed(made.on.ana)
    sent = {"do": "labels", "on": "a label printer"}
    for first, last, rule in (
        ("lunch", "supper", "Came: lunch"),
        ("2026-11-25 08:00", "2026-11-27 08:00", "within 24 h"),
        ("2026-11-25 08:00", "2026-11-25 07:00", "ends after its start"),
        ("7.5", "15:00", "for today, or 2026-11-25 14:05"),
    ):
        answer = browser.post("/jobs/", sent | {"first": first, "last": last, "key": first})
        assert (answer.status_code, rule in said(answer)) == (422, True), said(answer)
    assert f'value="{first}"' in answer.content.decode()
    assert browser.post("/jobs/", sent | {"first": "19:00", "last": "07:00", "key": "n"}).status_code == 302
    asked = Job.objects.get().arguments
    from datetime import datetime

    assert datetime.fromisoformat(asked["last"]) - datetime.fromisoformat(asked["first"]) == timedelta(hours=12)


def test_a_job_that_no_worker_takes_up_says_how_one_is_started(made: Ward, monkeypatch: pytest.MonkeyPatch) -> None:
    from drawndose.department.pages.jobs import views

    browser = signed(made.max)
    address = browser.post("/jobs/", {"do": "export", "key": "a"})["Location"]
    assert "drawndose department work" not in said(browser.get(address))
    monkeypatch.setattr(views, "PATIENCE_S", -1)
    assert "drawndose department work" in said(browser.get(address))
