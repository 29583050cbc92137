"""What the patient does not tolerate against what is taken: the drug, its class, what a product carries, and what is wrongly feared."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from drawndose.bench.findings import HOUSE, Level, Waiver
from drawndose.bench.policy import Policy, SoyaHeld
from drawndose.bench.safeguards.rule import Said, rule
from drawndose.bench.safeguards.seen import Seen, the_way
from drawndose.reference import Barred, Carried, Cleared, Drug, How, Presentation, load

ALLERGIES = ("the patient's allergies",)
LISTED = (*ALLERGIES, "what the label lists")


class Borne(NamedTuple):
    """One word that the order names as an allergy, and one part of a product that answers to it."""

    word: str
    carried: Carried
    product: Presentation


class Feared(NamedTuple):
    """One word that the order names as an allergy, and one drug that it is wrongly held against."""

    word: str
    cleared: Cleared
    policy: Policy


class Taken(NamedTuple):
    """One drug that the order names as an allergy, and one drug that a product holds."""

    word: str
    drug: Drug
    product: Presentation


def _products(seen: Seen) -> tuple[Presentation, ...]:
    """Every product of a way, the diluent too, each once."""
    used = [take.in_hand for take in seen.takes] + ([seen.fill.in_hand] if seen.fill.in_hand is not None else [])
    return tuple({one.presentation.id: one.presentation for one in used}.values())


def each_borne(seen: Seen) -> Iterator[Borne]:
    """Every excipient that answers to an allergy of the patient."""
    for word in seen.order.patient.allergies:
        sensitivity = load().sensitivities.get(word)
        for product in _products(seen) if sensitivity is not None else ():
            for carried in product.carries:
                if sensitivity is not None and sensitivity.is_in(carried.substance):
                    yield Borne(word, carried, product)


@rule(
    "excipient-and-allergy",
    Level.STOP,
    "Does the product hold something that the patient does not tolerate?",
    needs=LISTED,
    waiver=Waiver.PRESCRIBER,
    over=each_borne,
)
def excipient_and_allergy(one: Borne) -> Said | None:
    """By what the label lists, never by the drug's name. A way without it goes first; cautioned where only memory lists it."""
    if one.carried.origin.how is How.MEMORY:
        says = f"The patient does not tolerate {one.word}; {one.product.name} may hold {one.carried.substance}, from memory."
        return Said(
            says, "Read the label of the container in hand.", one.carried.origin, Level.CAUTION, Waiver.PREPARER
        )
    says = f"The patient does not tolerate {one.word}; {one.product.name} holds {one.carried.substance}."
    return Said(says, "Take a product without it, or ask the prescriber.", one.carried.origin)


def each_taken(seen: Seen) -> Iterator[Taken]:
    """Every allergy with every drug of every product."""
    for word in seen.order.patient.allergies:
        for product in _products(seen):
            for drug in product.drugs:
                yield Taken(word, load().drug(drug), product)


@rule(
    "drug-and-allergy",
    Level.STOP,
    "Is the patient allergic to the drug itself, or to another form of it?",
    needs=ALLERGIES,
    waiver=Waiver.PRESCRIBER,
    over=each_taken,
)
def drug_and_allergy(one: Taken) -> Said | None:
    """The drug itself; cautioned for one that is a form of it by name (levalbuterol is R-albuterol)."""
    if one.word == one.drug.id:
        says = f"The patient is allergic to {one.drug.name}, and {one.product.name} holds it."
        return Said(says, "Ask the prescriber for another drug.", HOUSE)
    other = next((drug for drug in load().drugs if drug.id == one.word), None)
    form = other is not None and (_form_of(one.drug, other) or _form_of(other, one.drug))
    if not form:
        return None
    says = f"The patient is allergic to {one.word}; {one.drug.name} is a form of the same drug."
    return Said(says, "Ask the prescriber whether it may be given.", HOUSE, Level.CAUTION, Waiver.PREPARER)


