"""The settings: every one says what it means, changes and where it is from; what cannot be is refused, and nothing is changed."""

from __future__ import annotations

from dataclasses import fields

import pytest

from drawndose.bench.policy import Policy
from drawndose.quantities import Refused
from tests.department.scene import scene

pytestmark = pytest.mark.usefixtures("storage")
OF_ONE_ORDER = {"accepted_line", "accepted_on"}


def test_every_setting_of_the_engine_can_be_chosen_but_those_of_one_order() -> None:
    from drawndose.department.work.known_settings import CHOICES, ENGINE

    assert {one.name for one in ENGINE} == {one.name for one in fields(Policy)} - OF_ONE_ORDER
    assert len({one.name for one in CHOICES}) == len(CHOICES)
    for one in CHOICES:
        assert all((one.means, one.effect, one.source, one.accepts)), one.name


def test_every_default_is_told_and_read_back_as_itself() -> None:
    from drawndose.department.work.policy import EVERY, defaults, shown

    told = {name: shown(name, value) for name, value in defaults().items()}
    assert set(told) == set(EVERY)
    assert told["start_within"] == "1 h"
    assert told["vial_life"] == "28 days"
    assert told["caution_above"] == "15 %"
    assert (told["bottle_life"], told["nearest_line_within"], told["waste_streams"]) == ("not decided", "never", "none")
    assert told["times_3"] == "08:00, 14:00, 20:00"
    for name, text in told.items():
        if text not in {"not decided", "28 days", "90 days"}:
            assert EVERY[name].read(text, name) == defaults()[name], name


@pytest.mark.parametrize(
    ("name", "text", "told"),
    [
        ("start_within", "4 h", "4 h"),
        ("bottle_life", "7 d", "7 days"),
        ("times_2", "09:00, 21:00", "09:00, 21:00"),
        ("hazardous", "none", "none"),
        ("controlled", "Albuterol, albuterol", "albuterol"),
        ("waste_streams", "epinephrine: hazardous waste", "epinephrine: hazardous waste"),
        ("nearest_line_within", "2 %", "2 %"),
        ("most_entries", "1", "1"),
        ("far_beyond", "5", "5"),
        ("bottle_rest", "2 mL", "2 mL"),
        ("equivalences", "expert-society", "expert-society"),
        ("silence_most", "28 d", "28 days"),
        ("filter_needle", "stop without a filter", "stop without a filter"),
        ("rest_kept", "thrown away", "thrown away"),
        ("oral_tip", "caution for an oral tip", "caution for an oral tip"),
        ("soya_held", "by the drug's name too", "by the drug's name too"),
        ("reason_in_order", "every one", "every one"),
        ("more_rights", "Reason, right to refuse", "reason, right to refuse"),
        ("order_of_drugs", "albuterol, sodium chloride", "albuterol, sodium-chloride"),
        ("label_sizes", "60x40 mm, 102 x 51 mm", "60 x 40 mm, 102 x 51 mm"),
        ("sheet_paper", "Letter", "Letter"),
        ("keeping_years", "7", "7"),
        ("keeping_years", "not decided", "not decided"),
    ],
)
def test_what_is_chosen_is_in_force_with_its_reason(name: str, text: str, told: str) -> None:
    from drawndose.department.ledger.models import Event
    from drawndose.department.work.models import Setting
    from drawndose.department.work.policy import BY_NAME, choose, house, policy, shown

    on = scene()
    choose(name, text, reason="decided by the chief", by=on.cleo)
    in_force = getattr(policy(), name) if name in BY_NAME else house(name)
    assert shown(name, in_force) == told
    event = Event.objects.get(name="policy.chosen")
    assert (event.subject, event.reason, event.content["to"]) == (name, "decided by the chief", text)
    choose(name, "", reason="back again", by=on.cleo)
    assert not Setting.objects.filter(name=name).exists()


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("start_within", "5 h"),
        ("start_within", "soon"),
        ("vial_life", "30 d"),
        ("caution_above", "30 %"),
        ("times_3", "08:00, 20:00"),
        ("times_2", "20:00, 08:00"),
        ("times_2", "8:00, 20:00"),
        ("times_1", "24:00"),
        ("hazardous", "pixie dust"),
        ("waste_streams", "epinephrine"),
        ("most_fills", "a few"),
        ("most_products", "4"),
        ("most_in_a_day", "25"),
        ("bottle_rest", "0.5 mL"),
        ("bottle_rest", "2 mg"),
        ("ranking", "risk, stop"),
        ("equivalences", "anything"),
        ("shared_bottles", "maybe"),
        ("second_reading", "everything"),
        ("silence_most", "91 d"),
        ("silence_most", "2 months"),
        ("filter_needle", "always"),
        ("rest_kept", "for a week"),
        ("oral_tip", "never"),
        ("soya_held", "yes"),
        ("reason_in_order", "some"),
        ("order_of_drugs", "steroid"),
        ("label_sizes", "57 x 32"),
        ("label_sizes", "57 x 32 mm, 5 x 5 mm"),
        ("label_sizes", "57 x 32 mm, 57x32 mm"),
        ("label_sizes", ","),
        ("label_sizes", ", ".join(f"{side} x 32 mm" for side in range(50, 59))),
        ("sheet_paper", "A3"),
        ("keeping_years", "5"),
        ("keeping_years", "for ever"),
        ("accepted_line", "0.5 mL"),
    ],
)
def test_what_cannot_be_is_refused_and_changes_nothing(name: str, text: str) -> None:
    from drawndose.department.ledger.models import Event
    from drawndose.department.work.models import Setting
    from drawndose.department.work.policy import choose

    on = scene()
    with pytest.raises(Refused):
        choose(name, text, reason="because", by=on.cleo)
    assert not Setting.objects.exists()
    assert not Event.objects.filter(name__startswith="policy.").exists()


def test_a_bound_that_is_loosened_is_told_of_that_setting_alone() -> None:
    from drawndose.department.work.policy import choose

    on = scene()
    choose("bottle_life", "28 d", reason="written policy", by=on.cleo)
    with pytest.raises(Refused) as refused:
        choose("far_beyond", "12", reason="try", by=on.cleo)
    (fault,) = refused.value.faults
    assert (fault.field, fault.came, fault.accepted) == ("far_beyond", "12", "2 to 10")
    assert fault.rule == "2 to 10: a facility may only tighten it"


def test_without_a_reason_or_out_of_an_old_tab_nothing_is_chosen() -> None:
    from drawndose.department.ledger.append import Replayed
    from drawndose.department.work.change import Moved
    from drawndose.department.work.models import Setting
    from drawndose.department.work.policy import choose

    on = scene()
    with pytest.raises(Refused, match="reason"):
        choose("start_within", "4 h", reason=" ", by=on.cleo)
    choose("start_within", "4 h", reason="chapter of 2023", by=on.cleo, seen="", key="form-1")
    with pytest.raises(Moved):
        choose("start_within", "2 h", reason="tighter", by=on.cleo, seen="", key="form-2")
    with pytest.raises(Replayed):
        choose("start_within", "4 h", reason="chapter of 2023", by=on.cleo, seen="", key="form-1")
    assert Setting.objects.get(name="start_within").value == "4 h"


def test_a_wrong_value_and_a_missing_reason_are_told_together() -> None:
    from drawndose.department.work.policy import choose

    on = scene()
    with pytest.raises(Refused) as refused:
        choose("start_within", "90", reason=" ", by=on.cleo)
    assert [fault.field for fault in refused.value.faults] == ["start_within", "reason"]
