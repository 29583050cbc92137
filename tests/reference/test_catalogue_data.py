"""The packaged data, every record of it: it builds, its origins resolve, and its numbers agree with a second typing."""

import re
from collections import Counter
from collections.abc import Iterator
from fractions import Fraction
from importlib.resources import files
from pathlib import Path

import pytest

from drawndose import load
from drawndose.quantities import Form, Quantity, read_strength
from drawndose.reference import Container, How, Origin, Phase, Presentation
from drawndose.reference.molar_masses import molar_masses

BOOK = load()
ALL = {one.id: one for one in BOOK.presentations}
CONTAINERS = tuple(one.value for one in Container)

# What one mL (for a powder: one mL after making up) holds, and the fill sizes in mL. Typed a second time from the
# project's fact sheet of products, not copied from the TOML.
TYPED = {
    "albuterol-0.5pct-bottle-20ml": ("5 mg", "20"),
    "albuterol-2.5mg-0.5ml": ("5 mg", "0.5"),
    "albuterol-2.5mg-3ml": ("5/6 mg", "3"),
    "albuterol-0.63mg-3ml": ("0.21 mg", "3"),
    "albuterol-1.25mg-3ml": ("5/12 mg", "3"),
    "levalbuterol-0.31mg-3ml": ("31/300 mg", "3"),
    "levalbuterol-0.63mg-3ml": ("0.21 mg", "3"),
    "levalbuterol-1.25mg-3ml": ("5/12 mg", "3"),
    "levalbuterol-1.25mg-0.5ml": ("2.5 mg", "0.5"),
    "ipratropium-500mcg-2.5ml": ("0.2 mg", "2.5"),
    "ipratropium-0.5mg-albuterol-2.5mg-3ml": ("1/6 mg, 5/6 mg", "3"),
    "racepinephrine-11.25mg-0.5ml": ("22.5 mg", "0.5"),
    "epinephrine-1mg-1ml-ampoule": ("1 mg", "1"),
    "acetylcysteine-10pct": ("100 mg", "4, 10, 30"),
    "acetylcysteine-20pct": ("200 mg", "4, 10, 30"),
    "sodium-chloride-0.45pct-unit-dose": ("4.5 mg", "3, 5"),
    "sodium-chloride-0.9pct-unit-dose": ("9 mg", "3, 5, 15"),
    "sodium-chloride-3pct-unit-dose": ("30 mg", "4, 5, 15"),
    "sodium-chloride-7pct-unit-dose": ("70 mg", "4, 5"),
    "sodium-chloride-10pct-unit-dose": ("100 mg", "4, 15"),
    "sterile-water-unit-dose": ("", "3, 5"),
    "budesonide-0.25mg-unit-dose-2ml": ("0.125 mg", "2"),
    "budesonide-0.5mg-unit-dose-2ml": ("0.25 mg", "2"),
    "budesonide-1mg-unit-dose-2ml": ("0.5 mg", "2"),
    "cromolyn-20mg-unit-dose-2ml": ("10 mg", "2"),
    "formoterol-20mcg-unit-dose-2ml": ("10 mcg", "2"),
    "arformoterol-15mcg-unit-dose-2ml": ("7.5 mcg", "2"),
    "revefenacin-175mcg-unit-dose-3ml": ("175/3 mcg", "3"),
    "glycopyrrolate-25mcg-1ml-inhalation": ("25 mcg", "1"),
    "glycopyrrolate-0.2mg-per-ml-injection": ("0.2 mg", "1, 2, 5, 20"),
    "glycopyrrolate-0.2mg-per-ml-multi-dose": ("0.2 mg", "5, 20"),
    "tobramycin-300mg-unit-dose-5ml": ("60 mg", "5"),
    "tobramycin-300mg-unit-dose-4ml": ("75 mg", "4"),
    "aztreonam-75mg-vial": ("75 mg", "1"),
    "dornase-alfa-2.5mg-unit-dose-2.5ml": ("1 mg", "2.5"),
    "colistimethate-150mg-vial": ("75 mg", "2"),
    "pentamidine-300mg-vial": ("50 mg", "6"),
    "ribavirin-6g-vial": ("20 mg", "300"),
    "terbutaline-1mg-1ml": ("1 mg", "1"),
    "lidocaine-4pct-bottle-50ml": ("40 mg", "50"),
    "treprostinil-1.74mg-unit-dose-2.9ml": ("0.6 mg", "2.9"),
    "iloprost-10mcg-ml-ampoule": ("10 mcg", "1, 2"),
    "magnesium-sulfate-isotonic-2.5ml": ("60.4 mg", "2.5"),
}

