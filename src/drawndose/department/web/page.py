"""The context of the bench page: everything its templates name, in one place."""

from __future__ import annotations

from dataclasses import dataclass

from drawndose.bench.moments import told
from drawndose.bench.order import Question
from drawndose.bench.order.fields import FIELDS
from drawndose.bench.plans import Plan, Status
from drawndose.bench.working import worked
from drawndose.department.web import shown
from drawndose.department.web.after_filling import after_filling
from drawndose.department.web.answering import Answer, order_words
from drawndose.department.web.asking import can_answer, needs_typing
from drawndose.department.web.eyes import eyes
from drawndose.department.web.sureness import sureness
from drawndose.quantities import show
from drawndose.reference import Catalogue

EXAMPLES = (
    "albuterol 2.5 mg by nebulizer, made up to 3 mL, every 4 hours",
    "levalbuterol 0.63 mg by nebulizer three times daily",
    "epinephrine 5 mg by nebulizer once",
    "racepinephrine 2.25 % 0.05 mL/kg max 0.5 mL by nebulizer, to 3 mL, weight 8 kg",
)

LIGHTS = (("day", "Day", "sun"), ("bright", "Bright", "contrast"), ("night", "Night", "moon"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """One box of the order in fields."""

    name: str
    label: str
    hint: str
    value: str
    decimal: bool = False


OF_A_DRUG = (
    ("drug", "Drug", "albuterol"),
    ("dose", "Dose", "2.5 mg, 0.15 mg per kg, 10 mg per h"),
    ("strength", "Strength named in the order", "0.5 %, 5 mg per mL"),
    ("minimum", "Least dose", "2.5 mg"),
    ("maximum", "Most", "10 mg"),
)
OF_THE_CUP = (("fill", "Volume", "3 mL"), ("diluent", "Diluent", "0.9 % sodium chloride"))
OF_GIVING = (
    ("route", "Route", "by nebulizer"),
    ("device", "Device", "jet nebulizer"),
    ("frequency", "How often", "every 4 hours"),
    ("as_needed", "As needed for", "wheeze"),
    ("duration", "For how long", "4 h"),
    ("output", "Nebulizer output", "25 mL per h"),
    ("cup", "Cup named in the order", "6 mL"),
)
OF_THE_PERSON = (
    ("weight", "Weight", "8 kg"),
    ("age", "Age", "4 years"),
    ("allergies", "Allergies", "sulfites, albuterol, or none known"),
    ("last_dose", "Last dose given", "2026-11-25 10:00"),
)
FILL_RULES = (
    ("", "Not said"),
    ("to a total", "Made up to a total"),
    ("add", "Add this volume"),
    ("undiluted", "Undiluted"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Asks:
    """A question as the page puts it: options to press, a box to type in, or the order to be changed by hand."""

    question: Question
    place: int
    options: tuple[tuple[str, str, str], ...]
    typed: bool
    by_hand: bool


def bench_page(given: Answer, book: Catalogue, light: str) -> dict[str, object]:
    """Everything for the whole page or for its live parts."""
    context: dict[str, object] = {
        "answer": given,
        "asked": given.asked,
        "plan": given.plan,
        "light": light,
        "lights": LIGHTS,
        "examples": EXAMPLES,
        "says": announcement(given),
        "strip": strip(given),
        "drug_names": drug_names(given),
        "named_fields": FIELDS,
        "ticked_packs": sum(row.ticked for row in given.packs),
        "ticked_tools": sum(ticked for row in given.tools for _, ticked in row.tips),
        "all_tools": sum(len(row.tips) for row in given.tools),
        **_boxes(given),
    }
    if given.plan is not None:
        context |= plan_parts(given.plan, given, book)
    return context


def plan_parts(plan: Plan, given: Answer, book: Catalogue, prefix: str = "") -> dict[str, object]:
    """What the plan's own region shows."""
    icon, words = shown.status(plan)
    return {
        "status_icon": icon,
        "status_words": words,
        "ready": plan.status is Status.READY,
        "stopped": plan.status is Status.STOPPED,
        "draw_ups": shown.draw_ups(plan, prefix),
        "after": after_filling(plan, book),
        "sure": sureness(plan, given.asked.sure, book),
        "eyes": eyes(plan, given.asked.eyes, book, prefix),
        "found": shown.findings(plan.findings, book),
        "ways_out": shown.other_ways_out(plan),
        "blocking": tuple(ask for ask in _asks(plan, given) if ask.question.blocking),
        "open_questions": tuple(ask for ask in _asks(plan, given) if not ask.question.blocking),
        "choices": _choices(plan),
        "diluent": shown.diluent(plan, prefix),
        "diluent_error": shown.diluent_error(plan),
        "cup_figure": shown.cup(plan, prefix),
        "label_says": shown.label_says(plan, book),
        "settings": shown.settings_used(plan),
        "working": worked(plan),
        "begins": told(given.started) if given.started is not None else "",
        "until": told(plan.limit.until) if plan.limit is not None and plan.limit.until is not None else "",
        "limit_source": shown.source_words(plan.limit.origin, book) if plan.limit is not None else "",
        "leftovers": tuple((rest, shown.source_words(rest.origin, book)) for rest in plan.leftovers),
    }


def announcement(given: Answer) -> str:
    """The status line."""
    if given.faults:
        count = len(given.faults)
        return f"{count} thing{'s' if count > 1 else ''} could not be accepted. No plan."
    if given.plan is None:
        return "No order yet."
    return shown.announced(given.plan)


def strip(given: Answer) -> str:
    """The order for the top of the page, uncut; "" while there is none."""
    return order_words(given.asked, given.order) if given.order is not None else ""


def drug_names(given: Answer) -> tuple[str, ...]:
    """The drugs as the order writes them."""
    return tuple(line.as_written for line in given.order.lines) if given.order is not None else ()


def _boxes(given: Answer) -> dict[str, object]:
    fields = given.asked.fields

    def boxes(rows: tuple[tuple[str, str, str], ...], suffix: str = "") -> tuple[Box, ...]:
        return tuple(
            Box(name=f"{name}{suffix}", label=label, hint=hint, value=fields.get(f"{name}{suffix}", ""))
            for name, label, hint in rows
        )

    drugs = tuple((number, boxes(OF_A_DRUG, suffix)) for number, suffix in ((1, ""), (2, "_2"), (3, "_3")))
    return {
        "drug_boxes": drugs,
        "cup_boxes": boxes(OF_THE_CUP),
        "giving_boxes": boxes(OF_GIVING),
        "person_boxes": boxes(OF_THE_PERSON),
        "fill_rules": FILL_RULES,
        "fill_rule": fields.get("fill_rule", ""),
        "fields_open": given.asked.in_fields,
        "bench_open": _bench_changed(given),
    }


def _bench_changed(given: Answer) -> bool:
    """True when the bench is not as it comes: the list then stays open."""
    rows = any(not row.ticked or row.count or row.left for row in given.packs)
    tools = any(not ticked for row in given.tools for _, ticked in row.tips)
    return rows or tools or any(fault.field.startswith(("count-", "left-")) for fault in given.faults)


def _asks(plan: Plan, given: Answer) -> tuple[Asks, ...]:
    """The questions, each option as name and value of its button, where it is certain what a press would change."""
    found = []
    for place, question in enumerate(plan.questions, start=1):
        if question.field == "equivalence":
            options = tuple((option, "take-equivalence", option.partition(":")[0]) for option in question.options)
        elif question.field == "cup":
            options = tuple((cup.name, "take-cup", cup.id) for cup in given.cups)
        else:
            options = tuple(
                (one, "answer", f"{question.field}|{one}|{question.asks}")
                for one in question.options
                if can_answer(given.asked, plan.order, question.field, one, question.asks)
            )
        typed = needs_typing(question) and can_answer(given.asked, plan.order, question.field, "", question.asks)
        by_hand = not options and not typed
        found.append(Asks(question=question, place=place, options=options, typed=typed, by_hand=by_hand))
    return tuple(found)


def _choices(plan: Plan) -> tuple[dict[str, object], ...]:
    """Each choice of a line: what it would give, as buttons that name the container and instrument they are for."""
    return tuple(
        {
            "container": choice.container,
            "instrument": choice.instrument.name,
            "asked": choice.asked,
            "lines": tuple(
                (show(line), f"{show(line)}@{choice.key}", given, change) for line, given, change in choice.lines
            ),
        }
        for choice in plan.choices
    )
