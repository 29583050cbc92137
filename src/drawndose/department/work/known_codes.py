"""What a product number means here: asked once, then remembered with who said so and when. Nothing is concluded from the number."""

from __future__ import annotations

from django.db import transaction

from drawndose.department.ledger.append import append, now
from drawndose.department.people.models import Person
from drawndose.department.work.models import KnownCode
from drawndose.department.work.shelf import pack_of
from drawndose.quantities import Fault, Refused
from drawndose.reference import load


def known(gtin: str) -> KnownCode | None:
    """The product of a number of 14 digits, as a person of this department has said."""
    return KnownCode.objects.filter(code=gtin.zfill(14)).select_related("by").first()


def remember(gtin: str, presentation: str, pack: str, *, by: Person, key: str | None = None) -> KnownCode:
    """Remember what a number means. Refused when it means something else already, or the catalogue has no such product."""
    code = gtin.zfill(14)
    try:
        record = load().presentation(presentation)
    except KeyError:
        fault = Fault(field="product", rule="it is not in the catalogue", came=presentation, accepted="one of the list")
        raise Refused([fault]) from None
    pack_of(record, pack)
    with transaction.atomic():
        content = {"presentation": presentation, "pack": pack}
        append("code.remembered", "code", code, actor=by.username, key=key, content=content)
        there = known(code)
        if there is not None:
            rule = f"{there.by.name} said that it is {there.presentation}, {there.pack}"
            raise Refused(
                [Fault(field="code", rule=rule, came=f"{presentation}, {pack}", accepted="what is remembered")]
            )
        return KnownCode.objects.create(code=code, presentation=presentation, pack=pack, by=by, at=now())


def match_anew(
    gtin: str, presentation: str, pack: str, *, by: Person, reason: str, key: str | None = None
) -> KnownCode:
    """Say that a number means something else than was remembered. Refused without a reason; what was said before stays in the ledger."""
    code = gtin.zfill(14)
    if not reason.strip():
        raise Refused([Fault(field="reason", rule="a reason is needed", came=reason, accepted="why, in a few words")])
    pack_of(load().presentation(presentation), pack)
    with transaction.atomic():
        there = known(code)
        was = {"presentation": there.presentation, "pack": there.pack} if there is not None else {}
        content = {"presentation": presentation, "pack": pack, "from": was}
        append("code.matched_anew", "code", code, actor=by.username, key=key, reason=reason.strip(), content=content)
        values = {"presentation": presentation, "pack": pack, "by": by, "at": now()}
        return KnownCode.objects.update_or_create(code=code, defaults=values)[0]