# What the strength counts: the trap that a fact sheet lists first.
COUNTS = {
    "base": "albuterol levalbuterol racepinephrine epinephrine arformoterol tobramycin",
    "salt": "terbutaline ipratropium glycopyrrolate cromolyn pentamidine lidocaine formoterol",
}


def test_there_are_43_presentations_and_each_id_stands_once() -> None:
    assert len(BOOK.presentations) == 43
    assert set(ALL) == set(TYPED)
    assert len(ALL) == 43


@pytest.mark.parametrize("ident", TYPED)
def test_a_millilitre_holds_what_the_second_typing_says(ident: str) -> None:
    from drawndose import InHand

    one, (amounts, fills) = ALL[ident], TYPED[ident]
    hands = [InHand(presentation=one, pack=pack) for pack in one.packs]
    assert [hand.contents() for hand in hands] == [Fraction(text) for text in fills.split(", ")]
    wanted = []
    for text in filter(None, amounts.split(", ")):
        number, unit = text.split(" ")
        wanted.append((Fraction(number), unit))
    for hand in hands:
        held = [hand.per_ml(active) for active in one.actives]
        assert [(per.to(f"{unit}/mL").value, unit) for per, (_, unit) in zip(held, wanted, strict=True)] == wanted


@pytest.mark.parametrize("kind", COUNTS)
def test_the_strength_counts_base_or_salt_as_the_labels_do(kind: str) -> None:
    for slug in COUNTS[kind].split():
        drug = BOOK.drug(slug)
        for one in BOOK.presentations_of(slug):
            moieties = [drug.moiety(active.moiety) for active in one.actives]
            assert [moiety.kind for moiety in moieties if moiety is not None] == [kind], one.id


def test_drug_instrument_cup_and_technique_ids_are_unique() -> None:
    for several in ([one.id for one in BOOK.drugs], BOOK.packaged.ids):
        assert Counter(several).most_common(1)[0][1] == 1


def _origins() -> Iterator[tuple[str, Origin]]:
    for one in BOOK.presentations:
        yield from ((one.id, origin) for origin in one.origins())
    for drug in BOOK.drugs:
        yield from ((drug.id, one.origin) for moiety in drug.moieties for one in moiety.equivalences)
    for made in BOOK.measures:
        own = (made.origin, made.tolerance.origin, made.scale_length_origin, made.nozzle_origin)
        yield from ((made.id, origin) for origin in own if origin is not None)
    for balance in BOOK.balances:
        yield from ((balance.id, one) for one in (balance.origin, balance.repeatability_origin) if one is not None)
    file = BOOK.packaged
    yield from ((made.id, made.origin) for made in (*file.cups, *file.needles, *file.unit_doses, *file.tolerances))
    yield from ((f"bore of {bore.gauge} G", bore.origin) for bore in file.bores)
    yield from ((f"excess of {row.labelled} mL", row.origin) for row in BOOK.excess)
    for salt in molar_masses().values():
        yield from ((salt.id, salt.salt_origin), (salt.id, salt.base_origin))
    yield from ((" + ".join(one.of), one.origin) for one in BOOK.mixtures)
    yield from (("liquids", origin) for origin in BOOK.liquids.origins())
    for made in BOOK.nebulizers:
        yield from ((made.id, origin) for origin in (made.origin, *(span.origin for span in made.spans().values())))
    for held in BOOK.sensitivities.values():
        yield from ((held.id, one.origin) for one in (*held.cleared, *held.bars))
    yield from (("aerosol", origin) for origin in BOOK.aerosol.origins())


def _in_code() -> set[str]:
    """Ids of sources that stand in the text of the exact core."""
    home = Path(str(files("drawndose").joinpath("bench")))
    return {
        name
        for path in home.rglob("*.py")
        for name in re.findall(r'source="([^"]+)"', path.read_text(encoding="utf-8"))
    }


def _of_steps() -> set[str]:
    return {step.source for kind in CONTAINERS for step in BOOK.technique(kind).steps}


def _of_rules() -> set[str]:
    sides = {source for one in BOOK.conflicts.values() for side in one.sides for source in side.sources}
    return sides | {source for rule in BOOK.rules.values() for source in rule.sources}


def _of_cases() -> str:
    home = files("drawndose.reference").joinpath("cases")
    return "".join(one.read_text(encoding="utf-8") for one in home.iterdir() if one.name.endswith(".toml"))


