"""What a measure shows, between which lines a volume lies, and how far off it may be."""

from fractions import Fraction

import pytest

from drawndose import Policy, load
from drawndose.bench.draws import Draw, NoDraw, Offer, draw, line_words
from drawndose.reference import Instrument

BOOK = load()
SYRINGES = tuple(one for one in BOOK.instruments if one.kind.value == "syringe")
DROPPER = BOOK.instrument("dropper-0.25-0.5")


def ml(text: str) -> Fraction:
    return Fraction(text)


@pytest.mark.parametrize(
    ("ident", "capacity", "step", "numbered"),
    [
        ("syringe-1", "1", "0.01", "0.1"),
        ("syringe-2", "2", "0.1", "0.5"),
        ("syringe-2.5", "2.5", "0.1", "0.5"),
        ("syringe-3", "3", "0.1", "0.5"),
        ("syringe-5", "5", "0.2", "1"),
        ("syringe-10", "10", "0.2", "1"),
        ("syringe-20", "20", "1", "5"),
        ("syringe-30", "30", "1", "5"),
        ("syringe-60", "60", "1", "10"),
    ],
)
def test_a_syringe_has_its_own_scale_and_three_tips(ident: str, capacity: str, step: str, numbered: str) -> None:
    luer, slip, oral = BOOK.instrument(ident), BOOK.instrument(f"{ident}-slip"), BOOK.instrument(f"{ident}-oral")
    for one in (luer, slip, oral):
        assert one.scale == (ml(capacity), ml(step), ml(numbered))
    assert (luer.tip, slip.tip, oral.tip) == ("luer", "slip", "oral")


@pytest.mark.parametrize("one", SYRINGES, ids=lambda one: one.id)
def test_the_scale_of_a_syringe_comes_out_even(one: Instrument) -> None:
    assert (one.capacity / one.step).denominator == 1
    assert (one.numbered / one.step).denominator == 1


@pytest.mark.parametrize(
    ("ident", "volume", "error"),
    [
        ("syringe-1", "0.5", "0.025"),
        ("syringe-1", "1", "0.05"),
        ("syringe-1", "0.4", "0.023"),
        ("syringe-1", "0.1", "0.017"),
        ("syringe-1", "0.03", "0.0156"),
        ("syringe-3", "0.1", "0.047"),
        ("syringe-3", "1.4", "0.073"),
        ("syringe-3", "1.5", "0.075"),
        ("syringe-3", "3", "0.15"),
        ("syringe-5", "2", "0.095"),
        ("syringe-5", "2.6", "0.104"),
        ("syringe-10", "1", "0.16"),
        ("syringe-10", "6", "0.24"),
        ("syringe-60", "1", "0.91"),
    ],
)
def test_the_permissible_error_is_the_two_branch_rule(ident: str, volume: str, error: str) -> None:
    assert BOOK.instrument(ident).permissible_error(ml(volume)) == ml(error)


@pytest.mark.parametrize("one", SYRINGES, ids=lambda one: one.id)
def test_the_two_branches_meet_at_half_of_the_capacity(one: Instrument) -> None:
    half, hair = one.capacity / 2, Fraction(1, 10**9)
    assert one.permissible_error(half) == (
        one.tolerance.below_half_of_capacity * one.capacity + one.tolerance.below_half_of_volume * half
    )
    assert abs(one.permissible_error(half - hair) - one.permissible_error(half)) < hair


@pytest.mark.parametrize(("volume", "error"), [("0.25", "0.0375"), ("0.5", "0.075")])
def test_a_calibrated_dropper_may_be_off_by_15_percent(volume: str, error: str) -> None:
    assert DROPPER.permissible_error(ml(volume)) == ml(error)


@pytest.mark.parametrize(
    ("ident", "shown", "between"),
    [
        ("dropper-0.25-0.5", "0.25 0.5", "0.24 0.3 0.4 0.51 0.75 0"),
        ("syringe-1", "0.01 0.35 1", "0.005 1.01 0.335 0"),
        ("syringe-2.5", "0.1 2.4 2.5", "2.45 2.6 0.25 0"),
        ("syringe-10", "0.2 9.8 10", "0.3 0.1 10.2 0"),
    ],
)
def test_a_measure_shows_its_own_marks_and_lines_and_nothing_between(ident: str, shown: str, between: str) -> None:
    one = BOOK.instrument(ident)
    assert [one.shows(ml(text)) for text in shown.split()] == [True] * len(shown.split())
    assert [one.shows(ml(text)) for text in between.split()] == [False] * len(between.split())


@pytest.mark.parametrize(
    ("ident", "volume", "around"),
    [
        ("syringe-1", "0.335", ("0.33", "0.34")),
        ("syringe-1", "0.004", ("0", "0.01")),
        ("syringe-5", "2.5", ("2.4", "2.6")),
        ("dropper-0.25-0.5", "0.3", ("0.25", "0.5")),
        ("dropper-0.25-0.5", "0.1", ("0", "0.25")),
        ("syringe-1", "0.3", None),
        ("syringe-1", "1", None),
        ("syringe-1", "1.005", None),
        ("dropper-0.25-0.5", "0.5", None),
        ("dropper-0.25-0.5", "0.6", None),
    ],
)
def test_a_volume_between_lines_lies_between_these_two(ident: str, volume: str, around: tuple[str, str] | None) -> None:
    found = BOOK.instrument(ident).lines_around(ml(volume))
    assert found == (None if around is None else (ml(around[0]), ml(around[1])))


