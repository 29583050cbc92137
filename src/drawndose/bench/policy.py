"""The settings of a department that change which plan is chosen. Every default says where it comes from.

Settings may choose between good ways; none of them rounds a dose, and none lets a stop pass.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum
from fractions import Fraction

from drawndose.bench.moments import Span
from drawndose.quantities import Quantity, show
from drawndose.quantities.numbers import exact

RANKING = ("stop", "labelled", "exact", "whole", "supplied measure", "risk", "handlings", "waste")
"""What counts first when ways are compared. Shown with every plan; the page docs/decisions/004-ranking.md says why."""


class SecondReading(Enum):
    """What a policy may select for a second reader."""

    BY_WEIGHT = "a child's dose by weight"
    CONTINUOUS = "continuous"
    FIRST_DILUTION = "first dilution"
    EPINEPHRINE = "epinephrine for injection"
    PROSTACYCLIN = "prostacyclin"
    CONCENTRATE = "concentrate"


class FilterNeedle(Enum):
    """What an ampoule means without a filter at hand. Procedure texts ask for one; trials, all of injection, disagree."""

    CAUTION = "caution without a filter"
    STOP = "stop without a filter"


class RestKept(Enum):
    """What becomes of an opened vial without preservative whose label lets it be kept. A facility may be stricter."""

    AS_LABEL = "as the label says"
    THROWN = "thrown away"


class OralTip(Enum):
    """What an oral tip means for a dose to be breathed in: it joins no line into a vein, and may be taken for a dose by mouth."""

    ROUTE = "with the route printed"
    CAUTION = "caution for an oral tip"


class SoyaHeld(Enum):
    """How an allergy to soya or peanut is held against a product."""

    EXCIPIENT = "by excipient and product"
    NAME = "by the drug's name too"


CHOSEN = (
    SecondReading.BY_WEIGHT,
    SecondReading.CONTINUOUS,
    SecondReading.FIRST_DILUTION,
    SecondReading.EPINEPHRINE,
    SecondReading.PROSTACYCLIN,
)
"""What a second person reads until a facility chooses (from memory): a check of everything is a check of nothing."""
HAZARDOUS = ("pentamidine", "ribavirin")
"""Hazardous drugs until a facility enters its own list (NIOSH list, from memory)."""
HALF_HOUR, ONE_HOUR, TWO_HOURS = (Quantity.of_text(count, "min") for count in (30, 60, 120))
LONGEST_START = Quantity.of_text(4, "h")
VIAL_LIFE = Span(28, "day")
"""How long an opened injectable multi-dose vial is used where its label is silent (CDC, Injection Safety Checklist)."""
BOTTLE_REST = Quantity.of_text(1, "mL")
HOURLY = 24
"""Single doses in a day: no text goes on more often than every hour (the 2007 panel's later emergency doses, hospital page)."""
TIGHTER = {
    "caution_containers": (1, 3),
    "far_beyond": (2, 10),
    "far_more_often": (1, 2),
    "most_in_a_day": (1, HOURLY),
    "most_products": (1, 3),
    "most_entries": (1, 2),
}
"""Counts that may only be tightened, from the least to the most, which is the default."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Policy:
    """Settings, each with its default.

    ranking: what counts first (see RANKING). caution_above and refuse_above: permissible error as a share of the dose;
    a way above the second is not offered (house settings: a calibrated dropper may be off by 15 % and is not cautioned
    for that). most_fills: how often one instrument may be filled for one draw. most_containers: containers for one dose.
    start_within: from the start of preparing to the start of giving (USP <797>: 1 h in 2008, 4 h in 2023; the shorter
    until the facility chooses). far_beyond: so many times beyond everything published a dose is stopped, however few say it (a
    lost or added point, or a confused unit, is a power of ten). far_more_often: more often than so many times what is published
    is stopped where that is sure. most_in_a_day: single doses (see HOURLY). caution_containers: more of them for one dose are asked
    about. bottle_rest: a bottle that keeps less, and less than is drawn, is near its end. Of these five only most_in_a_day has a
    source, the others are of the house; they may only be tightened. vial_life: how long an opened injectable multi-dose vial is used where its label is silent;
    28 days, and never longer (CDC). bottle_life: the same for a dropper bottle; no issuer prints one, so the facility must
    decide, and until then nothing is computed. shared_bottles: the facility has written that an opened bottle may be shared
    (central clean preparation); otherwise it is one person's. second_reading: what a second person reads. hazardous: drugs
    that are not prepared at the bedside; hazardous_here: this is a place that may (precautions, ventilation, training).
    time_critical: drugs of the facility's own list; window_critical, window_often, window_daily: how far from its due time a
    dose may be given (ISMP 2011). controlled: drugs whose waste is witnessed. waste_streams: where what is left of a drug goes, by drug, where it is not the
    drug waste container. filter_needle: whether an ampoule without a filter at hand is a caution or a stop. rest_kept: whether
    an opened vial without preservative is kept where its label allows. oral_tip: whether a syringe with an oral tip is cautioned
    as well. soya_held: whether that allergy is held against a drug by name too. most_products and most_entries: sterile products in one preparation, and entries into one container, outside a hood (USP
    <797>, immediate use: 3, and 2 in the 2008 chapter). equivalences: ids of the equivalences that a facility has chosen where published ones
    disagree. accepted_line: a
    line, mL, that a person has accepted for a volume between lines; accepted_on: the container and instrument it was
    accepted for, as `presentation/instrument`, or empty for any. nearest_line_within:
    accept the nearest line by itself when the dose changes by no more than this share; None asks every time. offer_within: a
    line that changes the volume by more than this share is not even offered.
    """

    ranking: tuple[str, ...] = RANKING
    caution_above: Fraction = Fraction(15, 100)
    refuse_above: Fraction = Fraction(20, 100)
    most_fills: int = 3
    most_containers: int = 10
    caution_containers: int = 3
    bottle_rest: Quantity = BOTTLE_REST
    far_beyond: int = 10
    far_more_often: int = 2
    most_in_a_day: int = HOURLY
    vial_life: Span = VIAL_LIFE
    bottle_life: Span | None = None
    shared_bottles: bool = False
    second_reading: tuple[SecondReading, ...] = CHOSEN
    hazardous: tuple[str, ...] = HAZARDOUS
    hazardous_here: bool = False
    time_critical: tuple[str, ...] = ()
    window_critical: Quantity = HALF_HOUR
    window_often: Quantity = ONE_HOUR
    window_daily: Quantity = TWO_HOURS
    controlled: tuple[str, ...] = ()
    waste_streams: tuple[tuple[str, str], ...] = ()
    filter_needle: FilterNeedle = FilterNeedle.CAUTION
    rest_kept: RestKept = RestKept.AS_LABEL
    oral_tip: OralTip = OralTip.ROUTE
    soya_held: SoyaHeld = SoyaHeld.EXCIPIENT
    most_products: int = 3
    most_entries: int = 2
    start_within: Quantity = field(default_factory=lambda: Quantity.of_text(1, "h"))
    equivalences: tuple[str, ...] = ()
    accepted_line: Fraction | None = None
    accepted_on: str = ""
    nearest_line_within: Fraction | None = None
    offer_within: Fraction = Fraction(10, 100)

    def __post_init__(self) -> None:
        unknown = sorted(set(self.ranking) - set(RANKING))
        if unknown or self.ranking[:1] != ("stop",):
            raise ValueError(f"the ranking starts with stop and uses {', '.join(RANKING)} (got {self.ranking})")
        for name in ("caution_above", "refuse_above", "offer_within", "nearest_line_within", "accepted_line"):
            if getattr(self, name) is not None:
                exact(getattr(self, name), name)
        if not self.caution_above <= self.refuse_above:
            raise ValueError("caution_above must not be above refuse_above")
        if self.start_within.dimension != (("time", 1),) or not self.start_within.value:
            raise ValueError(f"start_within is a time, more than nothing (got {self.start_within!r})")
        if self.start_within > LONGEST_START:
            raise ValueError("start_within is at most 4 h (USP <797>, 2023); a facility may only tighten it")
        if self.vial_life.unit != "day" or self.vial_life.count > VIAL_LIFE.count:
            raise ValueError(f"vial_life is in days and may only be shorter than 28 days (got {self.vial_life.says})")
        if self.most_fills < 1 or self.most_containers < 1:
            raise ValueError("most_fills and most_containers are at least 1")
        for name, (least, most) in TIGHTER.items():
            if not least <= getattr(self, name) <= most:
                raise ValueError(f"{name} is {least} to {most}: a facility may only tighten it")
        if self.bottle_rest.dimension != BOTTLE_REST.dimension or self.bottle_rest < BOTTLE_REST:
            raise ValueError(f"bottle_rest is at least {show(BOTTLE_REST)}: a facility may only tighten it")
