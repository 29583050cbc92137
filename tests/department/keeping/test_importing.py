"""Lists: every fault by its row, all of it or nothing, and a dry run that is the same run undone."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from drawndose.quantities import Refused
from tests.department.scene import BOTTLE, ORDER, SALINE, scene

pytestmark = pytest.mark.usefixtures("storage")

PEOPLE = 'username,name,roles\nd.sample,"Sample, Dana",preparer; giver\ne.sample,Eli Sample,learner\n'
PATIENTS = 'number,name,born,allergies,weight,weighed_on\n7,"Made, Up",1960-02-29,none,70 kg,2026-11-01\n8,"Else, A",2019-01-31,,,\n'
ORDERS = f'patient,site,order,prescriber,ordered_at,first_at\n204118,Ward 3,"{ORDER}",Dr. Invented,2026-11-24 07:40,2026-11-24 08:00\n'
CONTAINERS = f"site,presentation,pack,lot,expiry,count,place\nWard 3,{BOTTLE},20 mL,4K21,2099-06-30,,shelf A\nWard 3,{SALINE},3 mL,S1,2099-12-31,12,\n"
LISTS = {"people": PEOPLE, "patients": PATIENTS, "orders": ORDERS, "containers": CONTAINERS}


def taken(kind: str, text: str | bytes, *, dry_run: bool = False) -> str:
    from drawndose.department.keeping.importing import read_list, write_list
    from drawndose.department.people.models import Person

    content = text if isinstance(text, bytes) else text.encode()
    return write_list(read_list(kind, content), Person.objects.get(username="ana"), dry_run=dry_run)


def counts() -> list[int]:
    from drawndose.department.keeping.tables import tables

    return [model._base_manager.count() for model in tables().values()]


def refused(kind: str, text: str | bytes) -> list[str]:
    """Every fault of a list; it is checked that nothing was written, wet or dry."""
    before = counts()
    said = []
    for dry_run in (True, False):
        with pytest.raises(Refused) as met:
            taken(kind, text, dry_run=dry_run)
        said.append([str(fault) for fault in met.value.faults])
        assert counts() == before
    assert said[0] == said[1], "the dry run told something else"
    return said[0]


def test_every_list_is_taken_and_the_audit_agrees() -> None:
    from drawndose.department.keeping.audit import audit
    from drawndose.department.people.models import Person
    from drawndose.department.people.roles import Right
    from drawndose.department.work.models import Container, DueDose, Order, Patient

    scene()
    assert taken("people", PEOPLE) == "2 rows of people: 2 added."
    dana = Person.objects.get(username="d.sample")
    assert (dana.may(Right.GIVE), dana.has_usable_password(), dana.name) == (True, False, "Sample, Dana")
    taken("patients", PATIENTS)
    seven, eight = Patient.objects.get(number="7"), Patient.objects.get(number="8")
    assert (seven.weight_g, seven.weighed_on, seven.allergies_asked) == (70_000, date(2026, 11, 1), True)
    assert (eight.weight_g, eight.allergies_asked, eight.born) == (None, False, date(2019, 1, 31))
    assert taken("orders", ORDERS) == "1 rows of orders: 1 complete."
    assert DueDose.objects.filter(order=Order.objects.get()).exists()
    assert taken("containers", CONTAINERS) == "2 rows of containers: 13 on the shelf."
    assert (Container.objects.count(), Container.objects.filter(place="shelf A").count()) == (13, 1)
    assert audit().fault == ""


@pytest.mark.parametrize("kind", LISTS)
def test_a_dry_run_writes_nothing_and_says_so(kind: str) -> None:
    scene()
    before = counts()
    assert taken(kind, LISTS[kind], dry_run=True).endswith("A dry run: nothing was written.")
    assert counts() == before


@pytest.mark.parametrize("kind", ["orders", "containers", "people", "patients"])
def test_the_same_file_is_not_taken_twice(kind: str) -> None:
    scene()
    taken(kind, LISTS[kind])
    said = refused(kind, LISTS[kind])
    assert len(said) == len(LISTS[kind].splitlines()) - 1
    assert all("already" in one or "imported before" in one or "has this number" in one for one in said), said


def test_every_fault_is_told_by_its_row_and_field() -> None:
    scene()
    rows = [
        "patient,site,order,prescriber,ordered_at,first_at,spoken,read_back",
        '204118,Ward 9,"albuterol 2.5 mg by nebulizer with pixie dust",,yesterday,2026-11-24 08:00,yes,',
        f'999,Ward 3,"{ORDER}",Dr. Invented,2099-01-01 08:00,2099-01-01 08:00,maybe,',
        f'204118,Ward 3,"{ORDER}",Dr. Invented,2026-11-01 01:30,2026-03-08 02:30,yes,no',
        f'204118,Ward 3,"{ORDER}",Dr. Invented,2026-11-24 07:40,2026-11-24 08:00,yes,no',
    ]
    said = refused("orders", "\n".join(rows))
    wanted = [
        "row 2, prescriber: this is needed",
        "row 2, site: there is no site of this name",
        "row 2, order",
        "row 3, patient: there is no patient",
        "row 3, spoken: yes or no",
        "row 4, ordered_at: the clock of America/Chicago shows this time twice",
        "row 4, first_at: the clock of America/Chicago skips this time",
        "row 5, read back",
    ]
    assert [one for one in wanted if not any(each.startswith(one) for each in said)] == []
    assert [one for one in said if not one.startswith(("row 2", "row 3", "row 4", "row 5"))] == []


def test_faults_of_writing_are_told_with_those_of_reading() -> None:
    scene()
    rows = f"site,presentation,pack,lot,expiry,count,code\nWard 3,{BOTTLE},20 mL,A,2020-01-31,1,\nWard 3,{BOTTLE},7 mL,B,31.1.2099,many,12a\nWard 3,no-such-thing,1 mL,,2099-01-31,1,\n"
    said = refused("containers", rows)
    assert said[0].startswith("row 2, expiry: it is past")
    assert {one.split(":")[0] for one in said if one.startswith("row 3")} == {
        "row 3, expiry",
        "row 3, count",
        "row 3, fill size",
        "row 3, code",
    }
    assert {one.split(":")[0] for one in said if one.startswith("row 4")} == {"row 4, lot", "row 4, presentation"}


@pytest.mark.parametrize(
    ("kind", "row", "said"),
    [
        ("patients", '9,"A, B",1.1.1960,,,', "row 2, born: a day is year, month and day"),
        ("patients", '9,"A, B",1960-02-30,,,', "row 2, born: a day is year, month and day"),
        ("patients", '9,"A, B",1960-02-28,,70 kg,', "row 2, weighed_on: a weight has its day"),
        ("patients", '9,"A, B",1960-02-28,,70,2026-01-01', "row 2, weight"),
        ("patients", '9,"A, B",1960-02-28,,70 mL,2026-01-01', "row 2, weight: a patient's weight is in kg or g"),
        ("patients", '9,"A, B",1960-02-28,,0.5 g,2026-01-01', "row 2, weight: a patient's weight is in kg or g"),
        ("patients", ',"A, B",1960-02-28,,,', "row 2, number: this is needed"),
        ("patients", '204118,"A, B",1960-02-28,,,', "row 2, number: another patient has this number"),
        ("patients", f'{"9" * 31},"A, B",1960-02-28,,,', "row 2, number: a number has 1 to 30 characters"),
        ("patients", '9,"A, B",1960-02-28,???,,', "row 2, allergies"),
        ("patients", '9,"A, B",2020-02-28,,90 kg,2026-01-01', "row 2, weight"),
        ("patients", '9,"A, B",1860-02-28,,,', "row 2, born: a day of birth lies between"),
        ("patients", '9,"Model, Dora",1961-11-05,,,', "row 2, other: a patient of this name and day of birth"),
        ("people", "Ana,Ana Again,giver", "row 2, username: someone signs in by this name already"),
        ("people", "a b,A B,giver", "row 2, username: a name to sign in with has other characters"),
        ("people", "ab,A B,boss", "row 2, roles: there is no such role"),
        ("people", f"ab,{'A' * 121},giver", "row 2, name: it is too long"),
    ],
)
def test_a_wrong_cell_says_what_is_accepted(kind: str, row: str, said: str) -> None:
    scene()
    found = refused(kind, LISTS[kind].splitlines()[0] + "\n" + row + "\n")
    assert found[0].startswith(said)
    assert "Accepted: " in found[0]


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (PEOPLE.encode("utf-16"), "it is in UTF-16"),
        (PEOPLE.replace("Dana", "Zoë").encode("latin-1"), "byte 0xeb in line 2"),
        (b"PK\x03\x04rest", "a spreadsheet's own file"),
        (b"username,name,roles\na\0b,A,\n", "NUL in line 2"),
        (b"x" * 500_001, "larger than is read at once"),
        (b"", "the column username is missing"),
        (b"username;name;roles\na;A;giver\n", "cells are parted by commas"),
        (b"username,name,roles,shoe\n", "no such column"),
        (b"username,name,name\na,A,A\n", "the column stands twice"),
        (b"username,name\na,A\n", "the column roles is missing"),
        (b"username,name,roles\n", "a list has 1 to 500 rows"),
        (b"username,name,roles\na,Doe, Jane,giver\n", "row 2: it has another number of cells"),
        (b'username,name,roles\na,"A"b,giver\n', "the quotes do not fit"),
    ],
)
def test_a_file_that_is_no_such_list_says_why(content: bytes, said: str) -> None:
    scene()
    assert any(said in one for one in refused("people", content))


def test_a_mark_at_the_start_and_empty_rows_do_no_harm() -> None:
    scene()
    assert taken("people", b"\xef\xbb\xbf" + PEOPLE.replace("\n", "\r\n\r\n").encode()) == "2 rows of people: 2 added."


def test_only_who_may_move_data_imports() -> None:
    from drawndose.department.keeping.importing import importer
    from drawndose.department.keeping.lists import LISTS as LISTS_

    on = scene()
    for name in ("ana", "nobody"):
        with pytest.raises(Refused, match="may not import and export"):
            importer(name)
    on.ana.roleheld_set.create(role="administrator")
    assert importer("ana") == on.ana
    on.ben.roleheld_set.create(role="manager")
    assert importer("ben") == on.ben
    with pytest.raises(Refused, match="may not add persons"):
        importer("ben", LISTS_["people"].right)


def test_an_import_as_a_job_says_every_fault_or_what_was_done(tmp_path: Path) -> None:
    from drawndose.department.keeping import jobs

    on = scene()
    on.ana.roleheld_set.create(role="administrator")
    for text, state, said in ((PEOPLE, "done", "2 rows of people"), (PEOPLE, "failed", "row 2, username: someone")):
        job = jobs.submit("import", {"list": "people", "text": text, "dry_run": False}, by="ana")
        jobs.run(jobs.claim("worker"))
        found = jobs.status(job.pk, by="ana")
        assert (found.state, found.says.startswith(said)) == (state, True), found.says
