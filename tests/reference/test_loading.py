"""A broken file of reference data is refused with every fault at once, each with its file and key."""

import shutil
from collections.abc import Callable
from fractions import Fraction
from importlib.resources import files
from pathlib import Path

import pytest

from drawndose import load
from drawndose.quantities import Refused
from drawndose.reference import Catalogue, molar_masses, read_instruments
from drawndose.reference.table import Table

DATA = Path(str(files("drawndose.reference").joinpath("data")))
GOOD = """
[[presentation]]
id = "thing"
drug = "albuterol"
name = "a thing"
container = "plastic unit dose"
doses = "single"
by_nebulizer = "labelled"
[presentation.label]
says = "for inhalation"
source = "s"
at = "-"
how = "read"
[[presentation.pack]]
volume = "3 mL"
source = "s"
at = "-"
how = "read"
[[presentation.active]]
moiety = "albuterol"
strength = "2.5 mg/3 mL"
printed = "2.5 mg/3 mL"
source = "s"
at = "-"
how = "read"
"""
TAIL = 'source = "s"\nat = "-"\nhow = "read"\n'


@pytest.fixture
def broken(tmp_path: Path) -> Callable[[str, str, str], Catalogue]:
    """A copy of the packaged data with one text replaced in one file."""

    def make(name: str, old: str, new: str) -> Catalogue:
        shutil.copytree(DATA, tmp_path / "data", dirs_exist_ok=True)
        place = tmp_path / "data" / name
        text = place.read_text(encoding="utf-8")
        assert old in text
        place.write_text(text.replace(old, new, 1), encoding="utf-8")
        return Catalogue(tmp_path / "data")

    return make


@pytest.fixture
def alone(tmp_path: Path) -> Callable[[str], Catalogue]:
    """A folder with one file of presentations."""

    def make(text: str) -> Catalogue:
        (tmp_path / "presentations").mkdir()
        (tmp_path / "presentations" / "albuterol.toml").write_text(text, encoding="utf-8")
        return Catalogue(tmp_path)

    return make


def told(refused: pytest.ExceptionInfo[Refused]) -> dict[str, str]:
    return {fault.field: fault.rule for fault in refused.value.faults}


def test_the_small_record_of_these_tests_is_good(alone) -> None:
    (one,) = alone(GOOD).presentations
    assert (one.id, one.multi_dose, one.drugs) == ("thing", False, ("albuterol",))
    assert one.active_of(frozenset({"albuterol"})) is one.actives[0]
    assert one.active_of(frozenset({"ipratropium bromide"})) is None


def test_all_faults_of_a_file_come_together_with_file_and_key(alone) -> None:
    text = GOOD
    for old, new in (
        ('drug = "albuterol"', "drug = 7"),
        ('container = "plastic unit dose"', 'container = "plastic ampule"'),
        ('volume = "3 mL"', 'volume = "3 mg"'),
        ('strength = "2.5 mg/3 mL"', 'strength = ".5.5 mg/3 mL"'),
        ('name = "a thing"', 'nam = "a thing"'),
        ('how = "read"\n[[presentation.pack]]', 'how = "guessed"\n[[presentation.pack]]'),
    ):
        assert old in text
        text = text.replace(old, new)
    with pytest.raises(Refused) as refused:
        _ = alone(text).presentations
    where = "presentations/albuterol.presentation[0]"
    assert told(refused).keys() == {
        f"{where}.drug",
        f"{where}.container",
        f"{where}.pack[0].volume",
        f"{where}.active[0].strength",
        f"{where}.name",
        f"{where}.nam",
        f"{where}.label.how",
    }
    assert told(refused)[f"{where}.nam"] == "the key is not known here"


@pytest.mark.parametrize(
    ("more", "field", "rule"),
    [
        ("[presentation.osmolarity]\n" + TAIL, "osmolarity.is", "an osmolarity needs its value"),
        ("[presentation.reconstitution]\n" + TAIL, "reconstitution.add", "a powder needs a volume to add"),
        (
            "[presentation.dilution]\nrule = 'sometimes'\nsays = 'x'\n" + TAIL,
            "dilution.rule",
            "one word of a closed list",
        ),
        (
            "[presentation.dilution]\nrule = 'add'\nwith = 'x'\nsays = 'x'\n" + TAIL,
            "dilution.with",
            "a list of texts is",
        ),
        ("[[presentation.pack]]\n" + TAIL, "pack[1].volume", "a pack has a volume, or an amount"),
        (
            "[[presentation.pack]]\nvolume='1 mL'\namount='1 mg'\n" + TAIL,
            "pack[1].volume",
            "a pack has a volume, or an",
        ),
        (
            "[[presentation.active]]\nmoiety='x'\nprinted='x'\n" + TAIL,
            "active[1].strength",
            "an active part needs a stre",
        ),
        ("[[presentation.life]]\nafter='opened'\n" + TAIL, "life[0].lasts", "a text is needed"),
        ("[presentation.note]\n" + TAIL, "note", "an array of tables is wanted"),
        ("note = [3]\n", "active[0].note", "the key is not known here"),
        ("[[presentation.carries]]\nsubstance='x'\namount='3 mL'\n" + TAIL, "carries[0].amount", "a mass is wanted"),
    ],
)
def test_a_fault_names_its_key_and_its_rule(alone, more: str, field: str, rule: str) -> None:
    with pytest.raises(Refused) as refused:
        _ = alone(GOOD + more).presentations
    found = told(refused)
    assert rule in found[f"presentations/albuterol.presentation[0].{field}"]


