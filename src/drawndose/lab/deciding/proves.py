"""What a pass proves: the chance of a rule to pass a novice and to fail an expert, said while the rule is being edited.

The sums are `science.statistics.pass_rule`. What goes in are chances, and they are settings: no study was read that gives a
learner's chance to do one step right. The error of a volume is read from studies of staff, who stand in for learners.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import erf, sqrt

from drawndose.lab.deciding.rule import Rule, VolumeBy
from drawndose.lab.forms.form import Form
from drawndose.lab.reading import refused
from drawndose.science.statistics.pass_rule import SEES_ALL, Eye, Passes, PassRule, Step, operating_characteristic
from drawndose.science.statistics.proportion import exact_lower, successes_needed
from drawndose.science.words import chance_percent

MOST_NOVICE, MOST_EXPERT = 0.2, 0.1
"""Above these a caution is said: a novice who passes, an expert who fails. Settings of the house."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Learner:
    """Somebody imagined: the chance of one critical and of one other step, of the sum and of the label, and the volume's error.

    sd: standard deviation of the drawn volume, as a share of it.
    """

    name: str
    critical: float
    other: float
    sum_right: float
    label_right: float
    sd: float


NOVICE = Learner(name="novice", critical=0.85, other=0.80, sum_right=0.89, label_right=0.80, sd=0.05)
EXPERT = Learner(name="expert", critical=0.99, other=0.97, sum_right=0.99, label_right=0.99, sd=0.021)
"""sd: 2.1 % so that 1.6 % of volumes are off by more than 5 %, as 118 staff were (29 of 1767; CMAJ 178(1):42); a novice twice that, proposed.
sum_right: 89.2 % of basic dose sums by nursing students were right (BMC Nursing, s12912-022-01085-9). The chances of a step are settings."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof:
    """What a rule proves, by what was assumed. novice and expert: their chances, attempt by attempt. cautions: in sentences."""

    novice: Passes
    expert: Passes
    tolerance: Fraction
    cautions: tuple[str, ...]

    @property
    def says(self) -> str:
        """Both chances in a sentence."""
        return (
            f"A novice passes within the attempts allowed in {chance_percent(self.novice.passes)} of cases; an expert fails "
            f"all of them in {chance_percent(self.expert.fails)}."
        )


def proves(
    rule: Rule,
    form: Form,
    tolerance: Fraction,
    *,
    novice: Learner = NOVICE,
    expert: Learner = EXPERT,
    eye: Eye = SEES_ALL,
) -> Proof:
    """The rule's operating characteristic at two learners. tolerance: of the task's volume, as a share; eye: how evaluators see.

    Steps and tries are held to be independent and nothing is learned between tries: real learners who are taught in between pass
    more often. Refused for a tolerance that is no share.
    """
    if not 0 < tolerance < 1:
        raise refused("tolerance", "a share of the volume is wanted", tolerance, "more than 0 and less than 1")
    by_novice, by_expert = (_passes(rule, form, tolerance, one, eye) for one in (novice, expert))
    return Proof(
        novice=by_novice,
        expert=by_expert,
        tolerance=tolerance,
        cautions=tuple(_cautions(rule, by_novice, by_expert)),
    )


def inside(tolerance: Fraction, sd: float) -> float:
    """The chance that a volume with this error lies inside its tolerance, by the normal distribution.

    >>> round(inside(Fraction(1, 20), 0.021), 3)
    0.983
    """
    return erf(float(tolerance) / (sd * sqrt(2.0))) if sd else 1.0


def _passes(rule: Rule, form: Form, tolerance: Fraction, learner: Learner, eye: Eye) -> Passes:
    steps = [
        Step(chance=learner.critical if one.critical else learner.other, critical=one.critical, weight=one.weight)
        for one in form.shown
    ]
    measured = 1.0  # the sum, the label and the volume are judged against the key, and not by the evaluator's eye
    if rule.sum_right:
        measured *= learner.sum_right
    if rule.label_right:
        measured *= learner.label_right
    if rule.volume is not VolumeBy.NOT_ASKED:
        measured *= inside(tolerance, learner.sd)
    return operating_characteristic(
        [steps],
        PassRule(
            attempts=rule.attempts,
            percent_floor=rule.percent_floor,
            all_critical=rule.all_critical,
            second_on_last=rule.second_on_last,
        ),
        [measured],
        eye,
    )


def _cautions(rule: Rule, novice: Passes, expert: Passes) -> list[str]:
    found = []
    if novice.passes > MOST_NOVICE:
        found.append(
            f"This rule passes a novice in {chance_percent(novice.passes)} of cases ({chance_percent(novice.by_attempt[0])} at the "
            "first attempt). More critical steps, a narrower tolerance or fewer attempts lower it."
        )
    if expert.fails > MOST_EXPERT:
        found.append(
            f"This rule fails an expert in {chance_percent(expert.fails)} of cases. One more attempt, or fewer critical steps, lowers it."
        )
    if rule.volume is VolumeBy.NOT_ASKED:
        found.append("No volume is measured: the dose itself is not shown by a pass.")
    found.append(_little(rule))
    return found


def _little(rule: Rule) -> str:
    """Why few attempts prove little, in numbers."""
    once = chance_percent(exact_lower(1, 1))
    every = chance_percent(exact_lower(rule.attempts, rule.attempts))
    many = f", {rule.attempts} in a row only {every}" if rule.attempts > 1 else ""
    return (
        f"Few attempts prove little: one pass by itself shows a true chance of at least {once}{many} (95 % sure). To show 90 % it "
        f"takes {successes_needed(0.9, 95.0)} good ones in a row: let practice draws count beside the decision."
    )