def test_every_origin_resolves_to_a_source() -> None:
    lost = {(place, origin.source) for place, origin in _origins() if origin.source not in BOOK.sources}
    assert lost == set()
    assert _of_steps() | _in_code() | _of_rules() <= set(BOOK.sources)


def test_no_source_stands_unused() -> None:
    used = {origin.source for _, origin in _origins()} | _of_steps() | _in_code() | _of_rules()
    cases = _of_cases()
    assert {ident for ident in BOOK.sources if ident not in used and f'"{ident}"' not in cases} == set()


def test_nothing_from_memory_passes_for_read() -> None:
    for place, origin in _origins():
        if "from memory" in origin.at:
            assert origin.how is not How.READ or "from memory, continuous" in origin.at, (place, origin)


@pytest.mark.parametrize("one", BOOK.presentations, ids=lambda one: one.id)
def test_a_presentation_names_a_measure_drugs_moieties_and_diluents_that_exist(one: Presentation) -> None:
    assert one.measure in {"", *(made.id for made in BOOK.instruments)}
    bottled = {made.diluent for made in BOOK.presentations if made.diluent}
    moieties = {moiety.id for slug in one.drugs for moiety in BOOK.drug(slug).moieties}
    assert {active.moiety for active in one.actives} <= moieties
    named = [*(one.dilution.diluents if one.dilution else ())]
    if one.reconstitution is not None:
        named += [*one.reconstitution.diluents, *one.reconstitution.never_with]
    assert {name for name in named if name not in bottled and not name.endswith(", supplied")} == set()


@pytest.mark.parametrize("one", BOOK.presentations, ids=lambda one: one.id)
def test_a_printed_percent_agrees_with_the_amount_or_the_record_says_that_it_does_not(one: Presentation) -> None:
    for active in one.actives:
        for text in re.findall(r"[0-9.]+ %", active.printed):
            percent = read_strength(text, of=active.moiety).ratio.to("mg/mL").value
            agrees = percent == active.strength.ratio.to("mg/mL").value
            rounded = abs(percent - active.strength.ratio.to("mg/mL").value) * 1000 < 5
            assert agrees or active.disagreement, (one.id, text)
            assert agrees or rounded or "sulfate" in active.printed, (one.id, text)


def test_a_powder_has_an_amount_and_how_to_make_it_up_and_every_other_container_a_volume() -> None:
    for one in BOOK.presentations:
        powder = one.container is Container.POWDER_VIAL
        assert (one.reconstitution is not None) is powder
        assert all((pack.amount is not None) is powder for pack in one.packs)
        assert all((active.strength.form is Form.PER_CONTAINER) is powder for active in one.actives)


def test_a_powder_made_up_holds_its_vial_in_its_volume() -> None:
    for one in BOOK.presentations:
        made_up = one.reconstitution
        if made_up is not None and made_up.gives is not None and made_up.strength is not None:
            assert made_up.strength.amount_in(made_up.gives) == one.actives[0].strength.amount


def test_a_concentrate_is_the_only_thing_that_must_be_diluted() -> None:
    must = {one.id for one in BOOK.presentations if one.dilution is not None and not one.dilution.undiluted}
    assert must == {"albuterol-0.5pct-bottle-20ml", "albuterol-2.5mg-0.5ml", "levalbuterol-1.25mg-0.5ml"}


def test_names_lead_to_one_drug_each_and_the_bare_colistimethate_says_no_moiety() -> None:
    assert BOOK.names["salbutamol"] == ("albuterol", "albuterol")
    assert BOOK.names["albuterol sulphate"] == ("albuterol", "albuterol sulfate")
    assert BOOK.names["colistin"] == ("colistimethate", None)
    claimed = Counter(name for drug in BOOK.drugs for name in {drug.id, *(also.lower() for also in drug.also)})
    assert [name for name, times in claimed.items() if times > 1] == []


def test_equivalences_are_the_published_pairs() -> None:
    told = {
        one.id: (one.this.value, str(one.this.unit), one.equals.value, str(one.equals.unit))
        for drug in BOOK.drugs
        for moiety in drug.moieties
        for one in moiety.equivalences
    }
    assert told["albuterol sulfate"] == (Fraction(6, 5), "mg", 1, "mg")
    assert told["expert-society"] == (10**6, "unit", 30, "mg")
    assert told["hospital-guide"] == (10**6, "unit", 33, "mg")
    assert told["prodrug-mass"] == (10**6, "unit", 80, "mg")
    assert told["terbutaline base"] == (Fraction(82, 100), "mg", 1, "mg")


