"""Sites: added with their zone, renamed. A zone is never changed: what was due and done by its clock would be told at another time."""

from __future__ import annotations

from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from django.db import IntegrityError, transaction

from drawndose.department.ledger.append import Replayed, append
from drawndose.department.ledger.models import Event
from drawndose.department.work.change import Moved
from drawndose.department.work.models import Site
from drawndose.quantities import Fault, gather

LONGEST = 80


def _faults(name: str, *, but: int | None = None) -> list[Fault]:
    """What is wrong with a name."""
    if not 1 <= len(name) <= LONGEST or not name.isprintable():
        return [
            Fault(field="name", rule=f"a name has 1 to {LONGEST} characters", came=name[:LONGEST], accepted="Ward 3")
        ]
    taken = Site.objects.filter(name__iexact=name).exclude(pk=but).first()
    if taken is None:
        return []
    return [Fault(field="name", rule="a site of this name is here already", came=taken.name, accepted="another name")]


def zone_faults(zone: str, field: str = "zone") -> list[Fault]:
    """A fault for a zone that nobody knows."""
    try:
        ZoneInfo(zone)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return [Fault(field=field, rule="no zone of this name is known", came=zone, accepted="America/Chicago, UTC")]
    return []


def add(name: str, zone: str, *, actor: str, key: str | None = None) -> Site:
    """One more site. Refused with every fault; Replayed when the form did it before."""
    _replayed(key)
    words = " ".join(name.split())
    gather([*_faults(words), *zone_faults(zone)])
    try:
        with transaction.atomic():
            made = Site.objects.create(name=words, zone=zone)
            content = {"name": words, "zone": zone}
            append("site.added", "site", str(made.pk), actor=actor, key=key, content=content)
    except IntegrityError:
        gather([Fault(field="name", rule="a site of this name is here already", came=words, accepted="another name")])
        raise
    return made


def rename(site: Site, name: str, *, seen: str, reason: str, actor: str, key: str | None = None) -> None:
    """Call a site otherwise. seen: the name that the person saw; Moved when it has another one now. Refused with every fault."""
    _replayed(key)
    words = " ".join(name.split())
    faults = _faults(words, but=site.pk)
    if not reason.strip():
        faults.append(Fault(field="reason", rule="a reason is needed", came=reason, accepted="why, in a few words"))
    gather(faults)
    with transaction.atomic():
        content = {"from": seen, "to": words}
        append("site.renamed", "site", str(site.pk), actor=actor, reason=reason.strip(), key=key, content=content)
        if Site.objects.filter(pk=site.pk, name=seen).update(name=words) != 1:
            raise Moved(site)
    site.refresh_from_db()


def _replayed(key: str | None) -> None:
    if key is not None and (done := Event.objects.filter(key=key).first()) is not None:
        raise Replayed(done)
