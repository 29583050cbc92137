"""Containers on the shelf: received, opened, drawn from, moved, doubted, emptied, discarded; and finding them by lot."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import Any

from django.db import transaction
from django.db.models import F

from drawndose.bench.condition import Condition, Kept
from drawndose.bench.container_life import LifeLimit, limits, used_here
from drawndose.bench.findings import Finding, Level
from drawndose.bench.in_hand import InHand
from drawndose.bench.moments import told_day
from drawndose.bench.safeguards import AtHand, container_findings
from drawndose.department.ledger.append import append, now
from drawndose.department.ledger.models import Event
from drawndose.department.people.models import Person
from drawndose.department.work.change import Moved, change, nanolitres, volume_words
from drawndose.department.work.models import Container, Patient, Preparation, Site
from drawndose.department.work.places import local
from drawndose.department.work.policy import policy
from drawndose.quantities import Fault, Manner, Refused, gather, read_quantity
from drawndose.reference import Pack, Presentation, load


def pack_of(presentation: Presentation, text: str) -> Pack:
    """The fill size that the text names. Refused with those there are."""
    wanted = read_quantity(text, field="fill size")
    found = [pack for pack in presentation.packs if wanted in (pack.volume, pack.amount)]
    if not found:
        accepted = ", ".join(str(pack.volume or pack.amount) for pack in presentation.packs)
        raise Refused([Fault(field="fill size", rule="it does not come in this size", came=text, accepted=accepted)])
    return found[0]


def receive(
    site: Site,
    presentation: str,
    pack: str,
    *,
    lot: str,
    expiry: date,
    by: Person,
    place: str = "",
    code: str = "",
    count: int = 1,
    key: str | None = None,
) -> list[Container]:
    """Put containers on the shelf. Refused for one that the catalogue does not have, or that is out of date already."""
    book = load()
    faults = []
    try:
        record = book.presentation(presentation)
    except KeyError:
        faults.append(
            Fault(
                field="container",
                rule="it is not in the catalogue",
                came=presentation,
                accepted="an id of the catalogue",
            )
        )
    if not lot.strip() or len(lot) > 20:
        faults.append(Fault(field="lot", rule="a lot has 1 to 20 characters", came=lot, accepted="as printed"))
    if not 1 <= count <= 200:
        faults.append(Fault(field="count", rule="1 to 200 at a time", came=str(count), accepted="10"))
    if expiry < local(site, now()).date():
        faults.append(Fault(field="expiry", rule="it is past", came=told_day(expiry), accepted="a container in date"))
    gather(faults)
    holds = nanolitres(InHand(presentation=record, pack=pack_of(record, pack)).contents(), "fill size")
    with transaction.atomic():
        return [
            _received(
                site, record, pack, lot.strip(), expiry, place, code, holds, by, f"{key}-{number}" if key else None
            )
            for number in range(count)
        ]


def _received(
    site: Site,
    record: Presentation,
    pack: str,
    lot: str,
    expiry: date,
    place: str,
    code: str,
    holds: int,
    by: Person,
    key: str | None,
) -> Container:
    made = Container.objects.create(
        site=site,
        presentation=record.id,
        pack=pack,
        lot=lot,
        expiry=expiry,
        code=code,
        place=place,
        received_at=now(),
        holds_nl=holds,
        left_nl=holds,
        state="received",
    )
    content = {
        "presentation": record.id,
        "pack": pack,
        "lot": lot,
        "expiry": expiry.isoformat(),
        "holds_nl": str(holds),
    }
    append("container.received", "container", str(made.pk), actor=by.username, key=key, content=content)
    return made


def open_it(
    container: Container, *, by: Person, version: int, owner: Patient | None = None, key: str | None = None
) -> LifeLimit | None:
    """Open a container: its discard date is worked out on the spot. Refused where a stop stands against it.

    Returned is the limit that holds, for the label; None where nobody decided one (the container is then used once only).
    """
    moment = local(container.site, now())
    stops(container, moment, "open it")
    opened = hand(container, opened_at=moment)
    found = limits(opened, opened.condition or Condition(), policy(), moment)
    in_use = next((one for one in found if one.kind == "in-use life"), None)
    last = min((one.over_at for one in found), default=None)
    discard = last_day(last) if in_use is not None and last is not None else None
    with transaction.atomic():
        change(
            container,
            "container",
            "container.opened",
            by=by,
            version=version,
            key=key,
            content={"owner": owner.number if owner else "", "discard_after": discard.isoformat() if discard else ""},
            opened_at=moment,
            discard_after=discard,
            owner=owner,
        )
    return next(iter(found), None)


def last_day(over_at: datetime) -> date:
    """The last day on which something may be used that is over at this moment."""
    return (over_at - timedelta(minutes=1)).date()


def hand(container: Container, *, opened_at: datetime | None = None, person: Patient | None = None) -> InHand:
    """The container as the engine sees it, with its condition."""
    presentation = used_here(load().presentation(container.presentation), policy())
    opened = opened_at or container.opened_at
    condition = Condition(
        lot=container.lot,
        expiry=container.expiry,
        opened=local(container.site, opened) if opened is not None else None,
        discard_after=container.discard_after,
        kept=Kept(container.kept) if container.kept else None,
        bedside=container.bedside,
        owner=container.owner.number if container.owner else "",
        person=person.number if person is not None else "",
    )
    left = None
    if container.left_nl != container.holds_nl:
        left = read_quantity(volume_words(container.left_nl))
    pack = pack_of(presentation, container.pack)
    return InHand(presentation=presentation, pack=pack, count=1, left=left, condition=condition)


def same_pack(container: Container, in_hand: InHand) -> bool:
    """True when the container is one of this fill size."""
    return read_quantity(container.pack) in (in_hand.pack.volume, in_hand.pack.amount)


def findings(container: Container, moment: datetime, person: Patient | None = None) -> tuple[Finding, ...]:
    """What stands against a container at a moment."""
    in_hand = hand(container, person=person)
    at_hand = AtHand(in_hand=in_hand, condition=in_hand.condition or Condition(), now=moment, policy=policy())
    return container_findings(at_hand)


def stops(container: Container, moment: datetime, what: str) -> None:
    """Refuse to go on with a container that a stop stands against, with every stop."""
    found = [one for one in findings(container, moment) if one.level is Level.STOP]
    gather([Fault(field="container", rule=one.says, came=what, accepted=one.do) for one in found])


def draw(container: Container, preparation: Preparation, volume_nl: int, *, by: Person) -> None:
    """Take a volume out, inside the preparation's transaction. Of two who draw the last of it, one is refused.

    A container that was shut is opened by this; one that is empty afterwards is emptied by it.
    """
    moment = local(container.site, now())
    container.refresh_from_db()
    if container.left_nl < volume_nl:  # drawn by someone else meanwhile, perhaps to the last drop
        raise _short(container, volume_nl)
    stops(container, moment, f"draw {volume_words(volume_nl)}")
    if container.state == "received":
        owner = preparation.order.patient if hand(container).presentation.multi_dose else None
        open_it(container, by=by, version=container.version, owner=owner)
    content = {"preparation": str(preparation.pk), "volume_nl": str(volume_nl)}
    try:
        change(
            container,
            "container",
            "container.drawn",
            by=by,
            version=container.version,
            content=content,
            where={"left_nl__gte": volume_nl},
            left_nl=F("left_nl") - volume_nl,
        )
    except Moved as moved:
        raise _short(Container.objects.get(pk=container.pk), volume_nl) from moved
    preparation.draw_set.create(container=container, volume_nl=volume_nl)
    if container.left_nl == 0:
        empty(container, by=by, version=container.version)


def _short(container: Container, volume_nl: int) -> Refused:
    rule = f"there are {volume_words(container.left_nl)} left in it, and it is {container.state}"
    return Refused([Fault(field="container", rule=rule, came=volume_words(volume_nl), accepted="another container")])


def move(
    container: Container, place: str, *, by: Person, version: int, bedside: bool = False, key: str | None = None
) -> None:
    """Move it. Once at a bedside it belongs to that person alone, or to nobody any more."""
    with transaction.atomic():
        content = {"from": container.place, "to": place, "bedside": bedside}
        values: dict[str, Any] = {"place": place, "bedside": container.bedside or bedside}
        change(container, "container", "container.moved", by=by, version=version, key=key, content=content, **values)


def doubt(container: Container, *, by: Person, version: int, reason: str, key: str | None = None) -> None:
    """Take it out of use: contaminated, or in doubt. Nobody can undo that."""
    _with_reason(reason)
    with transaction.atomic():
        change(container, "container", "container.doubted", by=by, version=version, reason=reason, key=key)


def discard(container: Container, *, by: Person, version: int, reason: str, key: str | None = None) -> None:
    """Throw it away, with what is left in it."""
    _with_reason(reason)
    with transaction.atomic():
        content = {"left_nl": str(container.left_nl)}
        change(
            container,
            "container",
            "container.discarded",
            by=by,
            version=version,
            reason=reason,
            key=key,
            content=content,
        )


def empty(container: Container, *, by: Person, version: int, key: str | None = None) -> None:
    """Say that it is empty: what was left by the label was not there, or has been drawn."""
    with transaction.atomic():
        content = {"left_nl": str(container.left_nl)}
        change(container, "container", "container.emptied", by=by, version=version, key=key, content=content, left_nl=0)


def own(
    container: Container, owner: Patient | None, *, by: Person, version: int, reason: str = "", key: str | None = None
) -> None:
    """Say whose an opened container is. Refused for a shared use where the policy allows none, and for one that is at a bedside."""
    faults = []
    if owner is None and not policy().shared_bottles:
        rule = "an opened container is one person's; the policy allows no shared ones"
        faults.append(Fault(field="owner", rule=rule, came="nobody", accepted="a patient's number"))
    if container.owner_id is not None and (owner is None or owner.pk != container.owner_id):
        rule = "it belongs to a person already"
        came = owner.number if owner is not None else "nobody"
        faults.append(Fault(field="owner", rule=rule, came=came, accepted="a container of its own for each person"))
    gather(faults)
    with transaction.atomic():
        content = {"owner": owner.number if owner is not None else ""}
        change(
            container,
            "container",
            "container.owned",
            by=by,
            version=version,
            reason=reason,
            key=key,
            content=content,
            owner=owner,
        )


def correct(container: Container, text: str, *, by: Person, version: int, reason: str, key: str | None = None) -> None:
    """Put right what is left in it by what was seen or measured: another event, and the fold starts from it."""
    left = read_quantity(text, field="left", manner=Manner.READING)
    if left.dimension != (("volume", 1),):
        raise Refused([Fault(field="left", rule="a volume is wanted", came=text, accepted="4.5 mL")])
    left_nl = nanolitres(left, "left")
    if not 0 < left_nl <= container.holds_nl:
        rule = f"more than nothing (an empty one is said to be empty), and it holds {volume_words(container.holds_nl)} when it is full"
        raise Refused([Fault(field="left", rule=rule, came=text, accepted="what is seen in it")])
    _with_reason(reason)
    with transaction.atomic():
        content = {"from_nl": str(container.left_nl), "left_nl": str(left_nl)}
        change(
            container,
            "container",
            "container.corrected",
            by=by,
            version=version,
            reason=reason,
            key=key,
            content=content,
            left_nl=left_nl,
        )


def folded(container: Container) -> int:
    """What is left by the ledger alone: received, less every draw, from the last correction on."""
    left = 0
    events = Event.objects.filter(subject_kind="container", subject=str(container.pk)).order_by("number")
    for name, content in events.values_list("name", "content"):
        if name == "container.received":
            left = int(content["holds_nl"])
        elif name == "container.drawn":
            left -= int(content["volume_nl"])
        elif name == "container.corrected":
            left = int(content["left_nl"])
        elif name == "container.emptied":
            left = 0
    return left


def _with_reason(reason: str) -> None:
    if not reason.strip():
        gather([Fault(field="reason", rule="a reason is needed", came=reason, accepted="why, in a few words")])


__all__ = [
    "Moved",
    "correct",
    "discard",
    "doubt",
    "draw",
    "empty",
    "findings",
    "folded",
    "hand",
    "move",
    "open_it",
    "own",
    "receive",
    "stops",
]
