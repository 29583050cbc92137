"""What stays in the containers and what must happen to it, by the product's own label first, then by the container kind.

Sources: CDC, Injection Safety Checklist (single-dose: one patient, the rest discarded); sodium chloride inhalation label
(unit dose: one treatment); the product's own lives in the catalogue, which win (acetylcysteine keeps 96 h refrigerated).
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from drawndose.bench.container_life import in_use_life
from drawndose.bench.draws import ml
from drawndose.bench.fills import FillPlan
from drawndose.bench.policy import Policy
from drawndose.bench.takes import Take
from drawndose.quantities import Quantity
from drawndose.reference import Container, How, Origin

CDC = Origin(source="cdc-injection-safety-checklist", at="single-dose containers", how=How.SECONDARY)


@dataclass(frozen=True, slots=True, kw_only=True)
class Leftover:
    """What is left of one kind of container: how much by its label contents, what must happen to it, and where waste goes."""

    what: str
    volume: Quantity
    fate: str
    stream: str
    origin: Origin


DRUG_WASTE = "drug waste container, never the drain"
DRAIN = "may go to the drain"
HARMLESS = frozenset({"sodium-chloride", "sterile-water"})
"""Saline and sterile water are what the agency excepts (EPA, answers on drug waste; secondary)."""


def stream(drug: str, policy: Policy) -> str:
    """Where waste of a drug goes: by the facility's setting, else drug waste; saline and water may go to the drain."""
    return dict(policy.waste_streams).get(drug) or (DRAIN if drug in HARMLESS else DRUG_WASTE)


def leftovers(takes: tuple[Take, ...], fill: FillPlan, policy: Policy) -> tuple[Leftover, ...]:
    """Everything that is left when the cup is filled."""
    found = [_of(take, policy) for take in takes]
    found += [_of_dilution(take, policy) for take in takes if take.first_dilution is not None]
    if fill.in_hand is not None and fill.drawn is not None:
        left = max(fill.in_hand.contents() - fill.drawn.volume, Fraction(0))
        fate = "Throw the rest away: a fresh single-dose container each time."
        origin = Origin(source="saline-label-3-ml", at="Directions", how=How.READ)
        found.append(
            Leftover(
                what=fill.in_hand.name,
                volume=Quantity.of_text(left, "mL"),
                fate=fate,
                stream=stream(fill.in_hand.presentation.drug, policy),
                origin=origin,
            )
        )
    return tuple(found)


def _of(take: Take, policy: Policy) -> Leftover:
    fate, origin = _fate(take, policy)
    waste = stream(take.in_hand.presentation.drug, policy)
    left = Quantity.of_text(take.left, "mL")
    return Leftover(what=take.in_hand.name, volume=left, fate=fate, stream=waste, origin=origin)


def _fate(take: Take, policy: Policy) -> tuple[str, Origin]:
    presentation = take.in_hand.presentation
    if presentation.container is Container.GLASS_AMPOULE:
        return "Nothing is kept from an opened ampoule: drug waste, glass to sharps.", CDC
    if not presentation.multi_dose:
        if not take.left:
            return "Nothing is left by the label's contents; throw the container away.", CDC
        return f"Throw away what is left, {ml(take.left)} by the label's contents.", CDC
    life = in_use_life(presentation, policy)
    printed = next((one for one in presentation.lives if one.after == "opened"), None)
    if life is None:
        fate = (
            "No in-use life was found on its label: your facility's written limit decides; without one it is not kept."
        )
        return fate, printed.origin if printed is not None else CDC
    when = f", {printed.when}" if printed is not None and printed.origin == life.origin and printed.when else ""
    return f"Keep up to {life.span.says} after opening by {life.by}{when}, dated, for this person.", life.origin


def _of_dilution(take: Take, policy: Policy) -> Leftover:
    assert take.first_dilution is not None
    left = take.first_dilution.total.volume - take.first_dilution.part.volume
    fate = "Throw the rest of the first dilution away, and what is left of its diluent."
    waste = stream(take.in_hand.presentation.drug, policy)
    return Leftover(what="first dilution", volume=Quantity.of_text(left, "mL"), fate=fate, stream=waste, origin=CDC)
