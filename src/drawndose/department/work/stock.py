"""The stock: what is on the shelf by product, what expires next, how many doses are left, what to reorder; and recall by lot."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from fractions import Fraction

from django.db import transaction
from django.db.models import Prefetch

from drawndose.bench.container_life import LifeLimit, use_by, used_here
from drawndose.bench.policy import Policy
from drawndose.department.ledger.append import Replayed, append, now
from drawndose.department.ledger.models import Event
from drawndose.department.people.models import Person
from drawndose.department.work import shelf
from drawndose.department.work.change import NANOLITRES, nanolitres, volume_words
from drawndose.department.work.models import Container, Draw, Site, StockLevel
from drawndose.department.work.places import local
from drawndose.department.work.policy import policy
from drawndose.quantities import Fault, Manner, Quantity, Refused, Unlike, gather, read_quantity, show
from drawndose.reference import How, Presentation, load

KEPT = ("received", "opened", "doubtful")
"""The states of a container that still stands somewhere."""
MOST = 500
"""Containers that a page of the shelf shows, what expires next first."""
LONGEST_LOT = 20


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """One container on the shelf. limit: until when it may be used, by whom; None when nobody decided. usable: for a dose today."""

    row: Container
    presentation: Presentation
    limit: LifeLimit | None
    usable: bool
    doses: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Product:
    """One presentation on the shelf, what expires next first. doses: left for anyone; None when nobody said what a dose takes.

    a_dose: what one dose takes, in words with where that is from. low: it is at or below the level at which to reorder.
    """

    presentation: Presentation
    standing: tuple[Standing, ...]
    doses: int | None
    a_dose: str
    level: StockLevel | None

    @property
    def low(self) -> bool:
        """True when it is time to reorder."""
        at = self.level.reorder_at if self.level is not None else None
        return at is not None and self.doses is not None and self.doses <= at

    @property
    def next_day(self) -> date | None:
        """The day after which the first usable one may not be used any more."""
        days = [_day(one) for one in self.standing if one.usable]
        return min(days, default=None)


def _day(one: Standing) -> date:
    return shelf.last_day(one.limit.over_at) if one.limit is not None else one.row.expiry


def products(site: Site, wanted: str = "") -> tuple[list[Product], bool]:
    """The shelf of a site by product, and whether there is more than is shown. wanted: words that a product's name or place holds.

    A product that is all gone stands there as well while a level is set for it.
    """
    found = Container.objects.filter(site=site, state__in=KEPT).select_related("owner", "site").order_by("expiry", "pk")
    rows = list(found[: MOST + 1])
    levels = {one.presentation: one for one in StockLevel.objects.all()}
    moment, settings, book = local(site, now()), policy(), load()
    by_product: dict[str, list[Standing]] = {one: [] for one in levels}
    for row in rows[:MOST]:
        level = levels.get(row.presentation)
        by_product.setdefault(row.presentation, []).append(_standing(row, level, moment, settings))
    made = [
        _product(used_here(book.presentation(ident), settings), standing, levels.get(ident))
        for ident, standing in by_product.items()
    ]
    words = wanted.lower().split()
    made = [one for one in made if all(word in _searched(one) for word in words)]
    return sorted(made, key=_place), len(rows) > MOST


def _searched(one: Product) -> str:
    places = " ".join(f"{each.row.place} {each.row.lot}" for each in one.standing)
    return f"{one.presentation.name} {' '.join(one.presentation.drugs)} {places}".lower()


def _place(one: Product) -> tuple[bool, date, str]:
    """What to reorder first, then what expires next."""
    return (not one.low, one.next_day or date.max, one.presentation.name)


def _standing(row: Container, level: StockLevel | None, moment: datetime, settings: Policy) -> Standing:
    in_hand = shelf.hand(row)
    assert in_hand.condition is not None
    limit = use_by(in_hand, in_hand.condition, settings, moment)
    record = in_hand.presentation
    fresh = limit is None or limit.over_at > moment
    usable = row.state == "received" or (row.state == "opened" and record.multi_dose and row.left_nl > 0)
    doses = _doses(row, record, level) if usable and fresh else 0
    return Standing(row=row, presentation=record, limit=limit, usable=usable and fresh, doses=doses)


def _doses(row: Container, record: Presentation, level: StockLevel | None) -> int | None:
    """Whole doses in one container: one in a single dose, in others as many as what a dose takes goes into it."""
    if not record.multi_dose:
        return 1
    takes = dose_nl(record, level)[0]
    return row.left_nl // takes if takes else None


def _product(record: Presentation, standing: Iterable[Standing], level: StockLevel | None) -> Product:
    rows = tuple(sorted(standing, key=lambda one: (not one.usable, _day(one), one.row.pk)))
    shared = [one.doses for one in rows if one.row.owner_id is None]
    counted = [one for one in shared if one is not None]
    doses = sum(counted) if len(counted) == len(shared) else None
    a_dose = "one container" if not record.multi_dose else dose_nl(record, level)[1]
    return Product(presentation=record, standing=rows, doses=doses, a_dose=a_dose, level=level)


def dose_nl(record: Presentation, level: StockLevel | None) -> tuple[int | None, str]:
    """What one dose takes out of a container, and where that is from: the department's setting, else a published dose."""
    if level is not None and level.dose_nl is not None:
        return level.dose_nl, f"{volume_words(level.dose_nl)}, set here"
    for dose in record.doses:
        amount = dose.value("each", "from")
        volume = _volume(amount, record) if amount is not None else None
        if amount is not None and volume is not None:
            how = "from memory" if dose.origin.how is How.MEMORY else "published"
            return int(volume * NANOLITRES), f"{volume_words(int(volume * NANOLITRES))} ({show(amount)}, {how})"
    return None, "not known: set what one dose takes"


