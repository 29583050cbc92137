"""The register of published rules: every record builds, its sources resolve, its counts stand, its words are the house's."""

import pkgutil
import re
import subprocess
import sys
from collections import Counter
from collections.abc import Callable
from dataclasses import fields
from importlib import import_module
from importlib.resources import files
from pathlib import Path

import pytest

from drawndose.bench import safeguards
from drawndose.bench.labels import label
from drawndose.bench.order import read_order
from drawndose.bench.plans import Plan
from drawndose.bench.policy import Policy
from drawndose.bench.sums import KINDS
from drawndose.quantities import Refused
from drawndose.reference import Catalogue, Container, codes, load
from drawndose.reference.rule_text import Gravity, Keeper, Kept, Part, RuleText, Section, Sure, Who
from tests.pages import django

BOOK = load()
RULES = tuple(BOOK.rules.values())
DATA = Path(str(files("drawndose.reference").joinpath("data")))


def test_there_are_152_rules_by_section_level_and_how_they_were_read() -> None:
    assert Counter(rule.section.value for rule in RULES) == {
        "container life": 32,
        "technique": 14,
        "labels": 23,
        "checks": 23,
        "waste": 12,
        "records": 17,
        "codes": 20,
        "exchange": 11,
    }
    assert Counter(rule.level.value for rule in RULES) == {"stop": 104, "caution": 42, "note": 6}
    assert Counter(rule.who.value for rule in RULES) == {
        "tool": 65,
        "preparer": 53,
        "giver": 14,
        "anyone": 9,
        "manager": 8,
        "second checker": 2,
        "instructor": 1,
    }
    how = Counter(rule.how for rule in RULES)
    assert (how[Sure.READ], how[Sure.SECONDARY], how[Sure.PART]) == (60, 25, 34)
    assert (how[Sure.MEMORY], how[Sure.DERIVED]) == (26, 7), (
        "33 in all that nothing confirms, 7 of them our own reasoning"
    )
    assert sum(rule.low_confidence for rule in RULES) == 37


def test_an_id_is_words_and_is_found() -> None:
    for rule in RULES:
        assert re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)+", rule.id), rule.id
        assert BOOK.rules[rule.id] is rule


def test_every_source_of_a_rule_resolves_and_says_how_it_was_read() -> None:
    for rule in RULES:
        assert len(set(rule.sources)) == len(rule.sources), rule.id
        for ident in rule.sources:
            source = BOOK.sources[ident]
            assert source.how is not None or ident == "house-reasoning", ident


def test_our_own_reasoning_is_never_the_source_of_a_rule_that_was_read() -> None:
    for rule in RULES:
        assert (rule.sources == ("house-reasoning",)) is (rule.how is Sure.DERIVED), rule.id
        if "house-reasoning" in rule.sources:
            assert rule.how not in {Sure.READ, Sure.SECONDARY}, rule.id


def test_a_rule_that_was_read_names_a_document_that_was_seen() -> None:
    for rule in RULES:
        seen = [
            BOOK.sources[one] for one in rule.sources if (how := BOOK.sources[one].how) and how.value != "from memory"
        ]
        assert seen or rule.how in {Sure.MEMORY, Sure.DERIVED, Sure.PART}, rule.id
        if rule.how is Sure.READ:
            assert any(one.how is not None and one.how.value == "read" for one in seen), rule.id


def test_a_plan_does_not_read_the_register() -> None:
    order = ["plan", "albuterol 2.5 mg by nebulizer", "--have", "albuterol-2.5mg-3ml"]
    code = f"import sys; from drawndose.cli import main; main({order}); print(*sys.modules, file=sys.stderr)"
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    loaded = run.stderr.split()
    assert "drawndose.reference.catalogue" in loaded
    assert [one for one in loaded if one in {"drawndose.reference.rule_text", "drawndose.reference.conflict"}] == []


# ---------------------------------------------------------------------------------------------- what keeps it


def _finding_rules() -> set[str]:
    names = [f"{safeguards.__name__}.{one.name}" for one in pkgutil.iter_modules(safeguards.__path__)]
    return {rule.id for name in names for rule in getattr(import_module(name), "RULES", ())}