def test_a_record_that_is_no_table_is_a_fault(alone) -> None:
    with pytest.raises(Refused, match="a table is wanted here"):
        _ = alone("presentation = [3]\n").presentations


def test_a_bare_decimal_number_is_refused(alone) -> None:
    with pytest.raises(Refused, match=r"a bare decimal number stands in the file \(2.5\)") as refused:
        _ = alone(GOOD.replace('strength = "2.5 mg/3 mL"', "strength = 2.5")).presentations
    assert refused.value.faults[0].field == "presentations/albuterol.toml"


def test_a_file_that_is_no_toml_is_refused_by_name(alone) -> None:
    with pytest.raises(Refused) as refused:
        _ = alone("[[presentation").presentations
    assert refused.value.faults[0].field == "presentations/albuterol.toml"


def test_a_powder_without_a_moiety_is_a_fault_and_no_crash(alone) -> None:
    text = GOOD.replace('moiety = "albuterol"\n', "") + "[presentation.reconstitution]\nadd='6 mL'\n" + TAIL
    with pytest.raises(Refused, match="moiety: a text is needed"):
        _ = alone(text).presentations


def test_a_file_is_read_only_when_its_drug_is_asked_for(broken) -> None:
    book = broken("presentations/budesonide.toml", 'how = "', 'who = "')
    assert len(book.presentations_of("albuterol")) == 6
    assert len(book.presentations_of("albuterol")) == 6
    with pytest.raises(Refused):
        book.presentations_of("budesonide")


@pytest.mark.parametrize(
    ("name", "old", "new", "rule"),
    [
        ("drugs.toml", 'kind = "base"', 'kynd = "base"', "the key is not known here"),
        ("drugs.toml", 'equals = "1 mg", of = "albuterol"', 'of = "albuterol"', "an equivalence has an amount on both"),
        ("drugs.toml", 'this = "1.2 mg"', 'this = "1.2 mL"', "an equivalence has an amount on both sides"),
        (
            "drugs.toml",
            'listed = "EPINEPHrine"',
            'listed = "EPInephrin"',
            "the drug's own name with the capitals of a list",
        ),
        (
            "drugs.toml",
            'listed = "EPINEPHrine"',
            'listed = "epinephrine"',
            "the drug's own name with the capitals of a list",
        ),
        ("drugs.toml", 'source = "ismp-tall-letters"\n', "", "a text is needed"),
        ("drugs.toml", 'equals = "30 mg"', 'equals = "30 mg", equal = "30 mg"', "the key is not known here"),
    ],
)
def test_a_fault_in_the_drugs_is_refused(broken, name: str, old: str, new: str, rule: str) -> None:
    with pytest.raises(Refused, match=rule):
        _ = broken(name, old, new).drugs


@pytest.mark.parametrize(
    ("old", "new", "rule"),
    [
        ('capacity = "1 mL"', 'capacity = "1 mg"', "a volume is wanted"),
        ('capacity = "1 mL"\n', "", "a volume is needed"),
        ('tolerance = "calibrated-dropper"', 'tolerance = "about"', "the tolerance is not in this file"),
        ('marks = ["0.25 mL", "0.5 mL"]', 'marks = ["0.25"]', "marks"),
        ('from_half_of_volume = "5 %"', 'from_half = "5 %"', "the key is not known here"),
        ('below_half_of_capacity = "1.5 %"', 'below_half_of_capacity = "much"', "below_half_of_capacity"),
        ("copy = false", 'copy = "no"', "true or false is wanted"),
        ("read = 2026-11-25", 'read = "yesterday"', "a date is needed"),
        ("read = 2026-11-25", "read = 2026-11-25T10:00:00", "a date is needed"),
    ],
)
def test_a_fault_in_the_instruments_is_refused(broken, old: str, new: str, rule: str) -> None:
    with pytest.raises(Refused, match=rule):
        _ = broken("instruments.toml", old, new).instruments


