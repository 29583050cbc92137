"""Where droplets settle, asked for by themselves: both models, persons and forms in the range, limits in words."""

import xml.etree.ElementTree as ET

import pytest

from drawndose.quantities import Refused
from drawndose.science.aerosol.settle import Settled, read_settled
from drawndose.science.aerosol.simple_fits import fits_of_spray, simple_fits
from drawndose.science.aerosol.task_group import settling, settling_of_spray


def found(**boxes: str) -> Settled:
    return read_settled(boxes)


def test_one_size_and_a_spray_lie_around_the_model() -> None:
    one = found(size="3")
    model = settling(3.0, 500.0, 250.0, by_mouth=True)
    for name, share in (("throat", model.head), ("airways", model.airways), ("alveoli", model.alveoli)):
        assert one.bands[name].low < float(share) < one.bands[name].high
    spray = found(size="3", spread="2", tidal="0.75 L", seconds="3 s")
    mean = settling_of_spray(3.0, 2.0, 750.0, 250.0, by_mouth=True)
    assert spray.bands["throat"].low < float(mean.head) < spray.bands["throat"].high
    assert spray.told == "MMAD 3 micrometres, GSD 2, by mouth, 750 mL in 3 s"


def test_by_nose_more_settles_in_the_head() -> None:
    assert found(size="5", by="nose").bands["throat"].low > found(size="5").bands["throat"].low
    huge = found(size="100", by="nose")
    assert huge.bands["throat"].high == pytest.approx(1.0)
    assert huge.bands["alveoli"].high < 1e-6


def test_the_shares_of_every_person_add_to_one() -> None:
    one = found(size="4")
    low, high = (sum(getattr(band, end) for band in one.bands.values()) for end in ("low", "high"))
    assert low < 1.0 < high


def test_the_rows_are_in_steps_of_five_and_the_fits_stand_beside() -> None:
    rows = {name: (model, fit) for name, model, fit in found(size="3").rows}
    assert rows["deep lung"] == ("15 to 50 %", "5 to 10 %")
    assert rows["breathed out"][1] == ""
    assert len(found(size="3").says) > 7
    assert "not for a mouthpiece" in " ".join(found(size="3").says)


def test_the_fits_of_a_spray_are_near_those_of_one_size_when_it_is_narrow() -> None:
    narrow, one = fits_of_spray(3.0, 1.05), simple_fits(3.0)
    assert narrow.head == pytest.approx(one.head, abs=0.003)
    assert narrow.total == pytest.approx(one.total, abs=0.003)


def test_the_picture_tells_both() -> None:
    picture = found(size="3").picture("x")
    assert ET.fromstring(picture.svg).get("role") == "img"
    assert dict(picture.rows)["deep lung"] == "15 to 50 %; short fit 5 to 10 %"
    assert picture.svg.count('class="dot"') == 3


@pytest.mark.parametrize(
    ("boxes", "field"),
    [
        ({}, "size"),
        ({"size": "three"}, "size"),
        ({"size": "3", "by": "ear"}, "by"),
        ({"size": "3", "seconds": "0 s"}, "seconds"),
        ({"size": "3", "tidal": "500 mg"}, "tidal"),
        ({"size": "3", "tidal": "50 mL"}, "tidal_mL"),
        ({"size": "300"}, "size_um"),
        ({"size": "3", "spread": "9"}, "gsd"),
        ({"size": "3", "wind": "9"}, "wind"),
    ],
)
def test_every_fault_is_named(boxes: dict[str, str], field: str) -> None:
    with pytest.raises(Refused) as refused:
        read_settled(boxes)
    assert field in {fault.field for fault in refused.value.faults}
