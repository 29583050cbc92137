"""What stays in the containers and what must happen to it, by the product's own label first, then by the container kind.

Sources: CDC, Injection Safety Checklist (single-dose: one patient, the rest discarded); sodium chloride inhalation label
(unit dose: one treatment); the product's own lives in the catalogue, which win (acetylcysteine keeps 96 h refrigerated).
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from drawndose.bench.draws import ml
from drawndose.bench.fills import FillPlan
from drawndose.bench.takes import Take
from drawndose.quantities import Quantity
from drawndose.reference import Container, How, Life, Origin

CDC = Origin(source="cdc-injection-safety-checklist", at="single-dose containers", how=How.SECONDARY)


@dataclass(frozen=True, slots=True, kw_only=True)
class Leftover:
    """What is left of one kind of container: how much by its label contents, and what must happen to it."""

    what: str
    volume: Quantity
    fate: str
    origin: Origin


def leftovers(takes: tuple[Take, ...], fill: FillPlan) -> tuple[Leftover, ...]:
    """Everything that is left when the cup is filled."""
    found = [_of(take) for take in takes]
    found += [_of_dilution(take) for take in takes if take.first_dilution is not None]
    if fill.in_hand is not None and fill.drawn is not None:
        left = max(fill.in_hand.contents() - fill.drawn.volume, Fraction(0))
        fate = "Throw the rest away: a fresh single-dose container each time."
        origin = Origin(source="saline-label-3-ml", at="Directions", how=How.READ)
        found.append(Leftover(what=fill.in_hand.name, volume=Quantity.of_text(left, "mL"), fate=fate, origin=origin))
    return tuple(found)


def _of(take: Take) -> Leftover:
    presentation = take.in_hand.presentation
    life = next((one for one in presentation.lives if one.after in {"opened", "reconstituted"}), None)
    fate, origin = _fate(take, life)
    return Leftover(what=take.in_hand.name, volume=Quantity.of_text(take.left, "mL"), fate=fate, origin=origin)


def _fate(take: Take, life: Life | None) -> tuple[str, Origin]:
    presentation = take.in_hand.presentation
    if presentation.container is Container.GLASS_AMPOULE:
        return "Nothing is kept from an opened ampoule: drug waste, glass to sharps.", CDC
    if not presentation.multi_dose:
        if not take.left:
            return "Nothing is left by the label's contents; throw the container away.", CDC
        return f"Throw away what is left, {ml(take.left)} by the label's contents.", CDC
    if life is None or not _is_time(life.lasts):
        origin = life.origin if life is not None else CDC
        return (
            "No in-use life was found on its label: your facility's written limit decides; without one it is not kept.",
            origin,
        )
    when = f", {life.when}" if life.when else ""
    return f"Keep up to {life.lasts} after opening{when}, dated, for this person.", life.origin


def _is_time(lasts: str) -> bool:
    return lasts[:1].isdigit()


def _of_dilution(take: Take) -> Leftover:
    assert take.first_dilution is not None
    left = take.first_dilution.total.volume - take.first_dilution.part.volume
    fate = "Throw the rest of the first dilution away, and what is left of its diluent."
    return Leftover(what="first dilution", volume=Quantity.of_text(left, "mL"), fate=fate, origin=CDC)
