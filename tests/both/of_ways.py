"""Pairs of the safeguards that judge a way: an order with what stands on the bench, and the settings."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from drawndose import InHand, plan
from drawndose.bench.policy import OralTip, SecondReading
from drawndose.reference import UnitDose
from tests.bench.benches import BOOK, BOTTLE, SALINE, UNPUBLISHED, bench, made, one, order, rules, tools
from tests.both.pair import Both

IPRATROPIUM, ALBUTEROL, CONCENTRATE = "ipratropium-500mcg-2.5ml", "albuterol-2.5mg-3ml", "albuterol-2.5mg-0.5ml"
ACETYLCYSTEINE, COLISTIN, PENTAMIDINE = "acetylcysteine-20pct", "colistimethate-150mg-vial", "pentamidine-300mg-vial"
DORNASE, BUDESONIDE, CROMOLYN = (
    "dornase-alfa-2.5mg-unit-dose-2.5ml",
    "budesonide-0.5mg-unit-dose-2ml",
    "cromolyn-20mg-unit-dose-2ml",
)
ARFORMOTEROL, INJECTION = "arformoterol-15mcg-unit-dose-2ml", "glycopyrrolate-0.2mg-per-ml-injection"
AMPOULE, RACEMIC, LEVALBUTEROL = (
    "epinephrine-1mg-1ml-ampoule",
    "racepinephrine-11.25mg-0.5ml",
    "levalbuterol-0.63mg-3ml",
)
TO_3 = "albuterol 2.5 mg by nebulizer, made up to 3 mL"
BASE = "colistimethate base activity"
FIVE = "epinephrine 5 mg by nebulizer once"

Way = tuple[str, tuple[str, ...], dict[str, object]]


def way(text: str, *idents: str, **settings: object) -> Way:
    return text, idents, settings


# The same order, container or bench with one thing changed.
WAYS: list[tuple[str, Way, Way]] = [
    ("fill-cannot-be-made", way("albuterol 20 mg by nebulizer to 3 mL", BOTTLE, book=UNPUBLISHED), way("albuterol 15 mg by nebulizer to 3 mL", BOTTLE, book=UNPUBLISHED)),
    ("fill-over-cup", way("albuterol 2.5 mg by nebulizer to 6.5 mL", BOTTLE), way("albuterol 2.5 mg by nebulizer to 6 mL", BOTTLE)),
    ("fill-under-cup", way("albuterol 2.5 mg by nebulizer to 2.9 mL", BOTTLE), way(TO_3, BOTTLE)),
    ("concentrate-undiluted", way("albuterol 2.5 mg by nebulizer undiluted", BOTTLE), way("albuterol 2.5 mg by nebulizer, add 2.5 mL saline", BOTTLE)),
    ("less-diluted-than-label", way("albuterol 2.5 mg by nebulizer to 2.9 mL", BOTTLE), way(TO_3, BOTTLE)),
    ("diluted-against-label", way("dornase alfa 2.5 mg by nebulizer to 3 mL with normal saline", DORNASE), way("dornase alfa 2.5 mg by nebulizer", DORNASE)),
    ("ready-to-use-diluted", way("albuterol 2.5 mg by nebulizer to 4 mL", ALBUTEROL), way("albuterol 2.5 mg by nebulizer", ALBUTEROL)),
    ("liquid-never", way("pentamidine 300 mg by nebulizer to 8 mL with normal saline", PENTAMIDINE, cup="cup-10"), way("pentamidine 300 mg by nebulizer to 8 mL with sterile water", PENTAMIDINE, cup="cup-10")),
    ("liquid-not-on-label", way("albuterol 2.5 mg by nebulizer to 3 mL with sterile water", BOTTLE), way("albuterol 2.5 mg by nebulizer to 3 mL with normal saline", BOTTLE)),
    ("fill-by-label", way("albuterol 2.5 mg by nebulizer", BOTTLE), way(TO_3, BOTTLE)),
    ("first-dilution", way("albuterol 0.15 mg by nebulizer to 3 mL", BOTTLE), way("albuterol 0.5 mg by nebulizer to 3 mL", BOTTLE)),
    ("measured-too-small", way("albuterol 0.5 mg by nebulizer to 3 mL", BOTTLE), way("albuterol 1 mg by nebulizer to 3 mL", BOTTLE)),
    ("finer-on-the-bench", way(TO_3, BOTTLE, using=("syringe-1", "syringe-5")), way(TO_3, BOTTLE, using=("syringe-10",))),
    ("line-beside-volume", way("levalbuterol 0.5 mg by nebulizer", LEVALBUTEROL, accepted_line=Fraction(24, 10)), way("levalbuterol 0.63 mg by nebulizer", LEVALBUTEROL)),
    ("part-of-powder", way(f"{BASE} 149 mg by nebulizer to 3 mL with normal saline", COLISTIN, nearest_line_within=Fraction(1)), way(f"{BASE} 150 mg by nebulizer to 3 mL with normal saline", COLISTIN)),
    ("many-containers", way("albuterol 10 mg by nebulizer to 4 mL", CONCENTRATE), way("albuterol 7.5 mg by nebulizer to 4 mL", CONCENTRATE)),
    ("diluent-line", way("albuterol 1.25 mg by nebulizer, made up to 3 mL", BOTTLE), way(TO_3, BOTTLE)),
    ("off-label", way("glycopyrrolate 0.1 mg by nebulizer", INJECTION), way("albuterol 2.5 mg by nebulizer", ALBUTEROL)),
    ("own-device", way("iloprost 10 mcg by nebulizer"), way("albuterol 2.5 mg by nebulizer", ALBUTEROL)),
    ("own-device-part", way("iloprost 2.5 mcg by nebulizer"), way("iloprost 10 mcg by nebulizer")),
    ("mixture-incompatible", way("albuterol 2.5 mg and cromolyn 20 mg by nebulizer", BOTTLE, CROMOLYN), way("albuterol 2.5 mg and cromolyn 20 mg by nebulizer", CONCENTRATE, CROMOLYN)),
    ("mixture-forbidden", way("arformoterol 15 mcg and ipratropium 0.5 mg by nebulizer", ARFORMOTEROL, IPRATROPIUM), way("arformoterol 15 mcg by nebulizer", ARFORMOTEROL, IPRATROPIUM)),
    ("mixture-conflicting", way("albuterol 2.5 mg and budesonide 0.5 mg by nebulizer", ALBUTEROL, BUDESONIDE), way("albuterol 2.5 mg and ipratropium 0.5 mg by nebulizer", ALBUTEROL, IPRATROPIUM)),
    ("mixture-unknown", way("racepinephrine 11.25 mg and ipratropium 0.5 mg by nebulizer to 4 mL", RACEMIC, IPRATROPIUM), way("racepinephrine 11.25 mg by nebulizer to 4 mL", RACEMIC, IPRATROPIUM)),
    ("mixture-compatible", way("albuterol 2.5 mg and ipratropium 0.5 mg by nebulizer", BOTTLE, IPRATROPIUM), way("albuterol 2.5 mg by nebulizer", BOTTLE, IPRATROPIUM)),
    ("fill-not-isotonic", way("albuterol 2.5 mg by nebulizer to 3 mL with sterile water", BOTTLE), way("albuterol 2.5 mg by nebulizer to 3 mL with 0.45 % sodium chloride", BOTTLE)),
    ("too-many-products", way("albuterol 2.5 mg and ipratropium 0.5 mg by nebulizer to 6 mL", BOTTLE, IPRATROPIUM, most_products=2), way("albuterol 2.5 mg and ipratropium 0.5 mg by nebulizer to 6 mL", BOTTLE, IPRATROPIUM)),
    ("too-many-entries", way("acetylcysteine 600 mg by nebulizer", ACETYLCYSTEINE, using=("syringe-1",), refuse_above=Fraction(4, 10)), way("acetylcysteine 600 mg by nebulizer", ACETYLCYSTEINE, using=("syringe-2",), refuse_above=Fraction(4, 10))),
    ("tip-fits-a-vein-line", way("budesonide 0.3 mg by nebulizer", BUDESONIDE, using=("syringe-2",)), way("budesonide 0.3 mg by nebulizer", BUDESONIDE)),
    ("tip-for-the-mouth", way("budesonide 0.3 mg by nebulizer", BUDESONIDE, oral_tip=OralTip.CAUTION), way("budesonide 0.3 mg by nebulizer", BUDESONIDE, using=("syringe-2",), oral_tip=OralTip.CAUTION)),
    ("second-check-needed", way(TO_3, BOTTLE, second_reading=(SecondReading.CONCENTRATE,)), way(TO_3, BOTTLE)),
    ("hazardous-at-bedside", way("pentamidine 300 mg by nebulizer once", PENTAMIDINE, hazardous_here=False), way("pentamidine 300 mg by nebulizer once", PENTAMIDINE)),
    ("look-alike-strength", way("budesonide 0.25 mg by nebulizer", "budesonide-0.25mg-unit-dose-2ml"), way("ipratropium 0.5 mg by nebulizer", IPRATROPIUM)),
    ("preservative-carried", way(TO_3, BOTTLE), way("albuterol 2.5 mg by nebulizer", ALBUTEROL)),
    ("order-limit", way("albuterol 0.15 mg/kg max 2.5 mg by nebulizer to 3 mL, weight 20 kg", BOTTLE), way("albuterol 0.15 mg/kg max 3 mg by nebulizer to 3 mL, weight 20 kg", BOTTLE)),
    ("moiety-converted", way("albuterol sulfate 3 mg by nebulizer to 3 mL", BOTTLE), way("albuterol 3 mg by nebulizer to 3 mL", BOTTLE)),
    ("label-disagrees", way("albuterol 2.5 mg by nebulizer", ALBUTEROL), way("albuterol 2.5 mg by nebulizer", CONCENTRATE)),
    ("look-alike", way("albuterol 2.5 mg by nebulizer", ALBUTEROL), way("ipratropium 0.5 mg by nebulizer", IPRATROPIUM)),
    ("very-acid", way("glycopyrrolate 0.2 mg by nebulizer", INJECTION), way("glycopyrrolate 0.2 mg by nebulizer to 3 mL with normal saline", INJECTION)),
    ("another-strength", way("albuterol 5 % 0.5 mL by nebulizer to 3 mL", BOTTLE), way("albuterol 0.5 % 0.5 mL by nebulizer to 3 mL", BOTTLE)),
    ("salt-or-base", way("albuterol sulfate 2.5 mg by nebulizer to 3 mL", BOTTLE), way("albuterol sulfate 3 mg by nebulizer to 3 mL", BOTTLE)),
    ("from-memory", way("levalbuterol 1.25 mg by nebulizer", "levalbuterol-1.25mg-0.5ml"), way("levalbuterol 1.25 mg by nebulizer to 3 mL", "levalbuterol-1.25mg-0.5ml")),
    ("needed-to-the-last-drop", way(FIVE, AMPOULE, using=("syringe-1",), most_fills=5), way("epinephrine 4.5 mg by nebulizer once", AMPOULE, using=("syringe-5",), most_fills=5)),
]  # fmt: skip

UNIT = UnitDose(id="own", name="own", nominal=Fraction(3), excess=Fraction(2, 10), stays=Fraction(8, 100), origin=BOOK.unit_doses[0].origin)  # fmt: skip


def _speaks(rule: str, one_way: Way) -> bool:
    text, idents, settings = one_way
    return rule in rules(made(text, *idents, **settings))  # type: ignore[arg-type]


def _beside(rule: str, text: str, ident: str, *more: object) -> bool:
    """With more things on the bench than instruments: needles, units that were weighed."""
    return rule in rules(plan(order(text), containers=bench(ident), instruments=(*tools(), *more)))  # type: ignore[arg-type]


def _left(volume: str) -> bool:
    return "last-of-the-bottle" in rules(made(TO_3, have=[one(BOTTLE, left=volume), one(SALINE)]))


def _diluent(rule: str, **altered: object) -> bool:
    record = replace(BOOK.presentation(SALINE), **altered)  # type: ignore[arg-type]
    hand = InHand(presentation=record, pack=record.packs[-1])
    return rule in rules(plan(order(TO_3), containers=[one(BOTTLE), hand], instruments=tools()))


def _cylinder(*using: str) -> bool:
    have = [*bench(BOTTLE, diluents=False), one(SALINE, "15 mL")]
    text = "albuterol 10 mg by nebulizer, add 12 mL saline"
    return "cylinder-nearly-empty" in rules(
        made(text, have=have, using=("syringe-2-oral", *using), cup="reservoir-240")
    )


def pairs() -> Iterator[Both]:
    """Every pair of a way."""
    for rule, fires, near in WAYS:
        yield Both(rule, lambda r=rule, w=fires: _speaks(r, w), lambda r=rule, w=near: _speaks(r, w))  # type: ignore[misc]
    add = "albuterol 2.5 mg by nebulizer, add 3 mL saline"
    open_needle, straw = BOOK.needle("needle-21g"), BOOK.needle("filter-straw")
    yield Both("last-of-the-bottle", lambda: _left("0.9 mL"), lambda: _left("1 mL"))
    yield Both("cylinder-nearly-empty", lambda: _cylinder("cylinder-100"), lambda: _cylinder("cylinder-25"))
    carries = BOOK.presentation(BOTTLE).carries
    yield Both(
        "diluent-preserved",
        lambda: _diluent("diluent-preserved", carries=carries),
        lambda: _diluent("diluent-preserved"),
    )
    yield Both(
        "diluent-for-many", lambda: _diluent("diluent-for-many", multi_dose=True), lambda: _diluent("diluent-for-many")
    )
    yield Both(
        "filter-needle-missing",
        lambda: _beside("filter-needle-missing", FIVE, AMPOULE, open_needle),
        lambda: _beside("filter-needle-missing", FIVE, AMPOULE, open_needle, straw),
    )
    yield Both(
        "squeezed-unit",
        lambda: _beside("squeezed-unit", "albuterol 2.5 mg by nebulizer", ALBUTEROL, UNIT),
        lambda: _beside("squeezed-unit", "albuterol 1.25 mg by nebulizer", ALBUTEROL, UNIT),
    )
    yield Both(
        "squeezed-diluent",
        lambda: _beside("squeezed-diluent", add, BOTTLE, UNIT),
        lambda: _beside("squeezed-diluent", add, BOTTLE),
    )
