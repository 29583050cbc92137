"""Give: the right person by two identifiers, what was seen before, and that giving starts now. Or not given: why, and who was told.

A scan or Enter matches the person and never gives: the first button of the form is the harmless one.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_http_methods

from drawndose.department.pages.acting import Outcome, act
from drawndose.department.pages.heard import What, hear
from drawndose.department.pages.own_codes import code_of, of_code
from drawndose.department.pages.sheet.draw import Button
from drawndose.department.pages.sheet.frame import Stop, acted, address, draft_name, go, held, on_sheet, shown, typed_in
from drawndose.department.pages.typed import read_clock, read_day
from drawndose.department.people.roles import Right
from drawndose.department.work import giving
from drawndose.department.work.models import Patient, Preparation
from drawndose.department.work.observing import SEEN, prompts, read_seen
from drawndose.quantities import Fault, Refused

BETWEEN = re.compile(r"[;|^]|\s+(?=\d{4}-?\d{2}-?\d{2}$)")
"""What stands between a number and a birth date in one code."""
FITS = "is this person's"
REASONS = ("asleep or away", "refused", "held by the prescriber", "its limit has passed", "spilled or contaminated")
"""Why a dose is not given, to press; any other is typed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Matched:
    """The person as scanned or typed, held against the person of the sheet. says: in words, one for each identifier."""

    number: str
    born: str
    iso: str
    number_fits: bool
    born_fits: bool
    says: tuple[tuple[bool, str], ...]

    @property
    def both(self) -> bool:
        """Two identifiers of this person."""
        return self.number_fits and self.born_fits


@require_http_methods(["GET", "HEAD", "POST"])
@on_sheet(Right.GIVE)
def give(request: HttpRequest, made: Preparation) -> HttpResponse:
    """The giving's place. POST: match the person, look at a label, given now, or not given."""
    if request.method != "POST":
        return _page(request, made)
    do = request.POST.get("do", "match")
    if do == "given":
        outcome = acted(request, made, lambda form: _given(request, made, form.fields, form.version, form.key))
    elif do == "not-given":
        outcome = acted(
            request, made, lambda form: _not_given(request, made, form.fields, form.version, form.key), on_held=True
        )
    else:
        return _page(request, made, _match_only(request, made))
    if not outcome.done:
        return _page(request, made, outcome)
    return go(request, address(made, "close"), outcome, draft_name(made, "give"))


def _match_only(request: HttpRequest, made: Preparation) -> Outcome | None:
    """What a match brings to light: a label of another sheet, or a person who is another one. Nothing is recorded."""
    scanned = request.POST.get("number", "").strip()
    outcome = act(lambda: _label_or_person(scanned, made))
    return outcome if not outcome.done else None


def _label_or_person(scanned: str, made: Preparation) -> None:
    mine = of_code(scanned) if scanned else None
    if mine is not None and mine != made:
        rule = "this label is of another sheet"
        if isinstance(mine, Preparation):
            rule = f"this label is for {mine.order.patient.name}, no. {mine.order.patient.number}"
        raise Refused([Fault(field="label", rule=rule, came=scanned, accepted=f"the label {code_of(made)}")])
    matched = match(scanned, "", made)
    if mine is None and scanned and not matched.number_fits:
        found = act(lambda: hear(scanned, made.order.site))
        if found.done and found.value.what is not What.PERSON:
            rule = f"this is {found.value.what.value}; here the person or the label is scanned"
            raise Refused([Fault(field="scan", rule=rule, came=scanned, accepted="the person's number")])


def match(number: str, born: str, made: Preparation) -> Matched:
    """Hold what was scanned or typed against the person of the sheet. One code may hold both, as in 204118;1961-11-05."""
    patient: Patient = made.order.patient
    parts = [part for part in BETWEEN.split(number.strip()) if part]
    number, born = (parts[0], born or parts[1]) if len(parts) == 2 else (number.strip(), born.strip())
    day = act(lambda: read_day(born, "birth date")) if born else None
    iso = day.value.isoformat() if day is not None and day.done else ""
    fits, born_fits = number == patient.number, iso == patient.born.isoformat()
    says: list[tuple[bool, str]] = []
    if number:
        other = Patient.objects.filter(number=number).first()
        wrong = f"is the number of {other.name}" if other is not None else "is no number of this person"
        says.append((fits, f"No. {number} {FITS if fits else wrong}."))
    if born:
        told = f"Born {day.value:%d %b %Y}" if iso and day is not None else f"Birth date {born}"
        wrong = "is not this person's birth date" if iso else "cannot be read; type it as 05 Nov 1961"
        says.append((born_fits, f"{told} {FITS if born_fits else wrong}."))
    return Matched(number=number, born=born, iso=iso, number_fits=fits, born_fits=born_fits, says=tuple(says))


