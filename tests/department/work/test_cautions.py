"""Cautions: answered once with a reason, kept in the ledger, asked anew only when their words change."""

from __future__ import annotations

import pytest

from drawndose.quantities import Refused
from tests.department.scene import order, received, scene

pytestmark = pytest.mark.usefixtures("storage")


def five_ampoules():
    from drawndose.department.work import preparing

    on = scene()
    made = preparing.begin(order(on, "epinephrine 5 mg by nebulizer once"), by=on.ana)
    ampoules = [received(on, "epinephrine-1mg-1ml-ampoule", "1 mL") for _ in range(5)]
    found = preparing.choose(made, ampoules, [], "cup-6", by=on.ana, version=made.version)
    return made, found


def test_a_caution_is_answered_once_with_its_event() -> None:
    from drawndose.department.work import cautions

    made, found = five_ampoules()
    asked = cautions.to_answer(found, cautions.answered(made))
    assert {one.rule for one in asked} == {"many-containers", "off-label"}
    mark = cautions.mark_of(asked[0])
    with pytest.raises(Refused, match="with a reason"):
        cautions.answer(made, found, mark, " ", by=made.by)
    said = cautions.reasons(asked[0])[0]
    cautions.answer(made, found, mark, said, by=made.by, key="form-1")
    known = cautions.answered(made)
    assert [(one.rule, one.said, one.by) for one in known] == [(asked[0].rule, said, "ana")]
    assert len(cautions.to_answer(found, known)) == len(asked) - 1
    with pytest.raises(Refused, match="is answered"):
        cautions.answer(made, found, mark, said, by=made.by)


def test_every_rule_that_cautions_offers_two_to_four_reasons() -> None:
    from drawndose.bench import safeguards
    from drawndose.department.work.cautions import COMMON, OF_RULE

    rules = {one.id for family in (*safeguards.OF_A_WAY, *safeguards.OF_A_CONTAINER) for one in family.RULES}
    assert set(OF_RULE) <= rules
    assert all(2 <= len(said) <= 4 for said in (COMMON, *OF_RULE.values()))