@pytest.mark.parametrize(
    ("ident", "volume", "fills"),
    [
        ("syringe-1", "0.4", "0.4"),
        ("syringe-1", "1", "1"),
        ("syringe-1", "2.35", "1 1 0.35"),
        ("syringe-3", "9", "3 3 3"),
        ("dropper-0.25-0.5", "0.25", "0.25"),
        ("dropper-0.25-0.5", "1.25", "0.5 0.5 0.25"),
    ],
)
def test_a_volume_is_measured_in_full_fills_and_a_rest(ident: str, volume: str, fills: str) -> None:
    made = draw(ml(volume), BOOK.instrument(ident), Policy())
    assert isinstance(made, Draw)
    assert made.fills == tuple(ml(text) for text in fills.split())
    assert made.volume == ml(volume)


def test_the_errors_of_several_fills_add_up() -> None:
    made = draw(ml("2.35"), BOOK.instrument("syringe-1"), Policy())
    assert made.error == ml("0.05") + ml("0.05") + ml("0.022")


@pytest.mark.parametrize(
    ("ident", "volume", "why"),
    [
        ("syringe-1", "3.01", "3.01 mL would be 4 fills of it, more than 3"),
        ("dropper-0.25-0.5", "2", "2 mL would be 4 fills of it, more than 3"),
        ("dropper-0.25-0.5", "0.4", "0.4 mL has no mark on it (marks at 0.25 mL, 0.5 mL)"),
        (
            "syringe-60",
            "0.03",
            "0.03 mL has no line on it: it lies below the first, 1 mL (about 3,200 % more); none is near enough",
        ),
    ],
)
def test_a_measure_that_cannot_says_why(ident: str, volume: str, why: str) -> None:
    found = draw(ml(volume), BOOK.instrument(ident), Policy())
    assert isinstance(found, NoDraw)
    assert found.words() == why


def test_a_volume_between_lines_is_offered_and_never_rounded() -> None:
    found = draw(ml("0.335"), BOOK.instrument("syringe-1"), Policy())
    assert isinstance(found, Offer)
    assert (found.below, found.above) == (ml("0.33"), ml("0.34"))
    assert found.deviation(ml("0.33")) == Fraction(-1, 67)


@pytest.mark.parametrize(
    ("policy", "volume", "deviation"),
    [
        (Policy(accepted_line=Fraction(34, 100)), "0.34", Fraction(1, 67)),
        (Policy(accepted_line=Fraction(33, 100)), "0.33", Fraction(-1, 67)),
        (Policy(nearest_line_within=Fraction(2, 100)), "0.34", Fraction(1, 67)),
    ],
)
def test_an_accepted_line_is_drawn_and_its_deviation_stays_known(
    policy: Policy, volume: str, deviation: Fraction
) -> None:
    made = draw(ml("0.335"), BOOK.instrument("syringe-1"), policy)
    assert isinstance(made, Draw)
    assert (made.volume, made.asked, made.deviation) == (ml(volume), ml("0.335"), deviation)


@pytest.mark.parametrize(
    "policy", [Policy(accepted_line=Fraction(32, 100)), Policy(nearest_line_within=Fraction(1, 100))]
)
def test_a_line_that_is_not_beside_the_volume_or_not_near_enough_is_not_drawn(policy: Policy) -> None:
    assert isinstance(draw(ml("0.335"), BOOK.instrument("syringe-1"), policy), Offer)


def test_an_accepted_line_after_a_full_fill_is_read_in_both_fills() -> None:
    made = draw(ml("2.345"), BOOK.instrument("syringe-1"), Policy(accepted_line=Fraction(235, 100)))
    assert made.fills == (1, 1, ml("0.35"))
    assert made.reading == (
        "the stopper edge nearest the tip on the 1 mL line, then the stopper edge nearest the tip on the 0.35 mL line, "
        "the fifth line past 0.3 mL"
    )


@pytest.mark.parametrize(
    ("ident", "volume", "words"),
    [
        ("dropper-0.25-0.5", "0.25", "the lowest point of the curve at the 0.25 mL mark"),
        ("syringe-1", "0.4", "the stopper edge nearest the tip on the 0.4 mL line"),
        ("syringe-1", "0.04", "the stopper edge nearest the tip on the 0.04 mL line, the fourth line past 0"),
        ("syringe-5", "2.6", "the stopper edge nearest the tip on the 2.6 mL line, the third line past 2 mL"),
        ("syringe-60", "19", "the stopper edge nearest the tip on the 19 mL line, the ninth line past 10 mL"),
        ("cylinder-100", "40", "the lowest point of the curve on the 40 mL line"),
        ("cylinder-25", "12.5", "the lowest point of the curve on the 12.5 mL line, the fifth line past 10 mL"),
    ],
)
def test_the_reading_names_the_line_and_the_number_before_it(ident: str, volume: str, words: str) -> None:
    assert line_words(BOOK.instrument(ident), ml(volume)) == words


def test_a_line_past_the_ninth_is_counted_in_figures() -> None:
    from dataclasses import replace

    odd = replace(BOOK.instrument("syringe-1"), numbered=Fraction(1, 2))
    assert line_words(odd, ml("0.12")).endswith("the 12th line past 0")
