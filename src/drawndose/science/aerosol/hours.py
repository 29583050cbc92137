"""Continuous nebulizing as it is asked for: recipe, true dose, hours left, times to fill anew, preservative; and a pump-fed cup.

For both doors. The recipe is exact; what the nebulizer then really does is a range.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from fractions import Fraction
from typing import Final

from drawndose.bench.findings import Finding, Level, Waiver
from drawndose.quantities import Quantity, show_about
from drawndose.reference import load
from drawndose.science.aerosol import continuous, pump_fed
from drawndose.science.aerosol.bands import range_words
from drawndose.science.aerosol.continuous import Recipe
from drawndose.science.aerosol.exact_boxes import ExactBoxes

BOXES: Final = {
    "rate": "dose an hour: 10 mg/h, or by weight: 0.3 mg/kg/h",
    "weight": "of the patient: 20 kg",
    "least": "least dose an hour that the order states: 5 mg/h",
    "most": "most that it states: 10 mg/h",
    "output": "of the nebulizer at its flow, measured: 45 mL/h",
    "hours": "for how long: 4 h",
    "stock": "strength of the stock: 5 mg/mL",
    "dead": "what does not nebulize: 10 mL",
    "true_output": "output as it may really be: 38 to 55 mL/h",
    "left": "what is in the reservoir now: 120 mL",
    "preservative": "in the stock: 100 mcg/mL",
    "early": "how long before it is empty it is filled anew: 15 min",
}
PUMP_BOXES: Final = {
    "fed": "strength of what is fed: 1 mg/mL",
    "feed": "of the pump: 10 mL/h",
    "most": "most that the nebulizer can put out: 20 mL/h",
    "cup": "volume in the cup: 2 mL",
    "water": "share of what leaves that is only water: 30 %",
}
_EPOCH: Final = datetime(2000, 1, 1, tzinfo=UTC)
LUNG_PERCENT: Final = (4, 6)
"""Of the dose an hour, what reached the lung in a model of a ventilated infant: Ann Pharmacother 37:23-26, 2003 (abstract)."""


@dataclass(frozen=True, kw_only=True)
class Hours:
    """What to mix, and what comes of it. limit: which limit of the order acted. true_mg_h: at the least and the most output.
    lasts_h: one filling as mixed; left_h: what is in the reservoir now. after: how long after it begins it is filled anew; refills: the
    same as moments, where it is said when that is."""

    rate_mg_h: Fraction
    limit: str
    recipe: Recipe
    lasts_h: Fraction
    true_mg_h: tuple[Fraction, Fraction] | None
    left_h: Fraction | None
    after: tuple[timedelta, ...]
    refills: tuple[datetime, ...]
    preservative_mcg_h: Fraction | None
    findings: tuple[Finding, ...]

    @property
    def rows(self) -> tuple[tuple[str, str], ...]:
        """As a table."""
        made = self.recipe
        rows = [
            ("dose an hour", f"{_told(self.rate_mg_h, 'mg/h')}{f', {self.limit}' if self.limit else ''}"),
            ("strength", _told(made.strength_mg_mL, "mg/mL")),
            ("in all", _told(made.total_mL, "mL")),
            ("drug in it", _told(made.drug_mg, "mg")),
            ("of it stock", _told(made.stock_mL, "mL")),
            ("diluent", _told(made.diluent_mL, "mL")),
            ("one filling lasts", _told(self.lasts_h, "h")),
        ]
        if self.true_mg_h is not None:
            low, high = (float(one) for one in self.true_mg_h)
            rows.append(("true dose an hour", range_words(low, high, 0.1, "mg/h")))
        if self.left_h is not None:
            rows.append(("what is left lasts", _told(self.left_h, "h")))
        if self.refills:
            rows.append(("fill anew at", ", ".join(f"{one.day} {one:%b %Y %H:%M}" for one in self.refills)))
        elif self.after:
            rows.append(("fill anew after", ", ".join(_span(one) for one in self.after)))
        if self.preservative_mcg_h is not None:
            rows.append(("preservative an hour", _told(self.preservative_mcg_h, "mcg/h")))
        return tuple(rows)

    @property
    def says(self) -> tuple[str, ...]:
        """What the figures are not."""
        low, high = LUNG_PERCENT
        return (
            "The dose an hour is what leaves the nebulizer by volume: what evaporates, stays in tubing or is not breathed in is not taken off.",
            f"In a model of a ventilated infant {low} to {high} % of it reached the lung.",
        )


def read_hours(boxes: Mapping[str, str], begins: datetime | None = None) -> Hours:
    """The answer out of boxes. Refused with every fault. begins: for the times at which to fill anew.

    >>> asked = {"rate": "10 mg/h", "output": "30 mL/h", "hours": "8 h", "stock": "5 mg/mL", "dead": "10 mL"}
    >>> dict(read_hours(asked | {"true_output": "24 to 36 mL/h"}).rows)["true dose an hour"]
    '8 to 12 mg/h'
    """
    box = ExactBoxes(boxes, BOXES)
    rate, limit = _rate(box)
    output, hours = box.value("output", "mL/h", "45 mL/h"), box.value("hours", "h", "4 h")
    stock, dead = box.value("stock", "mg/mL", "5 mg/mL"), box.value("dead", "mL") or Fraction(0)
    true, left = box.ends("true_output", "mL/h"), box.value("left", "mL")
    preservative, early = box.value("preservative", "mcg/mL"), box.value("early", "min")
    box.done()
    assert rate is not None  # or its fault would have been raised
    assert output is not None
    assert hours is not None
    assert stock is not None
    made = continuous.recipe(rate, output, hours, stock, dead)
    lasts = continuous.hours_left(made.total_mL, dead, output)
    left_h = continuous.hours_left(left, dead, output) if left is not None else None
    start = begins or _EPOCH
    ends = start + timedelta(seconds=int(hours * 3600))
    again = tuple(continuous.refills(start, lasts, ends, int(early or 0), left_h))
    return Hours(
        rate_mg_h=rate,
        limit=limit,
        recipe=made,
        lasts_h=lasts,
        true_mg_h=None if true is None else _both(made.strength_mg_mL, true),
        left_h=left_h,
        after=tuple(one - start for one in again),
        refills=again if begins is not None else (),
        preservative_mcg_h=None
        if preservative is None
        else continuous.preservative_per_hour(rate, stock, preservative),
        findings=_findings(output, true),
    )


def _span(span: timedelta) -> str:
    """3 h 45 min."""
    hours, minutes = divmod(int(span.total_seconds()) // 60, 60)
    return " ".join(f"{count} {of}" for count, of in ((hours, "h"), (minutes, "min")) if count) or "0 min"


def _both(strength: Fraction, outputs: tuple[Fraction, Fraction]) -> tuple[Fraction, Fraction]:
    low, high = (continuous.true_rate(strength, one) for one in outputs)
    return low, high


def _rate(box: ExactBoxes) -> tuple[Fraction | None, str]:
    """The dose an hour as ordered, by weight within its limits where it is told so."""
    if "kg" not in box.text("rate"):
        for name in ("weight", "least", "most"):
            if box.has(name):
                box.fault(name, "it goes with a dose for each kg", box.text(name), "0.3 mg/kg/h")
        return box.value("rate", "mg/h", "10 mg/h"), ""
    each, weight = box.value("rate", "mg/kg/h", "0.3 mg/kg/h"), box.value("weight", "kg", "20 kg")
    least, most = box.value("least", "mg/h"), box.value("most", "mg/h")
    if each is None or weight is None:
        return None, ""
    found = box.take(lambda: continuous.rate_by_weight(each, weight, least, most))
    return found if found is not None else (None, "")


def _findings(output: Fraction, true: tuple[Fraction, Fraction] | None) -> tuple[Finding, ...]:
    advice = load().aerosol.advice["first-hour"]
    found = [_found("aerosol-first-hour", Level.NOTE, advice.says, advice.do, Waiver.UNASKED)]
    if true is not None and not true[0] <= output <= true[1]:
        says = f"The output is {_told(output, 'mL/h')}; it may really be {_told(true[0], 'mL/h')} to {_told(true[1], 'mL/h')}."
        do = "Measure it at this flow of gas before the mixture is made."
        found.insert(0, _found("aerosol-output-off", Level.CAUTION, says, do, Waiver.PREPARER))
    return tuple(found)


def _found(rule: str, level: Level, says: str, do: str, waiver: Waiver) -> Finding:
    origin = load().aerosol.advice["first-hour"].origin
    return Finding(rule=rule, level=level, says=says, do=do, origin=origin, waiver=waiver)


def _told(value: Fraction, of: str) -> str:
    return show_about(Quantity.of_text(value, of))


@dataclass(frozen=True, kw_only=True)
class PumpFed:
    """A pump-fed cup: what it comes to [mg/mL], the most that leaves [mg/h], what was measured of such a one, hours to 95 %."""

    cup_mg_mL: float
    rate_mg_h: float
    measured_mg_h: tuple[float, float]
    settled_h: float
    findings: tuple[Finding, ...]

    @property
    def rows(self) -> tuple[tuple[str, str], ...]:
        """As a table."""
        return (
            ("cup comes to", f"{self.cup_mg_mL:.2g} mg/mL"),
            ("leaves in an hour, at most", f"{self.rate_mg_h:.3g} mg"),
            ("measured of one such", range_words(*self.measured_mg_h, 0.1, "mg/h")),
            ("settled after", range_words(0.0, self.settled_h, 0.1, "h").rpartition(" to ")[2]),
        )


def read_pump_fed(boxes: Mapping[str, str]) -> PumpFed:
    """A pump-fed cup out of boxes. Refused with every fault.

    >>> asked = {"fed": "1 mg/mL", "feed": "10 mL/h", "cup": "2 mL", "water": "30 %"}
    >>> read_pump_fed(asked).rows[0]
    ('cup comes to', '1.4 mg/mL')
    """
    box = ExactBoxes(boxes, PUMP_BOXES)
    fed, feed = box.value("fed", "mg/mL", "1 mg/mL"), box.value("feed", "mL/h", "10 mL/h")
    cup, water = box.value("cup", "mL", "2 mL"), box.value("water", "%", "30 %")
    most = box.value("most", "mL/h")
    box.done()
    strength, flow, volume, percent = (float(one or 0) for one in (fed, feed, cup, water))
    share = percent / 100.0
    rate = float(pump_fed.steady_rate(strength, flow, None if most is None else float(most)))
    advice, measured = load().aerosol.advice["pump-fed"], load().aerosol.fed_share
    return PumpFed(
        cup_mg_mL=float(pump_fed.steady_cup(strength, share)),
        rate_mg_h=rate,
        measured_mg_h=(rate * float(measured.low), rate * float(measured.high)),
        settled_h=3.0 * float(pump_fed.start_up_hours(volume, flow, share)),
        findings=(
            Finding(
                rule="aerosol-pump-fed",
                level=Level.CAUTION,
                says=advice.says,
                do=advice.do,
                origin=advice.origin,
                waiver=Waiver.PREPARER,
            ),
        ),
    )
