"""A form: its version is its content, and its data are the way there and back."""

from dataclasses import replace

import pytest

from drawndose.lab.forms.form import form_data
from drawndose.lab.forms.reading import form_faults, read_form
from drawndose.lab.forms.scale import Scale
from drawndose.quantities import Refused
from tests.lab.samples import FORM, SNAP, step


def faults(data: object) -> list[str]:
    with pytest.raises(Refused) as caught:
        read_form(data)
    return [str(one) for one in caught.value.faults]


def test_data_are_the_way_there_and_back() -> None:
    back = read_form(form_data(FORM))
    assert back == FORM
    assert back.version == FORM.version
    assert len(FORM.version) == 64
    anywhere = replace(FORM, container=None)
    assert read_form(form_data(anywhere)) == anywhere


def test_any_other_content_is_another_version() -> None:
    others = [
        replace(FORM, title="Other"),
        replace(FORM, steps=FORM.steps[::-1]),
        replace(FORM, choices=(replace(SNAP, chosen="towards"),)),
        replace(FORM, steps=(replace(FORM.steps[0], critical=False), *FORM.steps[1:])),
    ]
    assert len({FORM.version, *(one.version for one in others)}) == 5


def test_a_choice_decides_which_steps_stand_there() -> None:
    assert [one.id for one in FORM.shown] == ["hands", "snap-away", "read", "record"]
    towards = replace(FORM, choices=(replace(SNAP, chosen="towards"),))
    assert [one.id for one in towards.shown] == ["hands", "snap-towards", "read", "record"]
    assert FORM.step("snap-towards") is None
    assert [one.id for one in FORM.critical] == ["hands", "read"]
    assert FORM.total_weight == 7
    assert FORM.name == f"Ampoule, edition 1 ({FORM.version[:8]})"


@pytest.mark.parametrize("scale", Scale)
def test_every_scale_goes_from_all_to_nothing_and_its_worst_point_fails(scale: Scale) -> None:
    shares = [one.share for one in scale.points]
    assert shares == sorted(shares, reverse=True)
    assert (shares[0], shares[-1]) == (1, 0)
    assert [one.fails for one in scale.points] == sorted(one.fails for one in scale.points)
    assert (scale.points[0].fails, scale.points[-1].fails) == (False, True)


def test_everything_wrong_is_told_at_once() -> None:
    data = form_data(FORM) | {"id": "Ampoule 1", "minutes": 0, "kind": "x", "schema": "drawndose.form/9"}
    data["step"] = [
        {"id": "hands", "phase": "before", "says": "", "failure": "f", "weight": True, "only": ["snap"]},
        {"id": "hands", "phase": "draw", "says": "s", "failure": "f", "prompt": 3, "only": ["snap", "sideways"]},
    ]
    data["choice"] = [{"id": "snap", "asks": "?", "options": ["away"], "chosen": "up", "why": "w"}]
    told = "\n".join(faults(data))
    for part in (
        'form.schema: the schema is not known here. Came: "drawndose.form/9". Accepted: drawndose.form/1.',
        'form.minutes: a whole number is needed. Came: "0". Accepted: 1 to 240.',
        "form.kind: the key is not known here.",
        "form.step[0].phase: one word of a closed list is needed.",
        "form.step[0].says: a text is needed.",
        'form.step[0].weight: a whole number is needed. Came: "True".',
        "form.step[0].only: a choice and one of its options are wanted.",
        "form.step[1].prompt: a text is wanted.",
        "form.id: an id is small letters and figures, joined by single hyphens.",
        'step hands: it stands twice. Came: "hands".',
        "choice snap: two or more options are needed.",
        'choice snap: what is chosen is one of the options. Came: "up". Accepted: away.',
        'step hands, only: no such choice. Came: "snap, sideways". Accepted: snap, away.',
        "form.step: no step is critical, so nothing unsafe could fail.",
    ):
        assert part in told


def test_a_form_that_can_fail_nobody_is_none() -> None:
    assert "all weights are 0" in str(form_faults(replace(FORM, steps=(step("a", critical=True, weight=0),)))[0])
    assert "1 to 60" in str(form_faults(replace(FORM, steps=()))[0])
    lost = form_faults(replace(FORM, choices=()))
    assert [one.accepted for one in lost] == ["no choice stands here"] * 2
    assert form_faults(FORM) == []


def test_what_is_no_table_is_said_so() -> None:
    assert faults("a form")[0].startswith("form: a table is wanted here")
