"""What the form holds: the order in words or in fields, what stands on the bench, what was chosen; and what a press changes.

Everything typed is kept as typed, so that a page which refuses something can show it again. A press (an option of a
question, a line, an example) changes the form first; only then is the order read.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from django.http import QueryDict

from drawndose.bench.order import Order, Question, Span
from drawndose.bench.order.doses import RANGE
from drawndose.bench.order.fields import FIELDS
from drawndose.bench.order.model import FillRule

APPENDED = {"weight": "weight ", "duration": "for ", "output": "output "}
"""What a typed answer needs before it to be read as what was asked."""

TO_FIELD = {"as needed": "as_needed"}

OF_ONE_DRUG = frozenset({"drug", "dose", "strength"})
REPLACED = frozenset({"fill", "diluent", "drug", "dose", "frequency", "weight", "duration", "output"})
"""Fields whose answer takes the place of the words that raised the question; any other is added at the end."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """The form as it came. packs and tools are what is ticked, listed what could be ticked; both by key or id.

    started: when preparing begins, as typed; empty for now; None where the form does not say. sure: the settings of how sure a dose is. eyes: where the eye stands and what air is seen, for each drawing. Neither
    changes the plan.
    """

    text: str = ""
    fields: Mapping[str, str] = field(default_factory=dict)
    packs: frozenset[str] = frozenset()
    listed: frozenset[str] = frozenset()
    counts: Mapping[str, str] = field(default_factory=dict)
    lefts: Mapping[str, str] = field(default_factory=dict)
    tools: frozenset[str] = frozenset()
    tools_listed: bool = False
    cup: str = ""
    started: str | None = None
    equivalences: tuple[str, ...] = ()
    line: str = ""
    line_for: str = ""
    sure: Mapping[str, str] = field(default_factory=dict)
    eyes: Mapping[str, str] = field(default_factory=dict)

    @property
    def line_words(self) -> str:
        """The accepted line without the container and instrument that it is for."""
        return self.line.partition("@")[0]

    @property
    def in_fields(self) -> bool:
        """True when any field of the order is filled in."""
        return any(value.strip() for value in self.fields.values())

    @property
    def empty(self) -> bool:
        """True when there is no order yet."""
        return not self.text.strip() and not self.in_fields


def read_form(post: QueryDict) -> Asked:
    """The form's own state, before any press is applied."""
    return Asked(
        text=post.get("order", "").replace("\r\n", "\n"),
        fields={name: post.get(f"field-{name}", "") for name in FIELDS},
        packs=frozenset(post.getlist("pack")),
        listed=frozenset(post.getlist("listed")),
        counts=_of_each(post, "count-"),
        lefts=_of_each(post, "left-"),
        tools=frozenset(post.getlist("tool")),
        tools_listed="tools-listed" in post,
        cup=post.get("cup", ""),
        started=post.get("started"),
        equivalences=tuple(dict.fromkeys(post.getlist("equivalence"))),
        line=post.get("line", ""),
        line_for=post.get("line-for", ""),
        sure=_of_each(post, "sure-"),
        eyes=_of_each(post, "eye-"),
    )


def _of_each(post: QueryDict, prefix: str) -> dict[str, str]:
    return {name.removeprefix(prefix): post[name].strip() for name in post if name.startswith(prefix)}


def pressed(asked: Asked, post: QueryDict) -> Asked:
    """The form after the press that sent it. A press on the filled button changes nothing."""
    if "example" in post:
        return replace(asked, text=post["example"], fields={})
    if "clear" in post:
        return replace(asked, text="") if post["clear"] == "words" else replace(asked, fields={})
    if "tick" in post:
        return _ticked(asked, post["tick"])
    if "take-cup" in post:
        return replace(asked, cup=post["take-cup"])
    if "take-equivalence" in post:
        return replace(asked, equivalences=(*asked.equivalences, post["take-equivalence"]))
    if "take-line" in post:
        return replace(asked, line=post["take-line"], line_for=post.get("order-as-read", ""))
    if "drop" in post:
        return _dropped(asked, post["drop"])
    return asked


def _ticked(asked: Asked, which: str) -> Asked:
    if which in {"packs", "no-packs"}:
        return replace(asked, packs=asked.listed if which == "packs" else frozenset())
    return replace(asked, tools=frozenset(), tools_listed=which != "tools")


