"""How statements are weighed: the same whatever the order, as good as the worst pair, and nothing out of nothing."""

from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drawndose import load
from drawndose.bench.compatibility import (
    GRAVEST_FIRST,
    STOPS,
    Part,
    Together,
    cup,
    judge,
    judge_three,
    mixed,
    part,
    shortest,
    stopped,
    worst,
)
from drawndose.quantities import read_quantity
from drawndose.reference import ANY, How, Mixture, Mixtures, Origin, Verdict
from tests.bench.benches import BOTTLE, bench, made, ready

BOOK = load().mixtures
DRUGS = [drug.id for drug in load().drugs]
PRODUCTS = [part(one) for one in load().presentations]
ORIGIN = Origin(source="s", at="-", how=How.READ)
A, B, C = Part(("a",), ("bottle", "salt"), ("salt",)), Part(("b",)), Part(("c",))


def said(of: str, verdict: Verdict, within: str = "", *, free: bool = False) -> Mixture:
    return Mixture(
        of=tuple(of.split()),
        verdict=verdict,
        within=read_quantity(within) if within else None,
        preservative_free=free,
        by="somebody",
        says=f"says {verdict.value} of {of}",
        origin=ORIGIN,
    )


NOTHING = (said("any any", Verdict.NO_DATA), said("any any any", Verdict.NO_DATA))


def book(*statements: Mixture) -> Mixtures:
    return Mixtures([*statements, *NOTHING])


def verdict(one: Part, other: Part, *statements: Mixture) -> Verdict:
    judged = judge(one, other, book(*statements))
    assert judged is not None
    assert judged.because[0].verdict is judged.verdict or judged.verdict in {Verdict.CONFLICTING, Verdict.NO_DATA}
    assert judged.origin is judged.because[0].origin
    return judged.verdict


# what was said of a and b, and the verdict
WEIGHED = [
    ([], Verdict.NO_DATA),
    ([said("a b", Verdict.COMPATIBLE)], Verdict.COMPATIBLE),
    ([said("a b", Verdict.COMPATIBLE), said("a any", Verdict.NO_DATA)], Verdict.COMPATIBLE),
    ([said("a b", Verdict.COMPATIBLE), said("b any", Verdict.ADVISED_AGAINST)], Verdict.CONFLICTING),
    ([said("b any", Verdict.ADVISED_AGAINST)], Verdict.NO_DATA),
    ([said("a b", Verdict.CONFLICTING)], Verdict.CONFLICTING),
    ([said("a b", Verdict.COMPATIBLE), said("a any", Verdict.FORBIDDEN)], Verdict.FORBIDDEN),
    ([said("any b", Verdict.FORBIDDEN), said("a b", Verdict.INCOMPATIBLE)], Verdict.INCOMPATIBLE),
    ([said("b salt", Verdict.INCOMPATIBLE), said("a b", Verdict.COMPATIBLE)], Verdict.INCOMPATIBLE),
    ([said("bottle b", Verdict.INCOMPATIBLE)], Verdict.INCOMPATIBLE),
    ([said("a b", Verdict.COMPATIBLE, free=True)], Verdict.NO_DATA),
    ([said("a c", Verdict.INCOMPATIBLE)], Verdict.NO_DATA),
]


@pytest.mark.parametrize(
    ("statements", "expected"), WEIGHED, ids=lambda value: getattr(value, "value", len(str(value)))
)
def test_statements_are_weighed_into_one_verdict(statements: list[Mixture], expected: Verdict) -> None:
    assert verdict(A, B, *statements) is expected
    assert verdict(B, A, *reversed(statements)) is expected


def test_what_a_product_carries_and_its_preservative_do_not_count_against_its_drug() -> None:
    plain = Part(("a",), ("vial",))
    assert (
        verdict(plain, B, said("b salt", Verdict.INCOMPATIBLE), said("a b", Verdict.COMPATIBLE)) is Verdict.COMPATIBLE
    )
    assert verdict(plain, B, said("a b", Verdict.COMPATIBLE, free=True)) is Verdict.COMPATIBLE
    judged = judge(A, B, book(free := said("a b", Verdict.COMPATIBLE, free=True)))
    assert judged is not None
    assert judged.unmet == (free,)


