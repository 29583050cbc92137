"""What the order pages show: the words as written beside the engine's reading, what is still asked, what stands against it, when it is due."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import datetime
from itertools import islice
from typing import Any

from django.http import QueryDict

from drawndose.bench.course import course
from drawndose.bench.dosing import resolve
from drawndose.bench.findings import Finding
from drawndose.bench.moments import told
from drawndose.bench.order import Order as Reading
from drawndose.bench.safeguards import each_ordered, in_order, order_findings
from drawndose.bench.safeguards.typed import Typed as Text
from drawndose.bench.safeguards.typed import text_findings
from drawndose.department.ledger.append import now
from drawndose.department.pages.typed import read_clock
from drawndose.department.web.answering import pieces_of
from drawndose.department.web.asking import Asked, answered, answers, can_answer
from drawndose.department.web.shown import findings
from drawndose.department.work.models import Order, Patient, Site
from drawndose.department.work.orders import Written, hold_reason, reading_of
from drawndose.department.work.patients import allergy_words, weight_words
from drawndose.department.work.places import local, zone_of
from drawndose.department.work.policy import policy
from drawndose.department.work.reading import with_facts
from drawndose.department.work.times import moments
from drawndose.quantities import Gathering, Refused, gather, show
from drawndose.reference import load

SHOWN_DOSES = 5
"""Due times that are shown before an order is entered."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Typed:
    """An order as it stands in the form.

    for_what: the reason for the drug. reason: the reason for a change. read: the mark of the words whose reading was on the page.
    """

    text: str = ""
    prescriber: str = ""
    ordered: str = ""
    first: str = ""
    spoken: bool = False
    read_back: bool = False
    reason: str = ""
    for_what: str = ""
    read: str = ""

    def written(self, site: Site) -> Written:
        """As it is entered. Refused with everything that cannot be read."""
        taking = Gathering()
        ordered = taking.take(lambda: read_clock(self.ordered, site, "ordered"))
        first = taking.take(lambda: read_clock(self.first, site, "first dose"))
        taking.take(lambda: hold_reason(self.text, self.for_what))
        made = Written(
            text=self.text,
            prescriber=self.prescriber,
            ordered_at=ordered or now(),
            first_at=first or ordered or now(),
            spoken=self.spoken,
            read_back=self.read_back,
            reason=self.for_what,
        )
        taking.take(made.hold)
        gather(taking.faults)
        return made


def read_form(post: QueryDict) -> Typed:
    """The form, with an answer that was pressed put into its words."""
    text = post.get("order", "").replace("\r\n", "\n")
    for name, said, asks in answers(post):
        text = answered(Asked(text=text), _reading_or_none(text), name, said, asks).text
    return Typed(
        text=text,
        prescriber=post.get("prescriber", "").strip(),
        ordered=post.get("ordered", "").strip(),
        first=post.get("first", "").strip(),
        spoken=post.get("came") == "spoken",
        read_back="read_back" in post,
        reason=post.get("reason", "").strip(),
        for_what=post.get("for what", "").strip(),
        read=post.get("read", ""),
    )


def fresh(site: Site, order: Order | None = None) -> Typed:
    """An empty form, or one with the words of the order that is changed."""
    clock = f"{local(site, now()):%H:%M}"
    if order is None:
        return Typed(ordered=clock, first=clock)
    return Typed(text=order.text, prescriber=order.prescriber, ordered=clock, first=clock, for_what=order.reason)


def mark_of(text: str, patient: Patient) -> str:
    """A short mark of words and patient: a reading that was looked at is one of these words for this patient."""
    told_of = (text.strip(), str(patient.pk), str(patient.version))
    return hashlib.sha256("\n".join(told_of).encode()).hexdigest()[:16]


def _reading_or_none(text: str) -> Reading | None:
    try:
        return reading_of(text)
    except Refused:
        return None


def read_part(typed: Typed, patient: Patient, site: Site, changed: Order | None = None) -> dict[str, Any]:
    """What was read, or where it stopped, with the mark that the form sends back. changed: the order that these words replace."""
    asked = Asked(text=typed.text)
    try:
        plain = reading_of(typed.text)
    except Refused as refused:
        return {
            "pieces": pieces_of(asked, None, list(refused.faults)),
            "not_read": refused.faults,
            "read_mark": "",
        }
    moment = local(site, now())
    reading = with_facts(plain, patient, patient.weight_g, moment.date())
    return {
        "pieces": pieces_of(asked, plain, []),
        "reading": reading,
        "read_mark": mark_of(typed.text, patient),
        "asks": [_ask(asked, plain, one) for one in reading.questions],
        "blocking": reading.blocking,
        "found": findings(judged(reading, moment, typed.for_what), load()),
        "facts": facts_of(reading, patient),
        "beside": _beside(reading, patient, changed),
        "due": _due(reading, typed, site),
    }


def _beside(reading: Reading, patient: Patient, changed: Order | None) -> list[Order]:
    """Orders of this patient that stand already and hold a drug of this one."""
    drugs = {line.drug.id for line in reading.lines}
    standing = Order.objects.filter(patient=patient, state__in=("entered", "complete", "on hold")).select_related(
        "site"
    )
    others = (one for one in standing if changed is None or one.pk != changed.pk)
    return [one for one in others if drugs & {line.drug.id for line in _lines(one.text)}]


def _lines(text: str) -> Any:
    reading = _reading_or_none(text)
    return reading.lines if reading is not None else ()


def _ask(asked: Asked, reading: Reading, question: Any) -> dict[str, Any]:
    options = [
        (option, f"{question.field}|{option}|{question.asks}")
        for option in question.options
        if can_answer(asked, reading, question.field, option, question.asks)
    ]
    return {"question": question, "options": options}


def judged(reading: Reading, moment: datetime, for_what: str) -> tuple[Finding, ...]:
    """What stands against an order by itself, whatever it is taken from, and against what it is said to be for. Of the dose nothing is
    said while something must be asked first."""
    spelled = (*text_findings(Text("order", reading.text)), *text_findings(Text("what it is for", for_what)))
    if reading.blocking or not reading.lines:
        return spelled
    doses = tuple(resolve(line, reading) for line in reading.lines)
    return in_order((*order_findings(each_ordered(reading, doses, load(), policy(), moment)), *spelled))


def facts_of(reading: Reading, patient: Patient) -> list[tuple[str, str]]:
    """What of the patient the order counts with; where the words name another weight than the record, both."""
    known = reading.patient
    weight = weight_words(patient)
    if known.weight is not None and patient.weight_g is not None and known.weight.value * 1000 != patient.weight_g:
        weight = f"{show(known.weight)} by the order; the record: {weight}"
    elif known.weight is not None and patient.weight_g is None:
        weight = f"{show(known.weight)} by the order; the record has none"
    age = show(known.age) if known.age is not None else "Unknown"
    return [("Weight", weight), ("Age", age), ("Allergies", allergy_words(patient))]


def _due(reading: Reading, typed: Typed, site: Site) -> list[str]:
    """The first due times, by the clock of the site, and how it goes on; none where the first one cannot be read, or none follows by itself."""
    try:
        first = read_clock(typed.first, site, "first dose")
    except Refused:
        return []
    asked = course(reading)
    found = list(islice(moments(reading, zone_of(site), first), asked or SHOWN_DOSES))
    shown = [told(local(site, moment)) for moment in found[:SHOWN_DOSES]]
    if found and asked:
        shown.append(f"{asked} in all, the last one {told(local(site, found[-1]))}")
    elif len(shown) == SHOWN_DOSES:
        shown.append("and so on")
    return shown
