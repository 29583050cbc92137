"""The technique steps of a plan: the catalogue's steps for each container kind, with this plan's numbers in their places.

With several containers the common steps stand once, and each container's own steps follow one another.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from drawndose.bench.draws import ml
from drawndose.bench.entries import air_words, needle_case
from drawndose.bench.fills import FillPlan
from drawndose.bench.kept import Kept
from drawndose.bench.labels import LabelLine
from drawndose.bench.leftovers import Leftover
from drawndose.bench.limits import Limit
from drawndose.bench.order import Order
from drawndose.bench.takes import Take
from drawndose.quantities import Form, show, show_about, show_strength
from drawndose.reference import Active, Catalogue, Container, Phase, Picture, Technique, TechniqueStep, When


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step with its number, text, whether failing it stops the preparation, what failing looks like, and source.

    pictures: which drawings show it. takes: the places of the takes whose own step it is, from 0; none for a common step.
    """

    number: int
    says: str
    critical: bool
    failure: str
    source: str
    how: str
    pictures: tuple[Picture, ...] = ()
    takes: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Filled:
    """What the steps of a plan are filled with."""

    order: Order
    takes: tuple[Take, ...]
    fill: FillPlan
    label: tuple[LabelLine, ...]
    limit: Limit
    leftovers: tuple[Leftover, ...]
    kept: Kept = field(default_factory=Kept)


OWN = (Phase.CONTAINER, Phase.DRAW)
COMMON_END = (Phase.DILUTE, Phase.CHECK)


def around(catalogue: Catalogue) -> tuple[Step, ...]:
    """What holds around every preparation, whatever the container: beside the steps, not among them."""
    return tuple(
        Step(number=number, says=one.says, critical=one.critical, failure=one.failure, source=one.source, how=one.how)
        for number, one in enumerate(catalogue.technique("any").steps, start=1)
    )


def steps(filled: Filled, catalogue: Catalogue) -> tuple[Step, ...]:
    """Every step of the plan, numbered from 1."""
    techniques = [catalogue.technique(take.in_hand.presentation.container.value) for take in filled.takes]
    words = [_places(filled, place) for place in range(len(filled.takes))]
    found = _of(techniques[0], (Phase.START,), words[0], filled)
    takes: dict[tuple[TechniqueStep, str], list[int]] = {}
    for place, technique in enumerate(techniques):
        own = _of(technique, OWN, words[place], filled, place)
        for one in own:
            takes.setdefault(one, []).append(place)
        found += own
    found += _of(techniques[0], COMMON_END, words[0], filled)
    for place, technique in enumerate(techniques):
        found += _of(technique, (Phase.LEFTOVER,), words[place], filled, place)
    found += _of(techniques[0], (Phase.CLOSE,), words[0], filled)
    unique = list(dict.fromkeys(found))
    return tuple(
        Step(
            number=number,
            says=says,
            critical=step.critical,
            failure=step.failure,
            source=step.source,
            how=step.how,
            pictures=step.pictures,
            takes=tuple(takes.get((step, says), ())),
        )
        for number, (step, says) in enumerate(unique, start=1)
    )


def _of(
    technique: Technique, phases: tuple[Phase, ...], places: dict[str, str], filled: Filled, place: int = 0
) -> list[tuple[TechniqueStep, str]]:
    take = filled.takes[place]
    found = [
        (step, _tidy(step.says.format_map(places)))
        for step in technique.steps
        if step.phase in phases and _applies(step.when, take, filled.fill)
    ]
    if Phase.DRAW in phases:
        found += [(BY_HOUSE, says) for says in _first_dilution(take, filled.fill)]
    return found


def _applies(when: When, take: Take, fill: FillPlan) -> bool:
    return {
        When.ALWAYS: True,
        When.MEASURED: take.draw is not None or take.first_dilution is not None,
        When.WHOLE: take.whole > 0,
        When.DILUTED: bool(fill.added),
    }[when]


def _tidy(text: str) -> str:
    return " ".join(text.split())


BY_HOUSE = TechniqueStep(
    says="",
    phase=Phase.DRAW,
    when=When.MEASURED,
    critical=True,
    failure="the part taken from the container and not from the mixture: many times the dose",
    source="common-practice",
    how="common practice",
)
"""The grading of the steps of a first dilution: they are made here, since no container's technique has them."""


def _first_dilution(take: Take, fill: FillPlan) -> tuple[str, ...]:
    """After the stock is drawn: make it up and mix it, then take the part out of the mixture."""
    dilution = take.first_dilution
    if dilution is None:
        return ()
    total, part = dilution.total, dilution.part
    return (
        f"First dilution: draw {fill.diluent} to it, up to {ml(total.volume)} in all: {total.reading}. Cap it, turn it over "
        f"until it is mixed. Label this syringe at once: {_mixture(take)}.",
        f"From the first dilution, never from the container: draw {ml(part.volume)} with another new "
        f"{part.instrument.name}: {part.reading}. Put that into the cup; the rest of the mixture does not go in.",
    )


def _mixture(take: Take) -> str:
    """What a first dilution holds: the amount in its whole volume."""
    dilution = take.first_dilution
    assert dilution is not None
    held = take.amounts[0] * (dilution.total.volume / dilution.part.volume)
    return f"{held.of[0][0]} {show_about(held)} in {ml(dilution.total.volume)}"


