"""What holds for every plan, whatever the order and whatever stands on the bench."""

import random
import re
from fractions import Fraction

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from drawndose import InHand, Order, Plan, Policy, Status, plan
from drawndose.bench.candidate import rank
from drawndose.bench.plan_data import plan_data
from drawndose.bench.working import worked
from drawndose.quantities import Quantity, show_number
from drawndose.reference import Cup, Instrument
from tests.bench.benches import BOOK, BOTTLE, bench, order, tools

ALL = bench()
DILUENTS = tuple(hand for hand in ALL if hand.presentation.diluent)
MEASURES = BOOK.instruments
SLOW = settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much]
)

# One mL, as typed by hand from the labels: what the amounts of a plan are worked out from again.
PER_ML = {
    "albuterol-0.5pct-bottle-20ml": {"albuterol": "5"},
    "albuterol-2.5mg-0.5ml": {"albuterol": "5"},
    "albuterol-2.5mg-3ml": {"albuterol": "5/6"},
    "albuterol-1.25mg-3ml": {"albuterol": "5/12"},
    "albuterol-0.63mg-3ml": {"albuterol": "21/100"},
    "ipratropium-500mcg-2.5ml": {"ipratropium bromide": "1/5"},
    "ipratropium-0.5mg-albuterol-2.5mg-3ml": {"ipratropium bromide": "1/6", "albuterol": "5/6"},
    "budesonide-0.25mg-unit-dose-2ml": {"budesonide": "1/8"},
    "budesonide-0.5mg-unit-dose-2ml": {"budesonide": "1/4"},
    "budesonide-1mg-unit-dose-2ml": {"budesonide": "1/2"},
    "acetylcysteine-10pct": {"acetylcysteine": "100"},
    "acetylcysteine-20pct": {"acetylcysteine": "200"},
    "epinephrine-1mg-1ml-ampoule": {"epinephrine": "1"},
    "colistimethate-150mg-vial": {"colistin base activity": "75"},
}
DOSES = {
    "albuterol": ("0.63", "1", "1.25", "2", "2.5", "3.75", "5", "7.5", "0.5", "0.15"),
    "ipratropium": ("0.25", "0.5", "0.1", "0.5"),
    "budesonide": ("0.25", "0.5", "1", "0.3"),
    "acetylcysteine": ("200", "300", "400", "600", "15"),
    "epinephrine": ("0.5", "1", "2.5", "5", "0.03"),
    "colistimethate base activity": ("30", "75", "150"),
}
FILLS = (
    "",
    "to 3 mL",
    "to 4 mL with 0.9 % sodium chloride",
    "to 6 mL with normal saline",
    "add 3 mL normal saline",
    "undiluted",
)
BASE = tuple(hand for hand in ALL if hand.presentation.id in PER_ML)


@st.composite
def texts(draw: st.DrawFn) -> str:
    names = draw(st.lists(st.sampled_from(sorted(DOSES)), min_size=1, max_size=2, unique=True))
    drugs = " and ".join(f"{name} {draw(st.sampled_from(DOSES[name]))} mg" for name in names)
    return f"{drugs} by nebulizer {draw(st.sampled_from(FILLS))}".strip()


@st.composite
def benches(draw: st.DrawFn) -> tuple[InHand, ...]:
    dropped = draw(st.sets(st.sampled_from(sorted(PER_ML)), max_size=6))
    drugs = tuple(hand for hand in BASE if hand.presentation.id not in dropped)
    return (*drugs, *DILUENTS)


@st.composite
def instruments(draw: st.DrawFn) -> tuple[Instrument | Cup, ...]:
    dropped = draw(st.sets(st.sampled_from(MEASURES), max_size=12))
    cups = draw(st.sampled_from([(), BOOK.cups[:1], BOOK.cups[2:3]]))
    return (*(one for one in MEASURES if one not in dropped), *cups)


policies = st.builds(
    Policy,
    nearest_line_within=st.sampled_from([None, None, Fraction(5, 100), Fraction(10, 100)]),
    most_fills=st.sampled_from([1, 3]),
    refuse_above=st.sampled_from([Fraction(15, 100), Fraction(20, 100), Fraction(40, 100)]),
    equivalences=st.sampled_from([(), ("expert-society",)]),
)


def drawn(text: str, have: tuple[InHand, ...], using: tuple[Instrument | Cup, ...], policy: Policy) -> Plan:
    return plan(order(text), containers=have, instruments=using, policy=policy)


def ordered(asked: Order) -> dict[str, Fraction]:
    """What the order asks for, mg by drug: read off its text again."""
    pieces = re.findall(r"([a-z ]+?) ([0-9.]+) mg", asked.text.replace(" and ", ", "))
    return {name.strip().partition(" ")[0]: Fraction(number) for name, number in pieces}


