"""Containers as a sheet shows them: a card for each on the tray, and rows of the shelf that fit, this person's own first."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from drawndose.bench import drawing
from drawndose.bench.condition import Condition
from drawndose.bench.findings import Finding, Level
from drawndose.bench.moments import told, told_day
from drawndose.bench.policy import Policy
from drawndose.bench.safeguards import AtHand, container_findings
from drawndose.bench.steps import strength_words
from drawndose.department.ledger.append import now
from drawndose.department.work import shelf
from drawndose.department.work.change import millilitres, volume_words
from drawndose.department.work.checklist import kind_of
from drawndose.department.work.models import Container, Patient, Preparation
from drawndose.department.work.orders import reading_of
from drawndose.department.work.places import local
from drawndose.department.work.planning import DRAWABLE
from drawndose.department.work.policy import policy
from drawndose.reference import Container as Shape
from drawndose.reference import Presentation, load

MOST = 60
"""Rows of the shelf on one page."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """One container in words and as a drawing. findings: what stands against it now."""

    row: Container
    name: str
    strength: str
    expires: str
    opened: str
    left: str
    owner: str
    scanned: bool
    figure: drawing.Figure | None
    findings: tuple[Finding, ...]

    @property
    def stops(self) -> tuple[Finding, ...]:
        """What forbids to use it."""
        return tuple(one for one in self.findings if one.level is Level.STOP)


@dataclass(frozen=True, slots=True, kw_only=True)
class ShelfRow:
    """Containers on the shelf that are alike (product, size, lot), or one that is open. count: how many are left to take."""

    first: Container
    name: str
    strength: str
    expires: str
    state: str
    count: int
    diluent: bool


def card_of(row: Container, patient: Patient, *, scanned: bool) -> Card:
    """One container of the tray."""
    record, site = load().presentation(row.presentation), row.site
    moment = local(site, now())
    return Card(
        row=row,
        name=record.name,
        strength=" with ".join(strength_words(active) for active in record.actives),
        expires=told_day(row.expiry),
        opened=_opened(row),
        left=volume_words(row.left_nl),
        owner=_owner(row, patient),
        scanned=scanned,
        figure=_figure(row, record),
        findings=shelf.findings(row, moment, patient),
    )


def _opened(row: Container) -> str:
    if row.opened_at is None:
        return "not opened yet"
    until = f", used until the end of {told_day(row.discard_after)}" if row.discard_after is not None else ""
    return f"opened {told(local(row.site, row.opened_at))}{until}"


def _owner(row: Container, patient: Patient) -> str:
    if row.owner is None:
        return ""
    return "this person's own" if row.owner_id == patient.pk else f"belongs to {row.owner.name}, no. {row.owner.number}"


def _figure(row: Container, record: Presentation) -> drawing.Figure | None:
    """The container with its level; none of a powder, which has no level before it is made up."""
    if record.container is Shape.POWDER_VIAL or not row.left_nl:
        return None
    holds = (millilitres(row.left_nl), millilitres(row.holds_nl))
    return drawing.container(f"card-{row.pk}", record.container, record.name, holds, (millilitres(0),))


def rows_that_fit(made: Preparation, taken: set[int]) -> tuple[ShelfRow, ...]:
    """The containers of this site for the order's drugs and the diluents against which no stop stands; this person's own first."""
    book, patient = load(), made.order.patient
    drugs = {line.drug.id for line in reading_of(made.order.text).lines}
    wanted = {one.id: one for one in book.presentations if one.diluent or drugs & {one.drug, *one.also_drugs}}
    rows = Container.objects.filter(site=made.order.site, state__in=DRAWABLE, presentation__in=wanted)
    groups: dict[object, list[Container]] = {}
    for row in rows.exclude(pk__in=taken).select_related("owner", "site").order_by("expiry", "pk"):
        groups.setdefault(row.pk if row.opened_at is not None else kind_of(row), []).append(row)
    moment = local(made.order.site, now())
    rules = policy()
    fit = [same for same in groups.values() if not _stopped(same[0], moment, patient, rules)]
    fit.sort(key=lambda same: _place(same[0], patient, wanted[same[0].presentation]))
    return tuple(_shelf_row(same, patient, wanted[same[0].presentation]) for same in fit[:MOST])


def _stopped(row: Container, moment: datetime, patient: Patient, rules: Policy) -> bool:
    """As `shelf.findings`, with the settings read once for all rows."""
    hand = shelf.hand(row, person=patient)
    at_hand = AtHand(in_hand=hand, condition=hand.condition or Condition(), now=moment, policy=rules)
    return any(one.level is Level.STOP for one in container_findings(at_hand))


def _place(row: Container, patient: Patient, record: Presentation) -> tuple[bool, bool, bool, str, datetime | str]:
    """Drugs before diluents, the person's own before others, what is open before what is shut, then by name and expiry."""
    return bool(record.diluent), row.owner_id != patient.pk, row.opened_at is None, record.name, row.expiry.isoformat()


def _shelf_row(same: list[Container], patient: Patient, record: Presentation) -> ShelfRow:
    first = same[0]
    state = ", ".join(part for part in (_opened(first) if first.opened_at else "", _owner(first, patient)) if part)
    return ShelfRow(
        first=first,
        name=record.name,
        strength=" with ".join(strength_words(active) for active in record.actives),
        expires=told_day(first.expiry),
        state=state,
        count=len(same),
        diluent=bool(record.diluent),
    )
