"""What the pieces of one drug's dose must agree on: limits with the dose, volumes with strengths, units with the drug."""

from __future__ import annotations

from drawndose.bench.order.model import Dose, Question
from drawndose.quantities import Fault, Quantity, show
from drawndose.quantities.quantity import ARBITRARY
from drawndose.quantities.units import Parts

VOLUME = (("volume", 1),)


def of_one_dose(amount: Quantity) -> Parts:
    """The dimension that a single dose has once the weight is known and a day is divided."""
    return tuple(
        (name, power) for name, power in amount.dimension if name != "body mass" and not _in_a_day(amount, name)
    )


def per_day(amount: Quantity) -> bool:
    """True for an amount per day."""
    return ("day", -1) in amount.unit.parts


def _in_a_day(amount: Quantity, dimension: str) -> bool:
    return dimension == "time" and per_day(amount)


def limit_fault(which: str, limit: Quantity, came: str, amount: Quantity | None) -> Fault | None:
    """Why a limit cannot be held against the dose, or None. which: minimum or maximum."""

    def fault(rule: str, accepted: str) -> Fault:
        return Fault(field="dose", rule=rule, came=came, accepted=accepted)

    if amount is None:
        return None
    if of_one_dose(limit) != of_one_dose(amount) or ("kg", -1) in limit.unit.parts:
        return fault(f"the {which} and the dose do not count the same thing", "0.15 mg/kg, maximum 5 mg")
    if per_day(amount) and (per_day(limit) or not came.lower().endswith("dose")):
        return fault(f"a {which} beside a dose per day must be of one dose", f"{which} 5 mg per dose")
    if ("kg", -1) in amount.unit.parts or per_day(amount) or per_day(limit) or not amount.like(limit):
        return None
    if (amount > limit) if which == "maximum" else (amount < limit):
        side = "more" if which == "maximum" else "less"
        return fault(f"the dose is {side} than the order's own {which}", f"a dose within the {which}")
    return None


def day_limit(which: str, limit: Quantity, name: str) -> Question:
    """A limit per day beside a single dose: this plan cannot hold it, so a person must."""
    asks = f"The order's {which} of {name} is {show(limit)}: is this dose still within it?"
    return Question(field="dose", asks=asks, blocking=False)


def dose_faults(dose: Dose, name: str, in_units: str | None) -> list[Fault]:
    """The faults between the pieces of a whole dose."""
    faults: list[Fault] = []
    least, most = dose.minimum, dose.maximum
    if least is not None and most is not None and least.like(most) and least > most:
        rule, came = "the minimum is more than the maximum", f"{show(least)}, {show(most)}"
        faults.append(Fault(field="dose", rule=rule, came=came, accepted="minimum 2.5 mg, maximum 5 mg"))
    if dose.amount is None:
        return faults
    if dose.divided_by is not None and not per_day(dose.amount):
        rule = "only a dose per day is divided"
        faults.append(Fault(field="dose", rule=rule, came=show(dose.amount), accepted="10 mg/day divided in 4 doses"))
    counted = any(one in ARBITRARY for one, _ in dose.amount.dimension)
    if in_units is not None and (in_units, 1) in dose.amount.of and not counted:
        rule = f"{name} is counted in units, and the dose is not"
        faults.append(Fault(field="dose", rule=rule, came=show(dose.amount), accepted="1 million units"))
    if in_units is None and counted:
        rule = f"{name} is not counted in units"
        faults.append(Fault(field="dose", rule=rule, came=show(dose.amount), accepted="mg, mcg or mL"))
    if dose.strength is not None and dose.strength.per.dimension != VOLUME and ("volume", 1) in dose.amount.dimension:
        rule = "a volume needs a strength per mL"
        faults.append(Fault(field="strength", rule=rule, came=show(dose.amount), accepted="5 mg/mL, 0.5 %"))
    return faults


def dose_questions(dose: Dose, name: str, texts: tuple[str, ...]) -> list[Question]:
    """What the dose of one drug leaves open."""
    if dose.amount is None:
        return []
    questions: list[Question] = []
    if dose.also is not None and dose.strength is None:
        volume = show(dose.also)
        asks = f"{show(dose.amount)} of {name} and {volume}: {volume} of which strength, or is it the fill?"
        options = (f"made up to {volume}", f"add {volume}", f"{volume} of 0.5 %")
        questions.append(Question(field="strength", asks=asks, options=options))
    if dose.upper is not None:
        asks = f"Which dose of {name}? A range must be chosen, never guessed."
        ends: tuple[str, ...] = (show(dose.amount), show(dose.upper))
        if dose.amount.dimension == VOLUME and any(" to " in text for text in texts):
            asks = f"Which dose of {name}? A range must be chosen, unless the second volume is the fill."
            ends = (*ends, f"{show(dose.amount)}, made up to {show(dose.upper)}")
        questions.append(Question(field="dose", asks=asks, options=ends))
    return questions