@SLOW
@given(texts(), benches(), instruments(), policies)
def test_a_plan_that_is_not_ready_has_nothing_to_draw_and_one_that_is_has_all_of_it(text, have, using, policy) -> None:
    made = drawn(text, have, using, policy)
    parts = (made.takes, made.steps, made.label, made.leftovers)
    assert all(parts) if made.status is Status.READY else not any(parts)
    assert (made.status is Status.READY) is (made.fill is not None) is (made.limit is not None)
    if made.status is Status.READY:
        assert not any(finding.level.value == "stop" for finding in made.findings)
        assert not any(question.blocking for question in made.questions)
    if made.status is Status.ASK:
        assert any(question.blocking for question in made.questions)
    if made.status is Status.CHOOSE:
        assert made.choices
    if made.status is Status.STOPPED:
        assert made.ways_out
        held_back = any(one.rule == "dose-outside-published" for one in made.findings)
        assert made.not_taken or held_back or "Put a container" in made.ways_out[0]


@SLOW
@given(texts(), benches(), instruments(), policies, st.randoms(use_true_random=False))
def test_the_same_bench_in_any_order_gives_the_same_plan(text, have, using, policy, chance: random.Random) -> None:
    first = plan_data(drawn(text, have, using, policy))
    mixed, others = list(have), list(using)
    chance.shuffle(mixed)
    chance.shuffle(others)
    assert plan_data(drawn(text, tuple(mixed), tuple(others), policy)) == first
    assert plan_data(drawn(text, have, using, policy)) == first


@SLOW
@given(texts(), benches(), instruments(), policies)
def test_what_goes_into_the_cup_is_the_dose_by_the_labels_strength_and_the_volume(text, have, using, policy) -> None:
    made = drawn(text, have, using, policy)
    assume(made.status is Status.READY)
    wanted = ordered(made.order)
    reached: dict[str, Fraction] = {}
    for take in made.takes:
        presentation = take.in_hand.presentation
        liquid = take.volume
        if take.first_dilution is not None:
            mixed = take.first_dilution
            liquid = mixed.stock.volume * mixed.part.volume / mixed.total.volume
        for given_, (moiety, per_ml) in zip(take.amounts, PER_ML[presentation.id].items(), strict=True):
            assert given_.of == ((moiety, 1),)
            assert given_.to("mg").value == Fraction(per_ml) * liquid
            slug = next(slug for slug in presentation.drugs if BOOK.drug(slug).moiety(moiety) is not None)
            asked = take.draw.asked + (take.volume - take.draw.volume) if take.draw is not None else take.volume
            changed = take.volume / asked
            reached[slug] = given_.to("mg").value / changed
            if changed != 1:
                assert any(finding.rule == "line-beside-volume" for finding in made.findings)
                assert abs(take.draw.deviation) <= policy.nearest_line_within
    assert reached == wanted


@SLOW
@given(texts(), benches(), instruments(), policies)
def test_every_fill_is_read_on_a_line_and_the_volumes_come_out(text, have, using, policy) -> None:
    made = drawn(text, have, using, policy)
    assume(made.status is Status.READY)
    draws = [take.draw for take in made.takes if take.draw is not None]
    for take in made.takes:
        if take.first_dilution is not None:
            draws += [take.first_dilution.stock, take.first_dilution.total, take.first_dilution.part]
            assert take.first_dilution.stock.volume < take.first_dilution.total.volume
        assert take.risk <= policy.refuse_above
        assert take.left >= 0
        assert take.left + take.drawn_from_container == take.in_hand.contents() * take.containers
        assert take.left < take.in_hand.contents()
    if made.fill.drawn is not None:
        draws.append(made.fill.drawn)
        assert made.fill.drawn.asked > 0
    for draw in draws:
        assert all(draw.instrument.shows(fill) for fill in draw.fills)
        assert len(draw.fills) <= policy.most_fills or draw is made.fill.drawn
        assert any(draw.instrument.id == one.id for one in using) or draw.instrument.kind.value == "dropper"
    assert made.fill.total == sum(take.volume for take in made.takes) + made.fill.added
    assert made.fill.drug == sum(take.volume for take in made.takes)
    if made.cup is not None:
        assert Quantity.of_text(made.fill.total, "mL") <= made.cup.holds


@SLOW
@given(texts(), benches(), instruments(), policies)
def test_steps_label_and_working_are_complete(text, have, using, policy) -> None:
    made = drawn(text, have, using, policy)
    worked(made)
    assume(made.status is Status.READY)
    told = "\n".join(step.says for step in made.steps)
    assert "{" not in told
    assert "draw nothing" not in told
    large = [line.text for line in made.label if line.large]
    amounts = [amount for take in made.takes for amount in take.amounts]
    assert len(large) == len(amounts)
    spelled = {one.id: drug.spelled(one.id) for drug in BOOK.drugs for one in drug.moieties}
    for amount, line in zip(amounts, large, strict=True):
        assert line.startswith(f"{spelled[amount.of[0][0]]} ")
        assert " in " in line
    assert [step.number for step in made.steps] == list(range(1, len(made.steps) + 1))


