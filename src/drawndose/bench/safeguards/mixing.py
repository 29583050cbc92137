"""More than one product in a cup: what is known of each pair, and of three together, with the five verdicts."""

from collections.abc import Iterator
from dataclasses import dataclass

from drawndose.bench.compatibility import Judged, mixed
from drawndose.bench.draws import ml
from drawndose.bench.findings import Level, Waiver
from drawndose.bench.safeguards.diluent import liquid_never
from drawndose.bench.safeguards.rule import Said, rule
from drawndose.bench.safeguards.seen import OneTake, Seen
from drawndose.bench.takes import Take
from drawndose.quantities import show
from drawndose.reference import Mixture, Verdict

NEEDS = ("what is taken", "the statements on its mixtures")
APART = "Give them apart, in two cups"
MIX = "Mix just before giving; discard it where it clouds or changes colour."


@dataclass(frozen=True, slots=True)
class Mixed:
    """Two or three products that share the cup, and the verdict on them."""

    takes: tuple[Take, ...]
    judged: Judged

    @property
    def names(self) -> str:
        """The products with their volumes."""
        each = [f"{ml(take.volume)} of {short_name(take)}" for take in self.takes]
        return f"{', '.join(each[:-1])} with {each[-1]}"

    def says(self, told: str) -> str:
        """The sentence of a finding."""
        return f"{self.names}: {told}."


def short_name(take: Take) -> str:
    """The drugs of a take; of sodium chloride its strength too."""
    presentation = take.in_hand.presentation
    if presentation.drug == "sodium-chloride":
        return presentation.name.partition(" for ")[0]
    return " and ".join(drug.replace("-", " ") for drug in presentation.drugs)


def each_mixture(seen: Seen) -> Iterator[Mixed]:
    """Every pair and every three, but for the pair of which the rule of the diluent speaks."""
    return (Mixed(takes, judged) for takes, judged in mixed(seen.takes) if not _told_as_diluent(takes, seen))


def _told_as_diluent(takes: tuple[Take, ...], seen: Seen) -> bool:
    """A sodium chloride solution with what it precipitates is stopped already."""
    salt = any(take.in_hand.presentation.drug == "sodium-chloride" for take in takes)
    return salt and len(takes) == 2 and any(liquid_never.look(OneTake(take, seen)) for take in takes)


def _told(statements: tuple[Mixture, ...]) -> str:
    return "; ".join(one.told for one in statements)


@rule(
    "mixture-incompatible",
    Level.STOP,
    "Are two of the things in the cup incompatible?",
    needs=NEEDS,
    waiver=Waiver.NOBODY,
    over=each_mixture,
)
def mixture_incompatible(mixture: Mixed) -> Said | None:
    """Also by what a presentation carries: the same drug without it is not barred."""
    judged = mixture.judged
    if judged.verdict is not Verdict.INCOMPATIBLE:
        return None
    told, do = _told(judged.because), APART
    carries = [take for take in mixture.takes if _carries(take, judged.because[0])]
    if carries:
        told, do = f"{told}; the {short_name(carries[0])} carries it", f"{APART}, or take a presentation without it"
    return Said(mixture.says(told), f"{do}.", judged.origin)


def _carries(take: Take, statement: Mixture) -> bool:
    return any(one.substance in statement.of for one in take.in_hand.presentation.carries)


@rule(
    "mixture-forbidden",
    Level.STOP,
    "Does a label forbid the mixture?",
    needs=NEEDS,
    waiver=Waiver.PRESCRIBER,
    over=each_mixture,
)
def mixture_forbidden(mixture: Mixed) -> Said | None:
    """A label goes before a study that found the two compatible; the study is named, for whoever decides."""
    judged = mixture.judged
    if judged.verdict is not Verdict.FORBIDDEN:
        return None
    return Said(mixture.says(_told(judged.because)), f"{APART}, or ask the prescriber and the pharmacy.", judged.origin)


@rule(
    "mixture-conflicting",
    Level.CAUTION,
    "Do the sources on the mixture disagree?",
    needs=NEEDS,
    waiver=Waiver.PREPARER,
    over=each_mixture,
)
def mixture_conflicting(mixture: Mixed) -> Said | None:
    """Both sides are named, the graver first."""
    judged = mixture.judged
    if judged.verdict is not Verdict.CONFLICTING:
        return None
    return Said(
        mixture.says(_told(judged.because)), f"Ask the pharmacy, or give them apart. {_use(judged)}", judged.origin
    )


@rule(
    "mixture-unknown",
    Level.CAUTION,
    "Is the mixture shown to be compatible?",
    needs=NEEDS,
    waiver=Waiver.PREPARER,
    over=each_mixture,
)
def mixture_unknown(mixture: Mixed) -> Said | None:
    """No data; or data that do not count here, since something preserved goes in."""
    judged = mixture.judged
    if judged.verdict is not Verdict.NO_DATA:
        return None
    told = _told(judged.because)
    if judged.unmet:
        told = f"{judged.unmet[0].told} without preservative only, and one goes in; {told}"
    elif judged.because[0].verdict is Verdict.NO_DATA:
        told = f"no data; {told}"
    return Said(mixture.says(told), f"{APART}, or ask the pharmacy. {_use(judged)}", judged.origin)


@rule(
    "mixture-compatible",
    Level.NOTE,
    "How long does the mixture hold?",
    needs=NEEDS,
    waiver=Waiver.UNASKED,
    over=each_mixture,
)
def mixture_compatible(mixture: Mixed) -> Said | None:
    """With the time for which it was found to hold, where one is printed."""
    judged = mixture.judged
    if judged.verdict is not Verdict.COMPATIBLE:
        return None
    return Said(mixture.says(_told(judged.because)), _use(judged), judged.origin)


def _use(judged: Judged) -> str:
    return f"Start within {show(judged.within)}. {MIX}" if judged.within is not None else MIX


RULES = (mixture_incompatible, mixture_forbidden, mixture_conflicting, mixture_unknown, mixture_compatible)