def _given(request: HttpRequest, made: Preparation, fields: dict[str, str], version: int, key: str) -> None:
    found = match(fields.get("number", ""), fields.get("born", ""), made)
    seen = read_seen({one.name: fields.get(f"before {one.name}", "") for one in SEEN}, "before")
    started = read_clock(fields["started"], made.order.site, "started") if fields.get("started") else None
    giving.give(
        made,
        found.number,
        found.iso,
        by=request.user,
        version=version,
        observed=seen,
        started=started,
        rights=_ticked(fields),
        key=key,
    )


def _ticked(fields: dict[str, str]) -> tuple[str, ...]:
    """The rights of the policy that were confirmed."""
    return tuple(one for one in giving.more_rights() if fields.get(f"right {one}") == "yes")


def _not_given(request: HttpRequest, made: Preparation, fields: dict[str, str], version: int, key: str) -> None:
    reason = fields.get("other reason") or fields.get("reason", "")
    giving.not_given(made, by=request.user, version=version, reason=reason, told=fields.get("told", ""), key=key)


def _page(request: HttpRequest, made: Preparation, outcome: Outcome | None = None) -> HttpResponse:
    if made.state != "labelled":
        return shown(request, made, "give", {"waits": made.state in {"begun", "planned", "drawn"}}, outcome=outcome)
    fields = typed_in(request, made, "give")
    number = fields.get("number", "")
    label_seen = "yes" in {fields.get("label-seen", ""), request.GET.get("label", "")} or of_code_is(number, made)
    if of_code_is(number, made):
        number = fields.get("number-before", "")
    found = match(number, fields.get("born", ""), made)
    seen = act(lambda: read_seen({one.name: fields.get(f"before {one.name}", "") for one in SEEN}, "before"))
    stops = held(made)
    context: dict[str, Any] = {
        "stops": (*stops, *_wrong_person(found)),
        "matched": found,
        "label_seen": label_seen,
        "code": code_of(made),
        "boxes": boxes("before", fields),
        "rights": [(one, one in _ticked(fields)) for one in giving.more_rights()],
        "prompts": prompts(seen.value or {}, {}) if seen.done else (),
        "reasons": REASONS,
        "due": made.dose,
        "button": _button(made, stops, found),
        "not_given_open": fields.get("do") == "not-given" or bool(stops),
    }
    return shown(request, made, "give", context, outcome=outcome)


def of_code_is(text: str, made: Preparation) -> bool:
    """True for the code of this sheet's own label."""
    found = act(lambda: of_code(text)) if text else None
    return found is not None and found.done and found.value == made


def boxes(when: str, fields: Any) -> tuple[tuple[str, str, str, str], ...]:
    """A box for each thing that may be noted: field name, word, unit, what was typed."""
    return tuple((f"{when} {one.name}", one.name, one.unit, fields.get(f"{when} {one.name}", "")) for one in SEEN)


def _wrong_person(found: Matched) -> tuple[Stop, ...]:
    """A stop for whatever does not fit: nothing is given while it stands."""
    wrong = [says for fits, says in found.says if not fits]
    if not wrong:
        return ()
    do = "Look at the band and the label again; ask the person for name and birth date."
    return (Stop(says=" ".join(wrong), do=do, source="the person of this sheet, and what was scanned or typed."),)


def _button(made: Preparation, stops: tuple[Stop, ...], found: Matched) -> Button:
    if stops:
        return Button(words="Say that it is not given", to="#not-given")
    if not found.both:
        return Button(words="Match the person", form="give-form", value="match")
    return Button(words="Given now", form="give-form", value="given")
