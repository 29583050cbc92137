"""The closed list of excipients: names stand once, labels are found by them, and a broken record is refused."""

from collections import Counter
from pathlib import Path

import pytest

from drawndose import load
from drawndose.quantities import Refused
from drawndose.reference import Catalogue, How

BOOK = load()
LISTED = {carried.substance for one in BOOK.presentations for carried in one.carries}


def test_a_name_stands_for_one_thing_and_is_no_drug() -> None:
    names = Counter(
        name.lower() for one in BOOK.sensitivities.values() for name in {one.id.lower(), *(a.lower() for a in one.also)}
    )
    assert [name for name, times in names.items() if times > 1] == []
    assert set(names) & set(BOOK.names) == set()


def test_what_labels_list_is_found_and_nothing_else() -> None:
    classes = [ident for ident, one in BOOK.sensitivities.items() if one.bars]
    found = {ident: {name for name in LISTED if one.is_in(name)} for ident, one in BOOK.sensitivities.items()}
    assert found == {
        "sulfites": set(),  # no product of the catalogue lists one; older ampoules and a multi-dose bottle did
        "edetate": {"edetate disodium", "edetate disodium dihydrate"},
        "benzalkonium chloride": {"benzalkonium chloride"},
        "benzyl alcohol": {"benzyl alcohol"},
        "parabens": {"methylparaben"},
        "chlorobutanol": set(),
        "propylene glycol": {"propylene glycol"},
        "polysorbates": {"polysorbate 80"},
        "ethanol": {"ethanol"},
        "soya": set(),
        "peanut": set(),
        "lecithin": set(),
    } | {ident: set() for ident in classes}
    assert BOOK.sensitivities["sulfites"].is_in("Potassium metabisulfite")
    assert not BOOK.sensitivities["sulfites"].is_in("sulfuric acid")


def test_a_false_alarm_names_its_drug_and_its_source() -> None:
    cleared = [one for made in BOOK.sensitivities.values() for one in made.cleared]
    assert {one.drug for one in cleared} == {"ipratropium"}
    assert {one.origin.source for one in cleared} <= set(BOOK.sources)


def test_a_class_names_drugs_of_the_catalogue_and_where_that_stands() -> None:
    drugs = {drug.id for drug in BOOK.drugs}
    bars = [(ident, barred) for ident, one in BOOK.sensitivities.items() for barred in one.bars]
    assert {barred.drug for _, barred in bars} <= drugs
    assert {barred.origin.source for _, barred in bars} <= set(BOOK.sources)
    by_label = {(ident, barred.drug) for ident, barred in bars if barred.origin.how is How.READ}
    assert by_label == {("atropine", "ipratropium")} | {
        (word, "tobramycin") for word in ("aminoglycosides", "gentamicin", "amikacin", "streptomycin", "neomycin")
    }
    assert all(one.named or one.bars for one in BOOK.sensitivities.values())


def test_a_record_without_the_names_of_labels_is_refused(tmp_path: Path) -> None:
    (tmp_path / "sensitivities.toml").write_text('[[sensitivity]]\nid = "x"\nname = ["x"]\n', encoding="utf-8")
    with pytest.raises(Refused) as refused:
        _ = Catalogue(tmp_path).sensitivities
    assert {fault.field for fault in refused.value.faults} == {
        "sensitivities.sensitivity[0].named",
        "sensitivities.sensitivity[0].name",
    }
