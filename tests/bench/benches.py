"""A bench for a test: containers by their ids, instruments, one cup; and the plan for an order's text."""

from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction
from importlib.resources import files

from drawndose import InHand, Order, Plan, Policy, Status, every_pack, load, plan, read_order
from drawndose.bench.findings import Finding
from drawndose.quantities import Quantity, read_quantity
from drawndose.reference import Catalogue, Cup, Instrument, Presentation

BOOK = load()
BOTTLE = "albuterol-0.5pct-bottle-20ml"
SALINE = "sodium-chloride-0.9pct-unit-dose"
WATER = "sterile-water-unit-dose"


class Unpublished(Catalogue):
    """The packaged catalogue without published doses: for the mechanics of doses that nobody publishes."""

    def presentations_of(self, drug: str) -> tuple[Presentation, ...]:
        """Every presentation that holds this drug, without its doses."""
        return tuple(replace(made, doses=()) for made in super().presentations_of(drug))


UNPUBLISHED = Unpublished(files("drawndose.reference").joinpath("data"))


def bench(*idents: str, diluents: bool = True) -> tuple[InHand, ...]:
    """Every fill size of these presentations, and every diluent; the whole catalogue when none is named."""
    if not idents:
        return every_pack(BOOK.presentations)
    named = [BOOK.presentation(ident) for ident in idents]
    more = [one for one in BOOK.diluents if diluents and one.id not in idents]
    return every_pack([*named, *more])


def one(ident: str, volume: str = "", *, count: int | None = None, left: str = "") -> InHand:
    """One fill size of one presentation, perhaps counted or opened."""
    presentation = BOOK.presentation(ident)
    packs = [pack for pack in presentation.packs if not volume or pack.volume == read_quantity(volume)]
    return InHand(presentation=presentation, pack=packs[0], count=count, left=read_quantity(left) if left else None)


def tools(*idents: str, cup: str = "cup-6") -> tuple[Instrument | Cup, ...]:
    """These instruments (all when none is named) and one cup."""
    measures = [BOOK.instrument(ident) for ident in idents] if idents else list(BOOK.instruments)
    return (*measures, *(made for made in BOOK.cups if made.id == cup))


def order(text: str) -> Order:
    return read_order(text, catalogue=BOOK)


def made(
    text: str,
    *idents: str,
    cup: str = "cup-6",
    have: Iterable[InHand] | None = None,
    using: Iterable[str] = (),
    book: Catalogue = BOOK,
    **settings: object,
) -> Plan:
    """The plan for an order on this bench, a place that is set up for hazardous drugs unless a setting says otherwise.

    book: UNPUBLISHED where the dose is of no matter.
    """
    settings.setdefault("hazardous_here", True)
    containers = bench(*idents) if have is None else tuple(have)
    return plan(
        order(text),
        containers=containers,
        instruments=tools(*using, cup=cup),
        policy=Policy(**settings),  # type: ignore[arg-type]
        catalogue=book,
    )


def ready(text: str, *idents: str, **more: object) -> Plan:
    """A plan that must be ready."""
    found = made(text, *idents, **more)  # type: ignore[arg-type]
    assert found.status is Status.READY, (found.status, [one.says for one in found.findings], found.questions)
    return found


def found(plan: Plan, rule: str) -> Finding:
    """The one finding of this rule."""
    hits = [finding for finding in plan.findings if finding.rule == rule]
    assert len(hits) == 1, (rule, [finding.rule for finding in plan.findings])
    return hits[0]


def rules(plan: Plan) -> set[str]:
    """The ids of what was found."""
    return {finding.rule for finding in plan.findings}


def says(plan: Plan) -> str:
    """Every step's text, one to a line."""
    return "\n".join(step.says for step in plan.steps)


def volumes(plan: Plan) -> list[str]:
    """The volume of each take as text, mL."""
    return [str(take.volume) for take in plan.takes]


def amount(value: str | int, unit: str, of: str) -> Quantity:
    return Quantity.of_text(Fraction(value), unit, of)


EXAMPLES = [
    ("albuterol 2.5 mg by nebulizer, made up to 3 mL, every 4 hours", (BOTTLE,), "cup-6"),
    ("albuterol 2.5 mg by nebulizer, add 2.5 mL saline", (BOTTLE,), "cup-6"),
    ("albuterol 0.15 mg/kg max 5 mg by nebulizer to 3 mL, weight 20 kg", (BOTTLE,), "cup-6"),
    ("albuterol 7.5 mg by nebulizer", (), "cup-6"),
    ("levalbuterol 1.05 mg by nebulizer", ("levalbuterol-0.63mg-3ml",), "cup-6"),
    ("epinephrine 5 mg by nebulizer once", (), "cup-6"),
    ("acetylcysteine 600 mg by nebulizer", ("acetylcysteine-20pct",), "cup-6"),
    ("racepinephrine 2.25 % 0.05 mL/kg max 0.5 mL by nebulizer, to 3 mL, weight 8 kg", (), "cup-6"),
    ("pentamidine 300 mg by nebulizer once", (), "cup-6"),
    ("colistimethate base activity 30 mg by nebulizer to 3 mL with normal saline", (), "cup-6"),
    ("10 mg/h albuterol by nebulizer for 4 h, output 25 mL/h", (BOTTLE,), "reservoir-240"),
    ("albuterol 0.5 mg/kg/h by nebulizer for 4 h, output 25 mL/h, weight 20 kg", (BOTTLE,), "reservoir-240"),
    ("albuterol 0.15 mg by nebulizer to 3 mL", (BOTTLE,), "cup-6"),
    ("3 mg albuterol sulfate by nebulizer to 3 mL", (BOTTLE,), "cup-6"),
    ("albuterol 2.5 mg and ipratropium 0.25 mg by nebulizer every 6 hours", (), "cup-6"),
    ("albuterol 0.083 % 3 mL by nebulizer", (), "cup-6"),
]
"""Orders that are ready, with the containers and the cup they are tried with."""