HELD_IN = [*(kind.value for kind in Container), "any"]
STEPS = {step.says for kind in HELD_IN for step in BOOK.technique(kind).steps}
LABEL = set(re.findall(r'name="([a-z ]+)"', Path(label.__code__.co_filename).read_text(encoding="utf-8")))
CATALOGUE = {
    "container": all(one.container in Container for one in BOOK.presentations),
    "life after opened": any(life.after == "opened" for one in BOOK.presentations for life in one.lives),
    "life after pouch opened": any(life.after == "pouch opened" for one in BOOK.presentations for life in one.lives),
    "listed spelling of a name": any(drug.listed for drug in BOOK.drugs),
    "notes on storage": any(one.notes_on("storage") for one in BOOK.presentations),
}


def _of_an_order(name: str) -> bool:
    verb, _, what = name.partition(" ")
    if verb == "asks":
        asked = {
            q.field for text in ("albuterol 2.5 mg", "albuterol") for q in read_order(text, catalogue=BOOK).questions
        }
        return what in asked
    try:
        read_order(what, catalogue=BOOK)
    except Refused:
        return verb == "refuses"
    return False


RECORDS = {
    "ledger": "ledger.append:append",
    "order of states": "work.states:TABLES",
    "who may do it": "people.roles:RIGHTS",
    "preparation": "work.models:Preparation",
    "due doses": "work.due:top_up",
    "order, with its reason": "work.orders:hold_reason",
    "scan, held against the sheet": "work.checklist:scanned",
    "reaction, with the lot": "work.giving:REACTION",
    "giving": "work.giving:give",
    "waste, with witness": "work.giving:close",
    "correction": "work.giving:note",
    "signature": "ledger.models:Event",
    "practice kept apart": "ledger.storage:found",
    "copy out": "keeping.export:export",
}
"""What keeps a record, and where it is in the department."""
PAGES = {
    "sign-in": "sign-in",
    "second check, apart": "sheet-second",
    "product typed": "sheet-in-hand",
    "board": "board",
}
"""Pages by the name of their address."""


def _in_department(where: str | None) -> bool:
    if where is None:
        return False
    django()
    module, _, name = where.partition(":")
    return hasattr(import_module(f"drawndose.department.{module}"), name)


def _is_setting(name: str) -> bool:
    """A setting of the engine, of the house, or of the installation."""
    django()
    from drawndose.department.chosen import OPTIONS
    from drawndose.department.work.known_settings import HOUSE

    return name in {one.name for one in (*fields(Policy), *HOUSE, *OPTIONS)}


def _is_page(name: str) -> bool:
    django()
    from django.urls import get_resolver

    return PAGES.get(name) in get_resolver().reverse_dict


STANDS: dict[Part, Callable[[str], bool]] = {
    Part.RULE: _finding_rules().__contains__,
    Part.STEP: lambda name: any(name in says for says in STEPS),
    Part.LABEL: LABEL.__contains__,
    Part.SETTING: _is_setting,
    Part.RECORD: lambda name: _in_department(RECORDS.get(name)),
    Part.PAGE: _is_page,
    Part.ORDER: _of_an_order,
    Part.PLAN: {one.name for one in fields(Plan)}.__contains__,
    Part.SUM: KINDS.__contains__,
    Part.CATALOGUE: lambda name: CATALOGUE.get(name, False),
    Part.CODES: {one.name for one in pkgutil.iter_modules(codes.__path__)}.__contains__,
}
KEEPERS = sorted({(rule.id, str(keeper)) for rule in RULES for keeper in rule.kept_by})


def stands(keeper: Keeper) -> bool:
    """True when the part is there. A kind that is not listed above is not looked up yet, so nothing of it may be said to stand."""
    return keeper.part in STANDS and STANDS[keeper.part](keeper.name)


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)
def test_what_is_said_to_keep_a_rule_is_there(rule: RuleText) -> None:
    assert [str(keeper) for keeper in rule.kept_by if keeper.built and not stands(keeper)] == []


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)
def test_what_is_said_to_be_built_yet_is_not_there(rule: RuleText) -> None:
    late = [str(keeper) for keeper in rule.kept_by if not keeper.built and stands(keeper)]
    assert late == [], 'it stands now: take "to build: " away'