def test_the_shortest_time_holds_and_none_where_nothing_is_mixed() -> None:
    times = [
        said("a b", Verdict.COMPATIBLE, "1 h"),
        said("a b", Verdict.COMPATIBLE, "30 min"),
        said("a b", Verdict.COMPATIBLE),
    ]
    judged = judge(A, B, book(*times))
    assert judged is not None
    assert (judged.within, judged.because) == (read_quantity("30 min"), (times[1],))
    forbidden = judge(A, B, book(*times, said("a any", Verdict.FORBIDDEN)))
    assert forbidden is not None
    assert (forbidden.within, forbidden.because[1]) == (None, times[1])
    untimed = judge(A, B, book(times[2]))
    assert untimed is not None
    assert untimed.within is None


def test_a_product_of_two_drugs_is_as_good_as_the_worst_of_them_and_keeps_the_shortest_time() -> None:
    both = Part(("a", "c"))
    statements = [said("a b", Verdict.COMPATIBLE, "30 min"), said("c b", Verdict.CONFLICTING, "1 h")]
    judged = judge(both, B, book(*statements))
    assert judged is not None
    assert (judged.verdict, judged.within) == (Verdict.CONFLICTING, read_quantity("30 min"))
    assert verdict(both, B, statements[0]) is Verdict.NO_DATA
    # the same drug on both sides asks nothing; the other one does
    assert verdict(both, Part(("a",)), said("a c", Verdict.COMPATIBLE)) is Verdict.COMPATIBLE
    assert judge(both, Part(("c", "a")), book()) is None


def test_the_worst_of_none_is_none_and_of_equals_the_first() -> None:
    with pytest.raises(ValueError, match="empty"):
        worst([])
    one, other = (judge(A, other, book(said("a any", Verdict.FORBIDDEN))) for other in (B, C))
    assert one is not None
    assert other is not None
    assert worst([one, other]) is one


# ------------------------------------------------------------------------------------------------------ a whole cup


def of_cup(parts: tuple[Part, ...], *statements: Mixture) -> list[tuple[tuple[int, ...], Verdict]]:
    return [(one.places, one.judged.verdict) for one in cup(parts, book(*statements))]


PAIRS = [said("a b", Verdict.COMPATIBLE), said("b c", Verdict.COMPATIBLE), said("a c", Verdict.COMPATIBLE)]


def test_three_in_a_cup_are_judged_in_every_pair_and_together() -> None:
    found = of_cup((A, B, C), *PAIRS[:2], said("c salt", Verdict.INCOMPATIBLE))
    assert found == [
        ((0, 1), Verdict.COMPATIBLE),
        ((0, 2), Verdict.INCOMPATIBLE),
        ((1, 2), Verdict.COMPATIBLE),
    ]


def test_three_of_which_nothing_is_known_are_told_only_where_each_pair_goes() -> None:
    pairs = [((0, 1), Verdict.COMPATIBLE), ((0, 2), Verdict.COMPATIBLE), ((1, 2), Verdict.COMPATIBLE)]
    assert of_cup((A, B, C), *PAIRS) == [*pairs, ((0, 1, 2), Verdict.NO_DATA)]
    assert of_cup((A, B, C), *PAIRS, said("c a b", Verdict.COMPATIBLE)) == [*pairs, ((0, 1, 2), Verdict.COMPATIBLE)]
    free = said("c a b", Verdict.COMPATIBLE, free=True)
    assert of_cup((A, B, C), *PAIRS, free)[-1] == ((0, 1, 2), Verdict.NO_DATA)
    assert of_cup((A, B, C), *PAIRS[:2])[-1][0] == (1, 2)


def test_a_ready_made_mixture_makes_three_with_one_more_and_none_alone() -> None:
    both = Part(("a", "b"))
    assert of_cup((both,)) == []
    assert of_cup((both, C), *PAIRS, said("a b c", Verdict.COMPATIBLE)) == [
        ((0, 1), Verdict.COMPATIBLE),
        ((0, 1), Verdict.COMPATIBLE),
    ]
    three = Part(("a", "b", "c"))
    assert of_cup((three, Part(("d",))), *PAIRS) == [((0, 1), Verdict.NO_DATA)]