def _form_of(drug: Drug, other: Drug) -> bool:
    """True when a name of the drug is the other one's with a word before it: R-albuterol, racemic epinephrine."""
    return any(name.endswith((f"-{other.id}", f" {other.id}")) for name in drug.also)


class OfClass(NamedTuple):
    """One word that the order names as an allergy, and one drug that a product holds and that this bars."""

    word: str
    barred: Barred
    product: Presentation


def each_of_class(seen: Seen) -> Iterator[OfClass]:
    """Every drug of every product that belongs to a class, or to the class of another drug, that the patient does not tolerate."""
    for word in seen.order.patient.allergies:
        sensitivity = load().sensitivities.get(word)
        for product in _products(seen):
            for barred in sensitivity.bars if sensitivity is not None else ():
                if barred.drug in product.drugs:
                    yield OfClass(word, barred, product)


@rule(
    "class-and-allergy",
    Level.STOP,
    "Is the patient allergic to the drug's class, or to another drug of it?",
    needs=ALLERGIES,
    waiver=Waiver.PRESCRIBER,
    over=each_of_class,
)
def class_and_allergy(one: OfClass) -> Said | None:
    """By the drug's own label; cautioned where only memory has it. Classes are a closed list: what it lacks is told as unchecked."""
    says = f"The patient is allergic to {one.word}; {one.product.name} holds {one.barred.drug}: {one.barred.says}."
    origin = one.barred.origin
    if origin.how is How.MEMORY:
        do = "Read the label, and ask the prescriber whether it may be given."
        return Said(says, do, origin, Level.CAUTION, Waiver.PREPARER)
    return Said(says, "Ask the prescriber for another drug.", origin)


def each_cleared(seen: Seen) -> Iterator[Feared]:
    """Every allergy that is wrongly held against a drug of this way, once for each drug."""
    drugs = dict.fromkeys(drug for product in _products(seen) for drug in product.drugs)
    held = dict.fromkeys(borne.word for borne in each_borne(seen))
    found: dict[str, Feared] = {}
    for word in seen.order.patient.allergies:
        sensitivity = load().sensitivities.get(word)
        for cleared in sensitivity.cleared if sensitivity is not None else ():
            if cleared.drug in drugs and word not in held:
                found.setdefault(cleared.drug, Feared(word, cleared, seen.policy))
    return iter(found.values())


@rule(
    "allergy-does-not-bar",
    Level.NOTE,
    "Is an allergy wrongly held against a drug?",
    needs=LISTED,
    waiver=Waiver.UNASKED,
    over=each_cleared,
)
def allergy_does_not_bar(one: Feared) -> Said | None:
    """Said once, so that nobody leaves the drug out for it. A facility may hold soya and peanut against it all the same."""
    word, cleared, policy = one
    if policy.soya_held is SoyaHeld.NAME:
        says = f"An allergy to {word} is held against {cleared.drug} here by name; {cleared.says}."
        return Said(says, "Ask the prescriber whether it may be given.", cleared.origin, Level.CAUTION, Waiver.PREPARER)
    return Said(
        f"An allergy to {word} does not bar {cleared.drug} here: {cleared.says}.",
        "Do not leave it out for this.",
        cleared.origin,
    )


@rule(
    "allergy-not-checked",
    Level.NOTE,
    "Can every allergy that is named be checked?",
    needs=ALLERGIES,
    waiver=Waiver.UNASKED,
    over=the_way,
)
def allergy_not_checked(seen: Seen) -> Said | None:
    """What is no drug and no excipient of the closed list is kept as written, and that it was not checked is said."""
    book = load()
    known = {*book.sensitivities, *(drug.id for drug in book.drugs)} if seen.order.patient.allergies else set()
    unknown = [word for word in seen.order.patient.allergies if word not in known]
    if not unknown:
        return None
    return Said(
        f"Not checked by the tool: allergy to {', '.join(unknown)}.", "Check it against each label by hand.", HOUSE
    )


RULES = (excipient_and_allergy, drug_and_allergy, class_and_allergy, allergy_does_not_bar, allergy_not_checked)
