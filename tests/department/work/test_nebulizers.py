"""Nebulizers that were measured here, as a setting: read, told, refused with every fault, and in the ledger."""

from __future__ import annotations

from fractions import Fraction

import pytest

from drawndose.quantities import Refused
from drawndose.reference import How, completed, load
from tests.department.scene import scene
from tests.pages import django

TWO = (
    "Small jet, ward 4: jet, residual=1.02 to 1.21 mL, output=0.31 to 0.38 mL/min, water=20 to 30 %, at=sheet 9; "
    "Mesh of the lab: mesh, residual=0.1 mL, size=4 to 4.5, at=sheet 10;"
)


def read(text: str):
    django()
    from drawndose.department.work.nebulizers import nebulizers

    return nebulizers(text, "nebulizers")


def test_what_was_measured_is_its_own_and_the_rest_is_the_kinds() -> None:
    jet, mesh = read(TWO.replace("jet, ward 4", "jet of ward 4"))
    assert (jet.id, jet.name, jet.kind.value) == ("small-jet-of-ward-4", "Small jet of ward 4", "small-volume jet")
    assert (jet.residual.low, jet.residual.high) == (Fraction("1.02"), Fraction("1.21"))
    assert (jet.evaporated.low, jet.evaporated.high) == (Fraction(1, 5), Fraction(3, 10))
    assert (jet.output.origin.source, jet.output.origin.at) == ("weighed in this department", "sheet 9")
    assert jet.output.origin.how is How.COMPUTED
    whole = completed(jet, load().nebulizers)
    assert whole.mmad_um == load().nebulizers[0].mmad_um
    assert whole.output == jet.output
    assert mesh.residual.low == mesh.residual.high == Fraction(1, 10)
    assert read(" None ") == ()


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("jet", "a name, then what it is"),
        (": jet, residual=1 mL, at=x", "a name, then what it is"),
        ("A: kettle, residual=1 mL, at=x", "no kind has this id"),
        ("A: jet, at=x", "nothing was measured on it"),
        ("A: jet, residual=1 mL", "where it was measured is needed"),
        ("A: jet, residual=1 mL, residual=2 mL, at=x", "it stands twice"),
        ("A: jet, residual=, at=x", "NAME=TEXT with a known name"),
        ("A: jet, colour=red, at=x", "NAME=TEXT with a known name"),
        ("A: jet, residual=2 to 1 mL, at=x", "a range goes up"),
        ("A: jet, residual=1 mg, at=x", "a value in mL is wanted"),
        ("A: mesh, flow=8 L/min, residual=0.1 mL, at=x", "no gas drives a mesh nebulizer"),
        ("A: jet, residual=0 mL, at=x", "a value of more than 0 is needed"),
        ("Jet: jet, residual=1 mL, at=x", "a name stands once"),
        ("A: jet, residual=1 mL, at=x; a: jet, residual=2 mL, at=y", "a name stands once"),
        (";".join(f"A{n}: jet, residual=1 mL, at=x" for n in range(13)), "at most 12"),
    ],
)
def test_what_cannot_be_is_refused(text: str, says: str) -> None:
    with pytest.raises(Refused, match=says):
        read(text)


def test_every_fault_of_every_one_is_told_at_once() -> None:
    with pytest.raises(Refused) as refused:
        read("A: kettle, colour=red; B: jet, residual=2 to 1 mL, output=3 mg, at=x; C")
    fields = [one.field for one in refused.value.faults]
    assert len(fields) == 7
    assert fields[:4] == ["nebulizers, A"] * 4
    assert {"nebulizers, B.residual.to", "nebulizers, B.output.from"} <= set(fields)


@pytest.mark.usefixtures("storage")
def test_it_is_chosen_with_a_reason_told_in_words_and_goes_back() -> None:
    from drawndose.department.ledger.models import Event
    from drawndose.department.work.policy import choose, house, shown
    from drawndose.department.work.policy import own_nebulizers as own

    on = scene()
    assert own() == ()
    text = "Small jet: jet, residual=1.02 to 1.21 mL, at=sheet 9; Mesh: mesh, residual=0.1 mL, at=sheet 10"
    with pytest.raises(Refused, match="among the kinds"):
        choose("nebulizers", text, reason="weighed 20 Nov 2026", by=on.cleo)
    text = text.replace("Mesh:", "Our mesh:")
    choose("nebulizers", text, reason="weighed 20 Nov 2026", by=on.cleo)
    assert [one.id for one in own()] == ["small-jet", "our-mesh"]
    assert shown("nebulizers", house("nebulizers")) == (
        "Small jet: small-volume jet, residual 1.02 to 1.21 mL (sheet 9); Our mesh: mesh, residual 0.1 mL (sheet 10)"
    )
    assert Event.objects.get(name="policy.chosen").reason == "weighed 20 Nov 2026"
    choose("nebulizers", "", reason="weigh again", by=on.cleo)
    assert own() == ()


@pytest.mark.usefixtures("storage")
def test_the_sheet_on_paper_counts_what_was_measured_here() -> None:
    from drawndose.department.pages.sheet.paper import content_of
    from drawndose.department.work.policy import choose
    from tests.department.scene import planned

    on = scene()
    made, _, _ = planned(on)
    assert dict(content_of(made, on.ana).facts)["Expected time"].startswith("1 to 9 min by a small-volume jet")
    text = "Small jet: jet, residual=1 mL, output=0.4 mL/min, at=sheet 9"
    choose("nebulizers", text, reason="weighed", by=on.cleo)
    assert dict(content_of(made, on.ana).facts)["Expected time"].startswith("5 min by Small jet: a range")
