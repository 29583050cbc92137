"""Editing: a form in use gets a new edition, everything wrong is told at once, and what changed can be read."""

from dataclasses import replace

import pytest

from drawndose.lab.attempts.attempt import attempt_faults, outdated
from drawndose.lab.forms.edited import changes, chosen, copied, revised
from drawndose.lab.forms.shipped import shipped_form
from drawndose.quantities import Refused
from tests.lab.samples import FORM, attempt, step

SHORTER = replace(FORM, minutes=6)


def test_a_copy_names_what_it_was_made_from() -> None:
    made = copied(shipped_form("t3-glass-ampoule"), "our-ampoule", by="mona")
    assert (made.id, made.edition, made.written_by) == ("our-ampoule", 1, "mona")
    assert made.based_on == shipped_form("t3-glass-ampoule").version
    with pytest.raises(Refused) as caught:
        copied(FORM, "ampoule", by=" ")
    assert [one.field for one in caught.value.faults] == ["form.id", "written_by"]
    with pytest.raises(Refused, match="small letters"):
        copied(FORM, "Our Ampoule", by="mona")


def test_a_form_in_use_gets_a_new_edition_and_an_attempt_keeps_the_old_one() -> None:
    tried = attempt()
    made = revised(FORM, SHORTER, in_use=True, by="mona")
    assert (made.edition, made.replaces, made.minutes) == (2, FORM.version, 6)
    assert attempt_faults(tried, FORM) == []
    assert outdated(tried, made).startswith("Attempt 1 was marked on version")


def test_one_that_nobody_used_is_replaced() -> None:
    made = revised(FORM, SHORTER, in_use=False, by="mona")
    assert (made.edition, made.replaces, made.written_by) == (1, "", "mona")
    assert revised(FORM, FORM, in_use=True, by="mona") is FORM


def test_everything_wrong_with_an_edit_is_told_at_once() -> None:
    draft = replace(FORM, id="vial", edition=4, steps=(step("hands"), step("hands")))
    with pytest.raises(Refused) as caught:
        revised(FORM, draft, in_use=True, by="")
    assert [one.field for one in caught.value.faults] == [
        "step hands",
        "form.step",
        "form.id",
        "form.edition",
        "written_by",
    ]
    assert "edited meanwhile" in str(caught.value)


def test_a_choice_is_made() -> None:
    made = chosen(FORM, "snap", "towards")
    assert made.step("snap-towards") is not None
    with pytest.raises(Refused, match=r"the form has no such choice.*Accepted: snap"):
        chosen(FORM, "filter", "critical")
    with pytest.raises(Refused, match="none; this form has no choices"):
        chosen(replace(FORM, choices=(), steps=(step("hands", critical=True),)), "snap", "away")
    with pytest.raises(Refused, match=r"no such option.*Accepted: away, towards"):
        chosen(FORM, "snap", "up")


def test_what_changed_can_be_read() -> None:
    hands, *rest = FORM.steps
    new = replace(
        chosen(FORM, "snap", "towards"),
        minutes=6,
        steps=(replace(hands, critical=False), replace(rest[2], critical=True, weight=9), step("extra"), *rest[:2]),
    )
    assert changes(FORM, new) == (
        "minutes: 8 became 6.",
        "Choice snap: away became towards.",
        "Step record is gone.",
        "Step extra is new.",
        "Step hands is no longer critical.",
        "Step read reads or counts otherwise.",
    )
    assert changes(FORM, replace(FORM, steps=FORM.steps[::-1])) == ("The steps stand in another order.",)
    assert changes(new, FORM)[-2:] == ("Step hands is now critical.", "Step read reads or counts otherwise.")
    assert changes(replace(FORM, choices=()), FORM) == ("Choice snap: none became away.",)
    assert changes(FORM, FORM) == ()