def test_nothing_is_still_to_be_built() -> None:
    assert [(rule.id, str(keeper)) for rule in RULES for keeper in rule.kept_by if not keeper.built] == []
    assert [one.id for one in BOOK.conflicts.values() if one.setting is not None and not one.setting.built] == []


def test_a_keeper_that_is_not_there_is_noticed() -> None:
    for part in Part:
        assert not stands(Keeper(part=part, name="no such thing", built=True)), part
    assert not stands(Keeper(part=Part.ORDER, name="refuses albuterol 2.5 mg by nebulizer", built=True))


def test_every_rule_is_kept_somehow_or_says_why_not() -> None:
    kept = Counter(rule.kept for rule in RULES)
    assert set(kept) == set(Kept)
    for rule in RULES:
        assert bool(rule.kept_why) is (rule.kept is Kept.NOT_APPLICABLE), rule.id
        parts = {keeper.part for keeper in rule.kept_by}
        if rule.kept is Kept.SETTING:
            assert Part.SETTING in parts, rule.id
        if rule.kept is Kept.ASKED:
            assert parts & {Part.STEP, Part.ORDER, Part.PAGE, Part.RECORD}, rule.id


def test_what_is_computed_says_what_must_be_known() -> None:
    for rule in RULES:
        if rule.kept is Kept.COMPUTED and rule.section not in {Section.RECORDS, Section.EXCHANGE}:
            assert rule.needs, rule.id


# -------------------------------------------------------------------------------------------------- words

STYLE = {
    "a naked decimal point": r"(?<![0-9A-Z])\.[0-9]",
    "a trailing zero": r"[0-9]\.[0-9]*0(?![0-9.])",
    "cc": r"\b[0-9]+ ?cc\b",
    "a Greek mu": "[\u00b5\u03bc]",
    "no space before the unit": r"[0-9](?:mg|mcg|mL|kg|%|h|min)(?![a-z0-9])",
    "ml with a small l": r"\bml\b",
    "a thousand without its comma": r"(?<![0-9.,/;:x-])[1-9][0-9]{4,}(?![0-9])",
    "a word that blames or shouts": r"(?i)\b(?:error|invalid|please|sorry|warning!)",
    "a letter and two digits of a list": r"\b[A-H][0-3][0-9]\b",
}


def _texts(rule: RuleText) -> tuple[str, ...]:
    means = tuple(number.means for number in rule.numbers)
    return (rule.asks, rule.when, rule.requires, rule.note, rule.kept_why, *rule.needs, *means)


@pytest.mark.parametrize("fault", STYLE)
def test_no_rule_is_written_in_a_way_that_is_misread(fault: str) -> None:
    assert [text for rule in RULES for text in _texts(rule) if re.search(STYLE[fault], text)] == []


def test_the_style_patterns_find_what_they_are_for() -> None:
    bad = (".5 mg", "5.0 mg", "5 cc", "5 \u03bcg", "0.5%", "5 ml", "10000 units", "An error", "see A01")
    for (fault, pattern), text in zip(STYLE.items(), bad, strict=True):
        assert re.search(pattern, text), fault


def test_a_question_is_one_and_an_instruction_ends() -> None:
    for rule in RULES:
        assert rule.asks.count("?") == 1, rule.id
        assert rule.requires.endswith("."), rule.id
        assert rule.when.endswith("."), rule.id
        assert len(rule.requires.split()) <= 60, rule.id


def test_a_number_of_our_units_is_a_quantity_and_any_other_stays_text() -> None:
    by_id = {rule.id: rule.numbers for rule in RULES}
    assert str(by_id["vial-28-days"][0].quantity.unit) == "day"  # type: ignore[union-attr]
    assert by_id["stored-as-its-label-says"][0].quantity is None
    assert by_id["stored-as-its-label-says"][0].text == "2 degrees C"
    assert [number.text for number in by_id["no-ratio-strengths"]] == [
        "1 mg/mL",
        "0.1 mg/mL",
        "0.2 mg/mL",
        "0.02 mg/mL",
    ]


# ---------------------------------------------------------------------------------------------- conflicts