def test_a_source_id_that_stands_twice_is_refused(broken) -> None:
    book = broken("sources/albuterol.toml", "[[source]]", '[[source]]\nid = "saline-label-3-ml"\n[[source]]')
    with pytest.raises(Refused, match="title: a text is needed"):
        _ = book.sources
    first = load().sources["smtl-iso-7886-1-note-2016"]
    text = f'id = "{first.id}"\ntitle = "t"\nkind = "k"\nread = 2026-11-25\n'
    with pytest.raises(Refused, match="an id stands once"):
        _ = broken("sources/budesonide.toml", "[[source]]", f"[[source]]\n{text}[[source]]").sources


@pytest.mark.parametrize("ask", ["drug", "presentation", "instrument", "technique"])
def test_an_unknown_id_is_a_key_error(ask: str) -> None:
    with pytest.raises((KeyError, StopIteration)):
        getattr(load(), ask)("no such thing")


def test_a_default_stands_in_only_where_the_key_is_missing() -> None:
    table = Table({"empty": " ", "flag": 1}, "here", faults := [])
    assert table.text("missing", "so") == "so"
    assert table.text("empty", "so") == "so"
    assert table.truth("missing", True) is True
    assert table.truth("flag", False) is True
    assert table.quantity("missing", "volume") is None
    assert [fault.field for fault in faults] == ["here.empty", "here.flag"]


def test_the_smallest_volume_of_a_dropper_is_any_and_none_within_less_than_its_tolerance() -> None:
    dropper = load().instrument("dropper-0.25-0.5")
    assert dropper.smallest_for(Fraction(15, 100)) == 0
    with pytest.raises(ValueError, match="never measures within"):
        dropper.smallest_for(Fraction(14, 100))


def test_a_salt_is_found_by_its_name_or_by_its_only_base() -> None:
    salts = molar_masses.molar_masses()
    sulfate = salts["albuterol sulfate"]
    assert sulfate.given() == {
        "salt_molar_mass": sulfate.salt_mass,
        "base_molar_mass": sulfate.base_mass,
        "base_per_salt": "2",
    }
    assert sulfate.salt_mass.startswith("576.7")
    assert molar_masses.salt_of("Albuterol Sulfate") is sulfate
    assert molar_masses.salt_of("water") is None
    assert "2 base in a salt" in sulfate.says()


def test_a_salt_without_its_count_of_bases_or_its_masses_is_a_fault() -> None:
    faults: list = []
    molar_masses._salt(Table({"id": "x", "base": "y", "bases": 0, "salt_mass": {"is": "heavy"}}, "salt[0]", faults))
    assert {fault.field for fault in faults} >= {"salt[0].bases", "salt[0].salt_mass.is", "salt[0].base_mass.is"}


def test_a_source_is_found_by_its_id_wherever_it_stands() -> None:
    book = load()
    for ident in ("smtl-iso-7886-1-note-2016", "usp-797-immediate-use", *list(book.sources)[-3:]):
        assert book.source(ident) is not None
        assert book.source(ident) == book.sources[ident]
    assert book.source("no such source") is None


NEEDLE = 'id = "n"\nname = "n"\ngauge = 21\nkeeps = "0.05 mL"\nsource = "common-practice"\nat = "-"\nhow = "common practice"\n'
EXCESS = 'labelled = "1 mL"\nmobile = "0.1 mL"\nviscous = "0.15 mL"\nsource = "common-practice"\nat = "-"\nhow = "common practice"\n'


@pytest.mark.parametrize(
    ("text", "field", "rule"),
    [
        (f"[[needle]]\n{NEEDLE.replace('21', '3')}", "own.needle[0].gauge", "a gauge is a whole number from 10 to 34"),
        (
            f"[[needle]]\n{NEEDLE.replace('21', 'true')}",
            "own.needle[0].gauge",
            "a gauge is a whole number from 10 to 34",
        ),
        (f"[[needle]]\n{NEEDLE.replace('0.05 mL', '5 mg')}", "own.needle[0].keeps", "a volume is wanted"),
        (f"[[excess]]\n{EXCESS.replace('mobile', 'mobil')}", "own.excess[0].mobile", "a volume is needed"),
        ("x = ", "own.toml", "Invalid value"),
    ],
)
def test_a_fault_in_a_file_of_own_needles_is_named(text: str, field: str, rule: str) -> None:
    with pytest.raises(Refused) as refused:
        read_instruments(text, "own.toml")
    assert any(fault.field == field and fault.rule.startswith(rule) for fault in refused.value.faults)


def test_needles_and_excess_of_an_own_file_are_read() -> None:
    made = read_instruments(f"[[needle]]\n{NEEDLE}[[excess]]\n{EXCESS}", "own.toml")
    assert [(one.gauge, one.keeps, one.filters) for one in made.needles] == [(21, Fraction(1, 20), False)]
    assert [(one.labelled, one.mobile, one.viscous) for one in made.excess] == [(1, Fraction(1, 10), Fraction(3, 20))]
