"""A silenced caution is folded and counted for one person and one product, ends by itself, and a stop is never silenced."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from drawndose.bench.findings import HOUSE, Finding, Level, Waiver
from drawndose.quantities import Refused
from tests.department.scene import BOTTLE, SALINE, order, received, scene

pytestmark = pytest.mark.usefixtures("storage")
CAUTION = "owner-not-said"


def finding(rule: str = CAUTION, level: Level = Level.CAUTION) -> Finding:
    return Finding(rule=rule, level=level, says="says", do="do", origin=HOUSE, waiver=Waiver.PREPARER)


def test_it_is_folded_for_the_one_who_silenced_it_and_for_that_product_alone() -> None:
    from drawndose.department.ledger.append import now
    from drawndose.department.ledger.models import Event
    from drawndose.department.work import silences

    on = scene()
    made = silences.silence(CAUTION, BOTTLE, by=on.ana, reason="marked by hand here", days="28")
    assert Event.objects.get(name="caution.silenced").reason == "marked by hand here"
    found, moment = (finding(), finding("fill-under-cup")), now()
    mine = silences.parted(found, [BOTTLE], on.ana, moment, beside=[SALINE])
    assert ([one.rule for one in mine.open], [one for _, one in mine.silenced]) == (["fill-under-cup"], [made])
    assert silences.parted(found, [SALINE], on.ana, moment).silenced == ()
    assert silences.parted(found, [BOTTLE, SALINE], on.ana, moment).silenced == ()
    other = replace(finding(), says="sodium chloride 0.9 % for inhalation, plastic unit dose: whose is it")
    assert silences.parted((other,), [BOTTLE], on.ana, moment, beside=[SALINE]).silenced == ()
    assert silences.parted(found, [BOTTLE], on.ben, moment).silenced == ()
    assert silences.parted(found, [BOTTLE], on.ana, moment + timedelta(days=29)).silenced == ()


def test_a_stop_is_shown_whatever_was_silenced() -> None:
    from drawndose.department.ledger.append import now
    from drawndose.department.work import silences

    on = scene()
    silences.silence(CAUTION, BOTTLE, by=on.ana, reason="x", days="1")
    stop = finding(level=Level.STOP)
    assert silences.parted((stop,), [BOTTLE], on.ana, now()).open == (stop,)


def test_no_rule_that_can_stop_may_be_silenced() -> None:
    from drawndose.department.ledger.models import Event
    from drawndose.department.work import silences
    from drawndose.department.work.checks import may_be_silenced, rules

    on = scene()
    graver = [rule for rule, _ in rules().values() if rule.level is not Level.CAUTION]
    assert len(graver) > 40
    assert [rule.id for rule in graver if may_be_silenced(rule.id)] == []
    assert sum(may_be_silenced(ident) for ident in rules()) == len(rules()) - len(graver)
    for rule in ("dose-outside-published", "no-such-rule"):
        with pytest.raises(Refused, match="a stop never is"):
            silences.silence(rule, BOTTLE, by=on.ana, reason="x", days="1")
    assert not Event.objects.filter(name="caution.silenced").exists()


@pytest.mark.parametrize(
    ("presentation", "reason", "days"),
    [("nothing", "x", "1"), (BOTTLE, " ", "1"), (BOTTLE, "x", "0"), (BOTTLE, "x", "91"), (BOTTLE, "x", "long")],
)
def test_what_cannot_be_is_refused(presentation: str, reason: str, days: str) -> None:
    from drawndose.department.work import silences
    from drawndose.department.work.models import Silence

    on = scene()
    with pytest.raises(Refused):
        silences.silence(CAUTION, presentation, by=on.ana, reason=reason, days=days)
    assert not Silence.objects.exists()


def test_it_is_heard_again_by_its_own_person_only_and_may_be_silenced_anew() -> None:
    from drawndose.department.ledger.append import Replayed
    from drawndose.department.ledger.models import Event
    from drawndose.department.work import silences
    from drawndose.department.work.change import Moved

    on = scene()
    made = silences.silence(CAUTION, BOTTLE, by=on.ana, reason="x", days="28", key="a")
    with pytest.raises(Replayed):
        silences.silence(CAUTION, BOTTLE, by=on.ana, reason="x", days="28", key="a")
    with pytest.raises(Refused, match="you have silenced it"):
        silences.silence(CAUTION, BOTTLE, by=on.ana, reason="again", days="28")
    with pytest.raises(Refused, match="whose it is"):
        silences.hear_again(made.pk, by=on.ben)
    silences.hear_again(made.pk, by=on.ana)
    with pytest.raises(Moved):
        silences.hear_again(made.pk, by=on.ana)
    silences.silence(CAUTION, BOTTLE, by=on.ana, reason="after all", days="28")
    names = list(Event.objects.filter(subject_kind="rule").order_by("number").values_list("name", flat=True))
    assert names == ["caution.silenced", "caution.heard_again", "caution.silenced"]


def test_one_that_ended_by_itself_may_be_silenced_anew() -> None:
    from drawndose.department.work import silences
    from drawndose.department.work.models import Silence

    on = scene()
    made = silences.silence(CAUTION, BOTTLE, by=on.ana, reason="x", days="1")
    past = made.since - timedelta(days=3)
    Silence.objects.filter(pk=made.pk).update(since=past, until=past + timedelta(days=1))
    silences.silence(CAUTION, BOTTLE, by=on.ana, reason="again", days="1")
    assert Silence.objects.filter(ended_at=None).count() == 1


def test_the_department_sees_what_is_silenced_most() -> None:
    from drawndose.department.ledger.append import now
    from drawndose.department.work import silences
    from drawndose.department.work.checks import checks

    on = scene()
    silences.silence("fill-under-cup", BOTTLE, by=on.ben, reason="y", days="28")
    for who in (on.ana, on.cleo):
        silences.silence(CAUTION, BOTTLE, by=who, reason="x", days="28")
    assert [row.rule for row in silences.in_force(now())] == [CAUTION, CAUTION, "fill-under-cup"]
    by_rule = {one.rule.id: one for one in checks(now())[0]}
    assert (by_rule[CAUTION].silenced, by_rule["fill-under-cup"].silenced) == (2, 1)


def test_how_often_a_check_was_shown_and_set_aside_comes_out_of_the_ledger() -> None:
    from drawndose.department.ledger.append import now
    from drawndose.department.work import cautions, preparing
    from drawndose.department.work.checks import checks

    on = scene()
    ampoules = [received(on, "epinephrine-1mg-1ml-ampoule", "1 mL") for _ in range(5)]
    made = preparing.begin(order(on, "epinephrine 5 mg by nebulizer once"), by=on.ana)
    plan = preparing.choose(made, ampoules, [], "cup-6", by=on.ana, version=made.version)
    asked = cautions.to_answer(plan, ())[0]
    before = {one.rule.id: one for one in checks(now())[0]}[asked.rule]
    assert (before.shown, before.aside, before.doubtful) == (1, 0, False)
    cautions.answer(made, plan, cautions.mark_of(asked), "I looked again, and it stands", by=on.ana)
    preparing.choose(made, ampoules, [], "cup-6", by=on.ana, version=made.version)
    after = {one.rule.id: one for one in checks(now())[0]}[asked.rule]
    assert (after.shown, after.aside) == (1, 1)
    later = checks(now() + timedelta(days=29))
    assert (sum(later[1].shown.values()), sum(later[1].aside.values())) == (0, 0)


def test_every_check_names_its_sources_or_none() -> None:
    from drawndose.department.ledger.append import now
    from drawndose.department.work.checks import checks

    scene()
    every, _ = checks(now())
    assert len(every) > 80
    assert sum(bool(one.sources) for one in every) > 40
    assert all(one.rule.asks.endswith("?") for one in every)


def test_on_a_sheet_it_is_folded_for_its_preparer_and_written_down_when_it_is_drawn() -> None:
    from drawndose.department.work import cautions, preparing, silences

    on = scene()
    ampoules = [received(on, "epinephrine-1mg-1ml-ampoule", "1 mL") for _ in range(5)]
    made = preparing.begin(order(on, "epinephrine 5 mg by nebulizer once"), by=on.ana)
    plan = preparing.choose(made, ampoules, [], "cup-6", by=on.ana, version=made.version)
    before = silences.of_sheet(made, plan)
    assert {one.rule for one in before.open} == {"many-containers", "off-label"}
    silences.silence("off-label", "epinephrine-1mg-1ml-ampoule", by=on.ben, reason="not mine", days="9")
    assert silences.of_sheet(made, plan) == before
    silences.silence("off-label", "epinephrine-1mg-1ml-ampoule", by=on.ana, reason="written policy", days="9")
    folded = silences.of_sheet(made, plan)
    assert [one.rule for one in folded.open] == ["many-containers"]
    silences.answer_silenced(made, folded)
    (told,) = cautions.answered(made)
    assert (told.rule, told.by, told.said[-14:]) == ("off-label", "ana", "written policy")
    assert silences.of_sheet(made, plan).silenced == ()