def test_there_are_20_conflicts_and_every_side_has_sources() -> None:
    assert len(BOOK.conflicts) == 20
    for conflict in BOOK.conflicts.values():
        assert BOOK.conflicts[conflict.id] is conflict
        assert all(ident in BOOK.sources for side in conflict.sides for ident in side.sources), conflict.id


def test_the_life_of_a_dropper_bottle_and_the_waste_stream_have_no_default() -> None:
    assert {one.id for one in BOOK.conflicts.values() if not one.default} == {
        "28-days-for-a-dropper-bottle",
        "epinephrine-waste",
    }


def test_the_default_of_the_hour_or_four_is_that_of_the_settings() -> None:
    conflict = BOOK.conflicts["one-hour-or-four"]
    assert conflict.setting is not None
    default = getattr(Policy(), conflict.setting.name)
    assert f"{default.value} {default.unit}" == conflict.default == "1 h"


def test_a_setting_of_a_conflict_is_there_or_is_said_to_be_built_yet() -> None:
    for conflict in BOOK.conflicts.values():
        if conflict.setting is not None:
            assert conflict.setting.built is stands(conflict.setting), conflict.id


def test_no_conflict_is_written_in_a_way_that_is_misread() -> None:
    for one in BOOK.conflicts.values():
        texts = (
            one.matter,
            one.why,
            one.default,
            *one.choices,
            *(part for side in one.sides for part in (side.who, side.says)),
        )
        found = [(fault, text) for text in texts for fault, pattern in STYLE.items() if re.search(pattern, text)]
        assert found == [], one.id


# ------------------------------------------------------------------------------------------- loader's faults

GOOD = """section = "waste"
[[rule]]
id = "some-rule"
level = "stop"
asks = "Is it so?"
when = "Always."
requires = "It is so."
containers = ["any"]
who = "anyone"
numbers = [{ value = "2 h", means = "limit" }, { said = "2 people", means = "at least" }]
sources = ["house-reasoning"]
how = "derived"
kept = "asked"
kept_by = ["step: Look."]
"""
SIDES = "[[conflict.side]]\nwho = 'a'\nsays = 'b'\nsources = ['c']\n" * 2
CONFLICT = f"[[conflict]]\nid = 'x-y'\nmatter = 'm'\nchoices = ['p', 'q']\ndefault = 'p'\nwhy = 'w'\n{SIDES}"


@pytest.fixture
def alone(tmp_path: Path) -> Callable[[str, str], Catalogue]:
    """A folder whose rules are empty but for one text of waste, with one text of conflicts."""

    def make(rules: str, conflicts: str = "") -> Catalogue:
        (tmp_path / "rules").mkdir()
        for section in Section:
            name = f"{section.value.replace(' ', '-')}.toml"
            (tmp_path / "rules" / name).write_text(f'section = "{section.value}"\n', encoding="utf-8")
        (tmp_path / "rules" / "waste.toml").write_text(rules, encoding="utf-8")
        (tmp_path / "conflicts.toml").write_text(conflicts, encoding="utf-8")
        return Catalogue(tmp_path)

    return make


def test_the_small_rule_of_these_tests_is_good(alone) -> None:
    (rule,) = alone(GOOD).rules.values()
    assert (rule.section, rule.level, rule.who) == (Section.WASTE, Gravity.STOP, Who.ANYONE)
    assert rule.containers == tuple(Container)
    assert [str(one) for one in rule.kept_by] == ["step: Look."]
    assert [(one.text, one.quantity is None) for one in rule.numbers] == [("2 h", False), ("2 people", True)]