def _volume(amount: Quantity, record: Presentation) -> Fraction | None:
    """The volume of an amount, to the nanolitre; None where it cannot be told exactly."""
    if amount.dimension == (("volume", 1),):
        volume = amount.to("mL").value
    else:
        try:
            volume = (amount / record.actives[0].strength.ratio).to("mL").value
        except (Unlike, IndexError, ValueError):
            return None
    return volume if (volume * NANOLITRES).denominator == 1 and volume else None


def set_level(
    presentation: str,
    reorder_at: str,
    a_dose: str,
    *,
    by: Person,
    reason: str,
    key: str | None = None,
) -> None:
    """Set at how many doses to reorder a product, and what one dose takes; empty texts set none. Refused without a reason."""
    faults = []
    try:
        load().presentation(presentation)
    except KeyError:
        faults.append(_fault("product", "it is not in the catalogue", presentation, "a product of the list"))
    at = reorder_at.strip()
    if at and not (at.isascii() and at.isdecimal() and len(at) < 6):
        faults.append(_fault("reorder at", "a whole number of doses", reorder_at, "20"))
    if not reason.strip():
        faults.append(_fault("reason", "a reason is needed", reason, "who decided it, and when"))
    takes = None
    if a_dose.strip():
        try:
            takes = _read_dose(a_dose)
        except Refused as refused:
            faults += refused.faults
    gather(faults)
    with transaction.atomic():
        if key is not None and (done := Event.objects.filter(key=key).first()) is not None:
            raise Replayed(done)
        content = {"reorder_at": at, "dose_nl": str(takes) if takes else ""}
        append(
            "stock.level",
            "stock",
            presentation[:36],
            actor=by.username,
            reason=reason,
            key=key,
            content=content | {"presentation": presentation},
        )
        values = {"reorder_at": int(at) if at else None, "dose_nl": takes, "reason": reason.strip()}
        StockLevel.objects.update_or_create(presentation=presentation, defaults=values)


def _read_dose(text: str) -> int:
    quantity = read_quantity(text, field="one dose takes", manner=Manner.READING)
    if quantity.dimension != (("volume", 1),) or not quantity.value:
        raise Refused([_fault("one dose takes", "a volume above nothing", text, "0.5 mL")])
    return nanolitres(quantity, "one dose takes")


def _fault(field: str, rule: str, came: str, accepted: str) -> Fault:
    return Fault(field=field, rule=rule, came=came, accepted=accepted)


@dataclass(frozen=True, slots=True, kw_only=True)
class Recalled:
    """One container of a recalled lot: where it is, what is left, and every draw out of it with whom it went to."""

    row: Container
    presentation: Presentation
    draws: tuple[Draw, ...]


MOST_RECALLED = 1_000


def recall(lot: str) -> list[Recalled]:
    """Every container of a lot, as it is printed or with its letters in the other case; at most MOST_RECALLED."""
    plain = lot.strip()[:LONGEST_LOT]
    if not plain:
        return []
    draws = Draw.objects.select_related("preparation__order__patient", "preparation__given_by").order_by("pk")
    found = Container.objects.filter(lot__in={plain, plain.upper(), plain.lower()}).select_related("site", "owner")
    rows = found.prefetch_related(Prefetch("draw_set", queryset=draws)).order_by("-pk")[:MOST_RECALLED]
    book = load()
    rows = sorted(rows, key=lambda one: (one.state not in KEPT, one.pk))
    return [
        Recalled(row=one, presentation=book.presentation(one.presentation), draws=tuple(one.draw_set.all()))
        for one in rows
    ]


def lots_like(lot: str) -> list[str]:
    """Lots that begin like this one, for someone who read a sign wrongly; those that go on like it first, at most 12."""
    typed = lot.strip()
    if not typed:
        return []
    found = Container.objects.filter(lot__startswith=typed[:2]).order_by("lot").values_list("lot", flat=True)
    return sorted(found.distinct()[:200], key=lambda one: [a != b for a, b in zip(one, typed, strict=False)])[:12]
