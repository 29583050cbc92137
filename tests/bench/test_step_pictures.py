"""Which step is shown by which picture, and of which take."""

import pytest

from drawndose.quantities import Refused
from drawndose.reference import Container, Phase, Picture, load
from drawndose.reference.table import Table
from drawndose.reference.technique import take_techniques
from tests.bench.benches import ready

NEEDLE, VIAL, AMPOULE, TRIM = Picture.NEEDLE, Picture.VIAL, Picture.AMPOULE, Picture.TRIM
SHOWN = {
    Container.DROPPER_BOTTLE: (),
    Container.STOPPERED_VIAL: (NEEDLE, VIAL, TRIM),
    Container.GLASS_AMPOULE: (NEEDLE, AMPOULE, TRIM),
    Container.PLASTIC_UNIT_DOSE: (),
    Container.POWDER_VIAL: (VIAL, VIAL, TRIM),
    Container.BULK: (),
}


@pytest.mark.parametrize("kind", Container)
def test_the_steps_of_a_container_name_its_pictures_in_order(kind: Container) -> None:
    steps = load().technique(kind.value).steps
    assert tuple(picture for step in steps for picture in step.pictures) == SHOWN[kind]
    assert {step.phase for step in steps if step.pictures} <= {Phase.DRAW}


@pytest.mark.parametrize("kind", Container)
def test_a_picture_stands_at_the_step_that_says_what_it_shows(kind: Container) -> None:
    words = {NEEDLE: "eedle", VIAL: "urn over", AMPOULE: "tip under the liquid", TRIM: "trim"}
    for step in load().technique(kind.value).steps:
        for picture in step.pictures:
            assert words[picture] in step.says


def test_a_step_knows_the_takes_whose_own_it_is() -> None:
    made = ready("acetylcysteine 300 mg by nebulizer", "acetylcysteine-20pct")
    shown = {picture: step for step in made.steps for picture in step.pictures}
    assert set(shown) == {NEEDLE, VIAL, TRIM}
    assert {step.takes for step in shown.values()} == {(0,)}
    assert {step.takes for step in made.steps if not step.pictures} <= {(), (0,)}
    assert made.steps[0].takes == ()


def test_a_picture_that_is_not_known_is_refused() -> None:
    step = {"says": "x", "phase": "draw", "failure": "x", "source": "x", "how": "read", "pictures": ["a still life"]}
    faults: list[object] = []
    table = Table({"technique": [{"container": "x", "title": "x", "step": [step]}]}, "here", faults)  # type: ignore[arg-type]
    techniques, _ = take_techniques(table)
    assert techniques[0].steps[0].pictures == ()
    assert "a word of a closed list is needed" in str(Refused(faults))  # type: ignore[arg-type]