@pytest.mark.parametrize(
    ("old", "new", "field", "rule"),
    [
        ('section = "waste"', 'section = "water"', "rules/waste.section", "one word of a closed list"),
        ('level = "stop"', 'level = "halt"', "rule[0].level", "one word of a closed list"),
        ('asks = "Is it so?"', 'asks = "It is so."', "rule[0].asks", "a question is wanted"),
        ('sources = ["house-reasoning"]', "sources = []", "rule[0].sources", "a rule names its sources"),
        ('containers = ["any"]', 'containers = ["any", "bulk"]', "rule[0].containers", "a kind of container"),
        ('value = "2 h"', 'value = "2 moons"', "numbers[0].value", "unit"),
        ('said = "2 people"', 'sayd = "2 people"', "numbers[1].said", "a text is needed"),
        ('kept = "asked"', 'kept = "not applicable"', "rule[0].kept_why", "a rule that is not kept says why"),
        ('kept = "asked"', 'kept = "not applicable"', "rule[0].kept_by", "what is kept names what keeps it"),
        ('kept_by = ["step: Look."]', "", "rule[0].kept_by", "what is kept names what keeps it"),
        ('"step: Look."', '"steps: Look."', "rule[0].kept_by", "a part of the tool and its name"),
        ('"step: Look."', '"step"', "rule[0].kept_by", "a part of the tool and its name"),
        ('"step: Look."', '"to build: step: "', "rule[0].kept_by", "a part of the tool and its name"),
        ('how = "derived"', 'how = "derived"\nmood = "fine"', "rule[0].mood", "the key is not known here"),
    ],
)
def test_a_fault_in_a_rule_names_its_key_and_its_rule(alone, old: str, new: str, field: str, rule: str) -> None:
    assert old in GOOD
    with pytest.raises(Refused) as refused:
        _ = alone(GOOD.replace(old, new)).rules
    assert [one for one in refused.value.faults if one.field.endswith(field) and rule in one.rule], refused.value


def test_all_faults_of_the_rules_come_together(alone) -> None:
    text = GOOD.replace('level = "stop"', 'level = "halt"').replace("Is it so?", "So.").replace('"any"', '"tin"')
    with pytest.raises(Refused) as refused:
        _ = alone(text).rules
    assert {fault.field.rpartition(".")[2] for fault in refused.value.faults} == {"level", "asks", "containers"}


def test_a_rule_that_stands_twice_is_refused(alone) -> None:
    with pytest.raises(Refused, match="an id stands once"):
        _ = alone(GOOD + GOOD.partition("\n")[2]).rules


def test_a_part_to_be_built_is_said_to_be(alone) -> None:
    (rule,) = alone(GOOD.replace('"step: Look."', '"to build: rule: look-there"')).rules.values()
    assert [(one.part, one.name, one.built) for one in rule.kept_by] == [(Part.RULE, "look-there", False)]
    assert str(rule.kept_by[0]) == "to build: rule: look-there"


@pytest.mark.parametrize(
    ("old", "new", "field", "rule"),
    [
        (SIDES, SIDES[: len(SIDES) // 2], "side", "a conflict has two sides or more"),
        ("sources = ['c']", "sources = []", "sources", "a side names its sources"),
        ("choices = ['p', 'q']", "choices = []", "choices", "what may be chosen is wanted"),
        ("default = 'p'", "default = 'r'", "default", "the default is one of the choices"),
        ("default = 'p'", "default = ''", "setting", "without a default there must be a setting"),
        ("default = 'p'\n", "", "default", "a text is needed"),
        ("why = 'w'", "why = 'w'\nsetting = 'rule: x'", "setting", "a conflict is settled by a setting"),
        ("why = 'w'", "why = 'w'\nsetting = 'x'", "setting", "a part of the tool and its name"),
    ],
)
def test_a_fault_in_a_conflict_names_its_key_and_its_rule(alone, old: str, new: str, field: str, rule: str) -> None:
    assert old in CONFLICT
    with pytest.raises(Refused) as refused:
        _ = alone(GOOD, CONFLICT.replace(old, new)).conflicts
    assert [one for one in refused.value.faults if one.field.endswith(field) and rule in one.rule], refused.value


def test_a_conflict_may_have_no_default_where_a_setting_decides(alone) -> None:
    text = CONFLICT.replace("default = 'p'", "default = ''").replace(
        "why = 'w'", "why = 'w'\nsetting = 'to build: setting: x'"
    )
    (conflict,) = alone(GOOD, text).conflicts.values()
    assert (conflict.default, str(conflict.setting)) == ("", "to build: setting: x")


def test_a_conflict_that_stands_twice_is_refused(alone) -> None:
    with pytest.raises(Refused, match="an id stands once"):
        _ = alone(GOOD, CONFLICT * 2).conflicts