def test_a_statement_on_three_says_nothing_of_its_pairs() -> None:
    three = said("a b c", Verdict.COMPATIBLE)
    assert judge_three(("a", "b", "c"), book(three), preserved=False).verdict is Verdict.COMPATIBLE
    assert verdict(A, B, three) is Verdict.NO_DATA


# --------------------------------------------------------------------------------------------- the packaged statements


@given(st.sampled_from(PRODUCTS), st.sampled_from(PRODUCTS))
@settings(max_examples=300)
def test_two_products_are_judged_the_same_in_either_order(one: Part, other: Part) -> None:
    assert judge(one, other, BOOK) == judge(other, one, BOOK)


@given(st.lists(st.sampled_from(PRODUCTS), min_size=2, max_size=4, unique=True))
@settings(max_examples=150)
def test_a_cup_is_judged_the_same_in_any_order_and_is_as_good_as_its_worst_pair(parts: list[Part]) -> None:
    def told(order: tuple[Part, ...]) -> set[tuple[frozenset[Part], Verdict]]:
        return {(frozenset(order[place] for place in one.places), one.judged.verdict) for one in cup(order, BOOK)}

    found = told(tuple(parts))
    assert all(told(tuple(order)) == found for order in permutations(parts))
    pairs = [judge(one, other, BOOK) for place, one in enumerate(parts) for other in parts[place + 1 :]]
    gravest = min((GRAVEST_FIRST.index(one.verdict) for one in pairs if one is not None), default=None)
    if gravest is not None:
        assert min(GRAVEST_FIRST.index(verdict) for _, verdict in found) == gravest


@given(st.sampled_from(DRUGS), st.sampled_from(DRUGS))
def test_a_preservative_never_makes_a_mixture_better(one: str, other: str) -> None:
    plain, kept = Part((one,)), Part((one,), ("benzalkonium chloride",), ("benzalkonium chloride",))
    without, with_it = judge(plain, Part((other,)), BOOK), judge(kept, Part((other,)), BOOK)
    if without is None or with_it is None:
        assert one == other
    else:
        assert GRAVEST_FIRST.index(with_it.verdict) <= max(
            GRAVEST_FIRST.index(without.verdict), GRAVEST_FIRST.index(Verdict.NO_DATA)
        )
        assert (with_it.verdict in STOPS) >= (without.verdict in STOPS)


@given(st.sampled_from(DRUGS), st.sampled_from(DRUGS))
def test_every_verdict_names_who_says_it_and_is_one_of_five(one: str, other: str) -> None:
    judged = judge(Part((one,)), Part((other,)), BOOK)
    if judged is not None:
        assert judged.verdict in GRAVEST_FIRST
        assert 1 <= len(judged.because) <= 2
        assert set(judged.because) <= set(judged.statements)
        assert set(judged.because[0].of) <= {one, other, ANY}


# ---------------------------------------------------------------------------------------------------- what is taken


def test_what_is_taken_is_judged_and_one_take_alone_is_not() -> None:
    two = ready("albuterol 2.5 mg and ipratropium 0.5 mg by nebulizer", BOTTLE, "ipratropium-500mcg-2.5ml").takes
    ((takes, judged),) = mixed(two)
    assert (takes, judged.verdict) == (two, Verdict.COMPATIBLE)
    limit = shortest(two)
    assert limit is not None
    assert limit.within == read_quantity("1 h")
    assert mixed(two[:1]) == ()
    assert shortest(two[:1]) is None
    assert not stopped(*two)


def test_a_stopped_pair_is_a_stop_in_either_order() -> None:
    tobramycin = ready("tobramycin 300 mg by nebulizer", "tobramycin-300mg-unit-dose-5ml").takes
    dornase = ready("dornase alfa 2.5 mg by nebulizer").takes
    assert stopped(*tobramycin, *dornase)
    assert stopped(*dornase, *tobramycin)
    assert bench(BOTTLE)
    assert made("albuterol 2.5 mg by nebulizer to 3 mL", BOTTLE).takes


def test_the_places_of_together_are_its_parts() -> None:
    found = cup((A, B), book(said("a b", Verdict.COMPATIBLE)))
    assert found[0] == Together((0, 1), found[0].judged)