def _places(filled: Filled, place: int) -> dict[str, str]:
    """Every place that a technique may name, for one take."""
    take = filled.takes[place]
    presentation = take.in_hand.presentation
    draw = take.first_dilution.stock if take.first_dilution is not None else take.draw
    case = needle_case(take, filled.kept.needles)
    draws = ", then ".join(ml(fill) for fill in draw.fills) if draw is not None else "nothing"
    return {
        "patient": "this person",
        "order": filled.order.text or "as written",
        "sum": _sum(take),
        "name": presentation.name,
        "strength": " with ".join(strength_words(active) for active in presentation.actives),
        "contents": ml(take.in_hand.contents()),
        "count": _count(take.containers, presentation.container),
        "draws": draws,
        "instrument": draw.instrument.name if draw is not None else "syringe",
        "reading": draw.reading if draw is not None else "",
        "mark": draws,
        "air": air_words(take),
        "needle": case.says if case is not None else "",
        "each": _each(take),
        "target": _target(take),
        "whole": _count(take.whole, presentation.container),
        "part": "one more" if take.whole else "the unit",
        "tip": _tip(take),
        "mix": _mix(take),
        "manner": _manner(take),
        "reconstitute": _made_up(take),
        "leftover": filled.leftovers[place].fate,
        "limit": filled.limit.says,
        "label": "; ".join(line.text for line in filled.label if line.large),
        **_diluent_places(filled.fill),
    }


def strength_words(active: Active) -> str:
    """A strength as printed and, for an amount in a volume, as it counts."""
    if active.strength.form is Form.PER_CONTAINER:
        return f"{show(active.strength.amount)} of {active.moiety} in a vial"
    return f"{show_strength(active.strength)} of {active.moiety}"


def _sum(take: Take) -> str:
    active = take.in_hand.presentation.actives[0]
    amount = show_about(take.amounts[0])
    if take.draw is None and take.first_dilution is None:
        return f"{amount} is {_count(take.whole, take.in_hand.presentation.container)}"
    per_ml = show_about(take.in_hand.per_ml(active))
    told = f"{amount} at {per_ml} is {ml(take.stock_in_cup)}"
    if take.first_dilution is None:
        return told
    return (
        f"{told}, which no instrument here measures; of the first dilution, {_mixture(take)}, it is {ml(take.volume)}"
    )


def _each(take: Take) -> str:
    """How much comes out of each of several containers; the last one may give a part."""
    contents, full = take.in_hand.contents(), take.containers - 1
    if not full or take.whole:
        return ""
    last = take.drawn_from_container - contents * full
    if last == contents:
        return f" ({ml(contents)} from each of {take.containers})"
    before = f"each of {full}" if full > 1 else "the first"
    return f" ({ml(contents)} from {before}, {ml(last)} from the last)"


def _target(take: Take) -> str:
    """Where a measured volume goes: into the cup, or into the syringe in which a first dilution is made up."""
    if take.first_dilution is None:
        return "the cup"
    return f"a new {take.first_dilution.total.instrument.name}, not into the cup"


NOUNS = {
    Container.DROPPER_BOTTLE: ("the bottle", "bottles"),
    Container.STOPPERED_VIAL: ("the vial", "vials"),
    Container.GLASS_AMPOULE: ("the ampoule", "ampoules"),
    Container.PLASTIC_UNIT_DOSE: ("the unit", "units"),
    Container.POWDER_VIAL: ("the vial", "vials"),
    Container.BULK: ("the bottle", "bottles"),
}


def _count(number: int, container: Container) -> str:
    one, many = NOUNS[container]
    return one if number <= 1 else f"all {number} {many}"


def _tip(take: Take) -> str:
    draw = take.draw
    if draw is None or draw.instrument.tip == "oral":
        return ""
    return "Its tip could join a vein's line: label it by route, put it into the cup at once."


def _mix(take: Take) -> str:
    return "A suspension: swirl it as its label says." if "suspension" in take.in_hand.name else ""


def _manner(take: Take) -> str:
    made_up = take.in_hand.presentation.reconstitution
    return f"{made_up.manner[:1].upper()}{made_up.manner[1:]}." if made_up is not None and made_up.manner else ""


def _made_up(take: Take) -> str:
    made_up = take.in_hand.presentation.reconstitution
    if made_up is None:
        return ""
    each = " for each" if take.containers > 1 else ""
    measured = f", measured with the {take.liquid.instrument.name}" if take.liquid is not None else ""
    return f"{show(made_up.add)} of {' or '.join(made_up.diluents)}{each}{measured}"


def _diluent_places(fill: FillPlan) -> dict[str, str]:
    parts = []
    if fill.whole and fill.in_hand is not None:
        size = ml(fill.in_hand.contents())
        parts.append(f"{fill.whole} whole unit{'s' if fill.whole > 1 else ''} of {size} (nominal)")
    how = ""
    if fill.drawn is not None:
        parts.append(ml(fill.drawn.volume))
        how = f"Measure it with the {fill.drawn.instrument.name}: {fill.drawn.reading}."
    return {
        "diluent": fill.diluent or "diluent",
        "diluent_volume": " and ".join(parts) or "nothing",
        "diluent_how": how,
        "fill": ml(fill.total),
    }
