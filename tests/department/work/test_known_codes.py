"""A product number is asked once and remembered; drafts belong to one person and one form."""

from __future__ import annotations

import pytest

from drawndose.quantities import Refused
from tests.department.scene import BOTTLE, SALINE, scene

pytestmark = pytest.mark.usefixtures("storage")

GTIN = "00312345678906"


def test_a_number_is_remembered_with_who_said_so() -> None:
    from drawndose.department.ledger.models import Event
    from drawndose.department.work.known_codes import known, remember

    on = scene()
    assert known(GTIN) is None
    remember("312345678906", BOTTLE, "20 mL", by=on.ana)
    found = known(GTIN)
    assert found is not None
    assert (found.presentation, found.pack, found.by) == (BOTTLE, "20 mL", on.ana)
    assert Event.objects.filter(name="code.remembered", subject=GTIN).count() == 1


@pytest.mark.parametrize(("presentation", "pack"), [("nothing", "20 mL"), (BOTTLE, "21 mL")])
def test_what_the_catalogue_does_not_have_is_refused(presentation: str, pack: str) -> None:
    from drawndose.department.work.known_codes import known, remember

    on = scene()
    with pytest.raises(Refused):
        remember(GTIN, presentation, pack, by=on.ana)
    assert known(GTIN) is None


def test_a_number_means_one_thing() -> None:
    from drawndose.department.ledger.models import Event
    from drawndose.department.work.known_codes import known, remember

    on = scene()
    remember(GTIN, BOTTLE, "20 mL", by=on.ana)
    with pytest.raises(Refused, match="Ana Sample said that it is"):
        remember(GTIN, SALINE, "3 mL", by=on.ben)
    assert known(GTIN).presentation == BOTTLE
    assert Event.objects.filter(name="code.remembered").count() == 1


def test_a_draft_is_kept_changed_and_let_go() -> None:
    from drawndose.department.work import drafts

    on = scene()
    drafts.keep(on.ana, "sheet-5-give", {"pulse": "88", "note": " "})
    drafts.keep(on.ana, "sheet-5-give", {"pulse": "90"})
    kept = drafts.kept(on.ana, "sheet-5-give")
    assert kept is not None
    assert kept.content == {"pulse": "90"}
    assert drafts.kept(on.ben, "sheet-5-give") is None
    assert drafts.keep(on.ana, "kept 7", {"pulse": "90"}) is None
    drafts.keep(on.ana, "sheet-5-give", {"pulse": ""})
    assert drafts.kept(on.ana, "sheet-5-give") is None
