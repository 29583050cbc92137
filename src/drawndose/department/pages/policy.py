"""The policy: every setting with its value, source and effect, changed with a reason; where issuers disagree, who says what; stock levels."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from drawndose.department.ledger.models import Event
from drawndose.department.pages.access import allowed
from drawndose.department.pages.acting import act, new_key, sent
from drawndose.department.pages.links import may_any
from drawndose.department.pages.page import page
from drawndose.department.pages.sites import site_of
from drawndose.department.people.roles import Right
from drawndose.department.work import policy as service
from drawndose.department.work import stock
from drawndose.department.work.change import volume_words
from drawndose.department.work.choices import Choice
from drawndose.department.work.models import Setting, StockLevel
from drawndose.reference import Source, load
from drawndose.reference.conflict import Conflict

MOST = 50
"""Changes that the history of a setting shows, the newest first."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One setting as the page shows it. value: in force, in words. chosen: it was chosen here; text: as it was typed then."""

    choice: Choice
    value: str
    default: str
    chosen: bool
    text: str
    reason: str

    @property
    def title(self) -> str:
        """What it means, as a heading."""
        return self.choice.means[:1].upper() + self.choice.means[1:]


def _rows() -> list[Row]:
    chosen = {row.name: row for row in Setting.objects.all()}
    defaults = service.defaults()
    return [_row(one, chosen.get(one.name), defaults[one.name]) for one in service.CHOICES]


def _row(one: Choice, row: Setting | None, default: object) -> Row:
    value = one.read(row.value, one.name) if row is not None else default
    return Row(
        choice=one,
        value=service.shown(one.name, value),
        default=service.shown(one.name, default),
        chosen=row is not None,
        text=row.value if row is not None else "",
        reason=row.reason if row is not None else "",
    )


@require_safe
@allowed(Right.SEE_WORK)
def policy(request: HttpRequest) -> HttpResponse:
    """Every setting, and every matter on which issuers disagree."""
    book = load()
    rows = _rows()
    by_name = {row.choice.name: row for row in rows}
    wanted = request.GET.get("q", "").strip()
    context = {
        "here": "policy",
        "rows": rows,
        "wanted": wanted,
        "shown": [row for row in rows if _speaks_of(row, wanted)],
        "conflicts": [_conflict(one, by_name, book.sources) for one in book.conflicts.values()],
        "sets": may_any(request.user, Right.SET_POLICY),
        "chosen": sum(row.chosen for row in rows),
    }
    return page(request, "department/policy.html", context)


def _speaks_of(row: Row, wanted: str) -> bool:
    """True for a setting in which every word stands that is looked for."""
    said = f"{row.choice.name} {row.title} {row.value} {row.choice.effect} {row.choice.source}".lower()
    return all(word in said for word in wanted.lower().split())


def _conflict(one: Conflict, rows: dict[str, Row], sources: dict[str, Source]) -> dict[str, Any]:
    """One matter: who says what out of which texts, and what is in force here."""
    sides = [(side.who, side.says, [_source(sources[ident]) for ident in side.sources]) for side in one.sides]
    row = rows.get(one.setting.name) if one.setting is not None and one.setting.built else None
    in_force = row.value if row is not None and row.chosen else one.default or "nobody has chosen"
    return {"conflict": one, "sides": sides, "row": row, "in_force": in_force}


def _source(source: Source) -> str:
    return f"{source.title} ({source.how.value})" if source.how is not None else source.title


@require_http_methods(["GET", "HEAD", "POST"])
@allowed(Right.SET_POLICY)
def setting(request: HttpRequest, name: str) -> HttpResponse:
    """Choose one setting, with a reason; an empty box goes back to the default."""
    one = service.EVERY.get(name)
    if one is None:
        told = {
            "title": "No such setting",
            "words": "There is no setting of this name.",
            "do": "Choose it on the policy page.",
        }
        return page(request, "department/told.html", told, status=404)
    outcome, form = None, sent(request)
    if request.method == "POST":
        text, reason = form.fields.get("value", ""), form.fields.get("reason", "")
        text = "" if "default" in request.POST else text
        seen = request.POST.get("seen", "")
        outcome = act(
            lambda: service.choose(name, text, reason=reason, by=request.user, seen=seen, key=form.key), key=form.key
        )
        if outcome.done:
            return HttpResponseRedirect(f"{reverse('policy')}#{name}")
    row = next(each for each in _rows() if each.choice.name == name)
    context = {
        "here": "policy",
        "row": None,
        "setting": row,
        "outcome": outcome,
        "key": new_key(),
        "typed": form.fields if outcome is not None else {"value": row.text},
        "site": site_of(request),
        "events": Event.objects.filter(subject_kind="setting", subject=name).order_by("-number")[:MOST],
    }
    return page(request, "department/setting.html", context, status=outcome.status if outcome is not None else 200)


@require_http_methods(["GET", "HEAD", "POST"])
@allowed(Right.SET_POLICY)
def stock_level(request: HttpRequest) -> HttpResponse:
    """When to reorder one product, and what one dose of it takes."""
    of = request.POST.get("of") or request.GET.get("of", "")
    record = next((one for one in load().presentations if one.id == of), None)
    if record is None:
        told = {
            "title": "No such product",
            "words": "The catalogue has no such product.",
            "do": "Choose it on the shelf.",
        }
        return page(request, "department/told.html", told, status=404)
    outcome, form = None, sent(request)
    if request.method == "POST":
        box = form.fields.get
        outcome = act(
            lambda: stock.set_level(
                of,
                box("reorder_at", ""),
                box("a_dose", ""),
                by=request.user,
                reason=box("reason", ""),
                key=form.key,
            ),
            key=form.key,
        )
        if outcome.done:
            return HttpResponseRedirect(f"{reverse('shelf')}#{of}")
    level = StockLevel.objects.filter(presentation=of).first()
    typed = form.fields if outcome is not None else _level_typed(level)
    context = {
        "here": "shelf",
        "row": None,
        "record": record,
        "level": level,
        "takes": stock.dose_nl(record, None)[1],
        "outcome": outcome,
        "key": new_key(),
        "typed": typed,
    }
    return page(request, "department/stock_level.html", context, status=outcome.status if outcome is not None else 200)


def _level_typed(level: StockLevel | None) -> dict[str, str]:
    if level is None:
        return {}
    at = str(level.reorder_at) if level.reorder_at is not None else ""
    return {"reorder_at": at, "a_dose": volume_words(level.dose_nl) if level.dose_nl is not None else ""}
