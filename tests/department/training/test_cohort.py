"""Classes and their lists: every fault by its row, and a learner under another name is a question and never merged in silence."""

from __future__ import annotations

import pytest

from drawndose.quantities import Refused
from tests.department.people.staff import person
from tests.department.training.school import school

pytestmark = pytest.mark.usefixtures("storage")


def faults(text: str, on) -> list[tuple[str, str]]:
    from drawndose.department.training.class_list import looked

    return [(one.field, one.rule) for one in looked(on.cohort, text)[1]]


def test_a_dry_run_tells_what_each_row_would_be_and_writes_nothing() -> None:
    from drawndose.department.training.class_list import looked
    from drawndose.department.training.models import Learner

    on = school()
    lines, found = looked(on.cohort, "name,number\nLea Model,101\nNia Other,102\nRuth New,201\n\noda  SKETCH,203\n")
    assert found == ()
    assert [(one.number, one.becomes, one.was, one.alike) for one in lines] == [
        ("101", "there", "", ""),
        ("102", "renamed", "Nia Sample", ""),
        ("201", "new", "", ""),
        ("203", "new", "", "103"),
    ]
    assert Learner.objects.count() == 4


def test_every_fault_is_told_by_its_row() -> None:
    from drawndose.department.people.roles import Role

    on = school()
    person("gus", "Gus Draft", Role.LEARNER)
    text = (
        "number,name,username\n"
        ",Nobody,\n"
        "300,,\n"
        "301,One,nowhere\n"
        "302,Two,fay\n"
        "303,Three,lea\n"
        "304,Four\n"
        "305,Five,\n305,Six,\n"
        f"306,{'x' * 121},\n"
        "101,Lea Model,gus\n"
        "307,Seven,GUS\n"
    )
    assert faults(text, on) == [
        ("row 2, number", "this is needed"),
        ("row 3, name", "this is needed"),
        ("row 4, username", "nobody here signs in with this name"),
        ("row 5, username", "to be evaluated is not this person's"),
        ("row 6, username", "another learner of the class is this person"),
        ("row 7", "it has another number of cells than the heading"),
        ("row 8, number", "it stands in the list more than once"),
        ("row 9, number", "it stands in the list more than once"),
        ("row 10, name", "the text is too long"),
        ("row 11, username", "it stands in the list more than once"),
        ("row 11, username", "this learner is linked to another person"),
        ("row 12, username", "it stands in the list more than once"),
    ]


@pytest.mark.parametrize(
    ("text", "rule"),
    [
        ("", "the column name is missing"),
        ("number,name,born\n1,A,1999\n", "no such column"),
        ("number;name\n1;A\n", "cells are parted by commas"),
        ("number,name\n", "a list has 1 to 500 rows"),
        ('number,name\n1,"A\n', "the quotes do not fit: unexpected end of data"),
        ("number,name\n" + "".join(f"{one},A\n" for one in range(501)), "a list has 1 to 500 rows"),
        ("x" * 150_001, "it is larger than is read at once"),
    ],
)
def test_a_file_that_is_no_class_list_is_named_as_such(text: str, rule: str) -> None:
    on = school()
    assert faults(text, on)[-1][1] == rule


def test_a_renamed_learner_is_asked_about_and_nothing_is_written_before_the_answer() -> None:
    from drawndose.department.ledger.models import Event
    from drawndose.department.training import class_list

    on = school()
    text = "number,name\n102,Nia Other\n201,Ruth New\n"
    with pytest.raises(Refused, match="number 102 is Nia Sample here: is it the same learner"):
        class_list.write(on.cohort, text, same=(), by=on.max)
    assert on.cohort.learner_set.count() == 4
    told = class_list.write(on.cohort, text, same={"102"}, by=on.max, key="k")
    assert told == {"renamed": 1, "added": 1}
    assert on.learner("102").name == "Nia Other"
    assert not any(name in str(one.content) + one.reason for one in Event.objects.all() for name in ("Nia", "Ruth"))
    from drawndose.department.ledger.append import Replayed

    with pytest.raises(Replayed):
        class_list.write(on.cohort, text, same={"102"}, by=on.max, key="k")


def test_a_class_that_is_read_again_is_there_already_and_links_who_signs_in_now() -> None:
    from drawndose.department.people.roles import Role
    from drawndose.department.training import class_list

    on = school()
    gus = person("gus", "Gus Draft", Role.LEARNER)
    told = class_list.write(on.cohort, "number,name,username\n103,Oda Sketch,gus\n", same=(), by=on.max)
    assert told == {"there already": 1}
    assert on.learner("103").person == gus


def test_what_cannot_be_enrolled_is_refused() -> None:
    from drawndose.department.training import cohort

    on = school()
    with pytest.raises(Refused, match="a learner of this class has this number"):
        cohort.enrol(on.cohort, "101", "Somebody Else", by=on.max)
    with pytest.raises(Refused, match="to be evaluated is not this person's"):
        cohort.enrol(on.cohort, "999", "Fay", by=on.max, person=on.fay)
    with pytest.raises(Refused, match="this person stands in the class already"):
        cohort.enrol(on.cohort, "999", "Lea again", by=on.max, person=on.lea)
    with pytest.raises(Refused, match="a class of this name"):
        cohort.open_cohort("Autumn 2026", by=on.max)
    with pytest.raises(Refused) as told:
        cohort.link(on.learner("101"), on.lea, by=on.max, version=1)
    assert len(told.value.faults) == 2
    cohort.close_cohort(on.cohort, by=on.max, version=on.cohort.version)
    with pytest.raises(Refused, match="the class is closed"):
        cohort.enrol(on.cohort, "999", "Late", by=on.max)


def test_who_left_begins_nothing_and_may_be_back() -> None:
    from drawndose.department.training import cohort

    on = school()
    learner = on.learner("104")
    cohort.leave(learner, by=on.max, version=learner.version)
    with pytest.raises(Refused, match="The learner is left"):
        on.begin("104")
    cohort.back(learner, by=on.max, version=learner.version)
    assert on.begin("104").attempt.number == 1