def test_an_equivalence_converts_both_ways_and_refuses_what_it_does_not_count() -> None:
    stated = BOOK.drug("albuterol").equivalences_between("albuterol", "albuterol sulfate")[0]
    salt, base = Quantity.of_text(3, "mg", "albuterol sulfate"), Quantity.of_text(2500, "mcg", "albuterol")
    assert stated.convert(salt) == base
    assert stated.convert(base) == salt
    with pytest.raises(TypeError):
        stated.convert(Quantity.of_text(3, "mmol", "albuterol sulfate"))


# ----------------------------------------------------------------------------------------------- techniques

PLACES = {
    *(
        "patient",
        "order",
        "sum",
        "name",
        "strength",
        "contents",
        "count",
        "draws",
        "instrument",
        "reading",
        "mark",
        "air",
    ),
    *(
        "needle",
        "each",
        "target",
        "whole",
        "part",
        "tip",
        "mix",
        "manner",
        "reconstitute",
        "leftover",
        "limit",
        "label",
    ),
    *("diluent", "diluent_volume", "diluent_how", "fill"),
}


@pytest.mark.parametrize("kind", CONTAINERS)
def test_every_container_kind_has_a_technique_from_clean_hands_to_the_record(kind: str) -> None:
    steps = BOOK.technique(kind).steps
    assert {step.phase for step in steps} == set(Phase)
    assert [step.phase for step in steps] == sorted((step.phase for step in steps), key=list(Phase).index)
    assert "Clean your hands" in steps[1].says
    assert "Record" in steps[-1].says


@pytest.mark.parametrize("kind", CONTAINERS)
def test_every_place_of_a_step_is_one_that_a_plan_fills(kind: str) -> None:
    for step in BOOK.technique(kind).steps:
        assert set(re.findall(r"\{([a-z_]*)\}", step.says)) <= PLACES
        assert step.how in {how.value for how in How}


@pytest.mark.parametrize("kind", CONTAINERS)
def test_what_goes_into_the_cup_after_a_measured_volume_is_named_by_a_place(kind: str) -> None:
    measured = [step for step in BOOK.technique(kind).steps if step.phase is Phase.DRAW and "{whole}" not in step.says]
    assert sum("{target}" in step.says for step in measured) == 1
    assert [step.says for step in measured if "into the cup" in step.says] == []


# ------------------------------------------------------------------------------------------- number style

STYLE = {
    "a naked decimal point": r"(?<![0-9])\.[0-9]",
    "a trailing zero": r"[0-9]\.[0-9]*0(?![0-9])",
    "cc": r"\b[0-9]+ ?cc\b",
    "a Greek mu": "[\u00b5\u03bc]",
    "U for units": r"[0-9] ?U\b",
    "no space before the unit": r"[0-9](?:mg|mcg|mL|kg)\b",
    "ml with a small l": r"\bml\b",
    "a thousand without its comma": r"(?<![0-9.,/;:-])[1-9][0-9]{4,}(?![0-9])",
}


def _texts(one: Presentation) -> Iterator[str]:
    yield from (one.name, one.label.says)
    for active in one.actives:
        yield active.disagreement
    if one.dilution is not None:
        yield one.dilution.says
    if one.reconstitution is not None:
        yield one.reconstitution.manner
    for life in one.lives:
        yield from (life.lasts, life.when)
    for dose in one.doses:
        yield from (dose.population, dose.purpose, dose.says)
    yield from (note.says for note in one.notes)


def _all_texts() -> Iterator[str]:
    for one in BOOK.presentations:
        yield from _texts(one)
    for kind in CONTAINERS:
        yield from (text for step in BOOK.technique(kind).steps for text in (step.says, step.failure))
    yield from (one.told for one in BOOK.mixtures)
    yield from (one.says for one in (*BOOK.liquids.osmotic.values(), *BOOK.liquids.answers.values()))
    yield from (one.name for one in (*BOOK.measures, *BOOK.cups, *BOOK.needles, *BOOK.balances))


@pytest.mark.parametrize("fault", STYLE)
def test_no_text_of_the_catalogue_writes_a_number_in_a_way_that_is_misread(fault: str) -> None:
    assert [text for text in _all_texts() if re.search(STYLE[fault], text)] == []


def test_the_style_patterns_find_what_they_are_for() -> None:
    bad = (".5 mg", "5.0 mg", "5 cc", "5 \u03bcg", "5 U", "5mg", "5 ml", "10000 units")
    for (fault, pattern), text in zip(STYLE.items(), bad, strict=True):
        assert re.search(pattern, text), fault