def _dropped(asked: Asked, which: str) -> Asked:
    if which == "line":
        return replace(asked, line="", line_for="")
    return replace(asked, equivalences=tuple(one for one in asked.equivalences if one != which))


def answers(post: QueryDict) -> list[tuple[str, str, str]]:
    """What a press or a typed answer says to the order's questions: field, answer, and the question's own words."""
    found = []
    if "answer" in post:
        name, _, rest = post["answer"].partition("|")
        option, _, asks = rest.partition("|")
        found.append((name, option, asks))
    # A box is an answer only when something was pressed: the live page also sends the form while "8 kg" is still "8".
    for key in post if "go" in post else ():
        if key.startswith("tell-") and (said := post[key].strip()):
            name = key.removeprefix("tell-").rstrip("0123456789").rstrip("-")
            found.append((name, said, ""))
    return found


def can_answer(asked: Asked, order: Order, name: str, answer: str, asks: str) -> bool:
    """True when it is certain where an answer belongs. In an order of several drugs a dose must never reach another one."""
    several = len(order.lines) > 1
    if name not in OF_ONE_DRUG:
        return True
    if answer.startswith("divided") or asked.in_fields:
        return not several
    if name == "drug":
        return len(_drug_spans(order, asks)) == 1
    if any(span.field == name for span in order.spans):
        return name == "dose" and len(_ranges(order)) == 1
    return not several


def answered(asked: Asked, order: Order | None, name: str, answer: str, asks: str) -> Asked:
    """The form with one answer in it: in its field, or in the words where they were read as that field, or at their end."""
    if order is None or not can_answer(asked, order, name, answer, asks):
        return asked
    if asked.in_fields and not asked.text.strip():
        return _in_field(asked, name, answer)
    said = answer if answer.startswith(APPENDED.get(name, "")) else f"{APPENDED[name]}{answer}"
    place = _place(order, name, answer, asks)
    if place is None:
        return replace(asked, text=f"{asked.text.rstrip(' ,.;')}, {said}")
    start, end, kept = place
    before, after = order.text[:start].rstrip(), order.text[end:].lstrip()
    glue = "" if not after or after[0] in ",.;" else " "
    return replace(asked, text=f"{before} {said}{kept}{glue}{after}".strip())


def _place(order: Order, name: str, answer: str, asks: str) -> tuple[int, int, str] | None:
    """Which words of the order the answer replaces, and what must be said again after it."""
    if name not in REPLACED or answer.startswith("divided"):
        return None
    spans = [span for span in order.spans if span.field == name]
    if name in {"drug", "dose"}:
        spans = _drug_spans(order, asks) if name == "drug" else _ranges(order)
    if not spans:
        return None
    own_words = any(one.field == "diluent" for one in order.spans)
    kept = f" with {order.diluent}" if name == "fill" and order.diluent and not own_words else ""
    return spans[0].start, spans[0].end, kept


def _drug_spans(order: Order, asks: str) -> list[Span]:
    """Where the drug stands that a question names first."""
    drugs = [span for span in order.spans if span.field == "drug"]
    return [span for span in drugs if asks.startswith(f"{order.text[span.start : span.end]}:")]


def _ranges(order: Order) -> list[Span]:
    """The doses that are written as a range."""
    doses = [span for span in order.spans if span.field == "dose"]
    return [span for span in doses if RANGE.fullmatch(order.text[span.start : span.end])]


def _in_field(asked: Asked, name: str, answer: str) -> Asked:
    fields = dict(asked.fields)
    if name == "fill":
        rule = FillRule.ADD if answer.startswith("add ") else FillRule.TO_TOTAL
        fields["fill_rule"] = rule.value
        fields["fill"] = answer.removeprefix("add ").removeprefix("made up to ")
    elif answer.startswith("divided"):
        fields["dose"] = f"{fields.get('dose', '')}, {answer}"
    else:
        fields[TO_FIELD.get(name, name)] = answer.removeprefix("with ") if name == "diluent" else answer
    return replace(asked, fields=fields)


def needs_typing(question: Question) -> bool:
    """True when a question has no options: its answer is typed. A cup is chosen on the bench, never typed."""
    return not question.options and question.field != "cup"
