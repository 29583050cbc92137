import pytest

from drawndose.quantities import nearest

SEVEN = ["syringe-1", "syringe-3", "syringe-10-oral", "cylinder-50", "dropper", "Cup-6", "needle"]


@pytest.mark.parametrize(
    ("came", "told"),
    [
        ("syringe-1-oral", "syringe-10-oral, syringe-1, syringe-3; all 7: the manual"),
        ("oral", "syringe-10-oral; all 7: the manual"),
        (" Syringe ", "syringe-1, syringe-3, syringe-10-oral; all 7: the manual"),
        ("CUP-6", "Cup-6; all 7: the manual"),
        ("q", "syringe-1, syringe-3, syringe-10-oral, cylinder-50, dropper, Cup-6; all 7: the manual"),
        ("", "syringe-1, syringe-3, syringe-10-oral, cylinder-50, dropper, Cup-6; all 7: the manual"),
    ],
)
def test_the_nearest_names_come_first_and_the_rest_is_pointed_to(came: str, told: str) -> None:
    assert nearest(came, SEVEN, "the manual") == told


def test_a_short_list_is_told_whole() -> None:
    assert nearest("anything", SEVEN[:6], "the manual") == ", ".join(SEVEN[:6])
    assert nearest("anything", (), "the manual") == ""