@SLOW
@given(texts(), benches(), instruments(), policies)
def test_fewer_containers_never_make_a_better_plan_and_the_winners_own_make_no_difference(
    text, have, using, policy
) -> None:
    made = drawn(text, have, using, policy)
    assume(made.status is Status.READY)
    used = {take.in_hand.presentation.id for take in made.takes}
    kept = tuple(hand for hand in have if hand.presentation.diluent or hand.presentation.id in used)
    alone = drawn(text, kept, using, policy)
    assert alone.status is Status.READY
    assert rank(alone.takes, policy) == rank(made.takes, policy)
    for ident in sorted(used):
        without = drawn(text, tuple(hand for hand in have if hand.presentation.id != ident), using, policy)
        # A first dilution is tried only where nothing else measures, so the ranking never weighs one against another way.
        diluted = any(take.first_dilution for plan_of in (made, without) for take in plan_of.takes)
        if without.status is Status.READY and not diluted:
            assert rank(without.takes, policy) > rank(made.takes, policy)


@SLOW
@given(texts(), benches(), instruments(), policies)
def test_a_combination_vial_is_used_only_when_both_amounts_are_in_its_ratio(text, have, using, policy) -> None:
    made = drawn(text, have, using, policy)
    for take in made.takes:
        if len(take.in_hand.presentation.actives) > 1:
            asked = ordered(made.order)
            assert set(asked) == {"albuterol", "ipratropium"}
            assert asked["albuterol"] == 5 * asked["ipratropium"]


@SLOW
@given(st.sampled_from(DOSES["albuterol"]), st.sampled_from(FILLS), instruments())
def test_a_dose_in_salt_and_its_equal_in_base_are_drawn_alike(dose: str, fill: str, using) -> None:
    salt = Fraction(dose) * 6 / 5
    assume(salt.denominator in {1, 2, 4, 5, 10, 20, 25, 50, 100})
    one = drawn(f"albuterol {dose} mg by nebulizer {fill}", (*BASE, *DILUENTS), using, Policy())
    two = drawn(f"albuterol sulfate {show_number(salt)} mg by nebulizer {fill}", (*BASE, *DILUENTS), using, Policy())
    assert one.status is two.status
    assert [(take.volume, take.amounts) for take in one.takes] == [(take.volume, take.amounts) for take in two.takes]


@pytest.mark.parametrize("dose", ["0.1", "0.25", "0.4", "0.9", "1", "1.1", "2", "2.4", "3"])
@pytest.mark.parametrize("fill", ["undiluted", "to 2 mL", "add 5 mL normal saline"])
def test_ways_that_are_stopped_never_crowd_out_one_that_is_not(dose: str, fill: str) -> None:
    text = f"albuterol {dose} mg by nebulizer {fill}"
    best = None
    for ident in sorted({hand.presentation.id for hand in BASE if "albuterol" in hand.presentation.drugs}):
        alone = plan(order(text), containers=bench(ident), instruments=tools())
        if alone.status is Status.READY and not alone.takes[0].first_dilution:
            best = min(filter(None, (best, rank(alone.takes, Policy()))))
    everything = plan(order(text), containers=(*BASE, *DILUENTS), instruments=tools())
    if best is not None:
        assert everything.status is Status.READY
        assert rank(everything.takes, Policy()) == best


@pytest.mark.parametrize(
    ("text", "idents"),
    [
        (
            "albuterol 2 mg and ipratropium 0.25 mg by nebulizer to 2 mL",
            ("albuterol-2.5mg-0.5ml", "ipratropium-500mcg-2.5ml"),
        ),
        (
            "albuterol 2 mg and budesonide 0.3 mg by nebulizer to 2 mL",
            ("albuterol-2.5mg-0.5ml", "budesonide-0.5mg-unit-dose-2ml"),
        ),
    ],
)
def test_with_two_drugs_the_stopped_ways_of_one_never_crowd_out_its_good_ones(
    text: str, idents: tuple[str, ...]
) -> None:
    made = plan(order(text), containers=ALL, instruments=tools())
    assert made.status is Status.READY
    assert tuple(take.in_hand.presentation.id for take in made.takes) == idents


@pytest.mark.parametrize(
    "text", ["albuterol 99999 mg by nebulizer to 3 mL", "albuterol 0.00001 mg by nebulizer to 3 mL"]
)
def test_an_absurd_dose_is_held_back_and_costs_little(text: str) -> None:
    made = plan(order(text), containers=bench(BOTTLE), instruments=tools())
    assert made.status is Status.STOPPED
    assert made.takes == ()
