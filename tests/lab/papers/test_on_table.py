"""How a container is to be laid out, in words: only what was said of it."""

from dataclasses import replace
from datetime import UTC, date, datetime

from drawndose.bench.condition import Condition, Sight
from drawndose.bench.in_hand import InHand
from drawndose.lab.papers.on_table import container_words, state_words
from drawndose.reference import load

BOTTLE = load().presentation("albuterol-0.5pct-bottle-20ml")
IN_HAND = InHand(presentation=BOTTLE, pack=BOTTLE.packs[-1])


def test_a_container_of_which_nothing_was_said_is_laid_out_as_it_comes() -> None:
    assert state_words(IN_HAND) == ""
    assert state_words(replace(IN_HAND, condition=Condition())) == ""


def test_every_date_owner_and_sight_is_told() -> None:
    there = Condition(
        expiry=date(2027, 4, 26),
        opened=datetime(2026, 3, 1, 9, 0, tzinfo=UTC),
        discard_after=date(2026, 3, 28),
        owner="Ben Birch",
        seen=(next(iter(Sight)),),
    )
    assert state_words(replace(IN_HAND, condition=there)) == (
        f"expiry 26 Apr 2027; opened 01 Mar 2026; discard after 28 Mar 2026; label: for Ben Birch; to be seen: {next(iter(Sight)).value}"
    )
    assert state_words(replace(IN_HAND, condition=Condition(undated=True))) == "opened, no date written"


def test_name_and_fill_are_told_and_a_powder_has_no_volume() -> None:
    assert container_words(IN_HAND) == f"{BOTTLE.name}, 20 mL, with its dropper"
    powder = next(one for one in load().presentations if one.packs[0].volume is None)
    assert container_words(InHand(presentation=powder, pack=powder.packs[0])) == powder.name
