"""The containers that a command names: an id, a fill size, a count, what is left, and after semicolons their condition."""

import re
from zoneinfo import ZoneInfo

from drawndose.bench.condition import Condition
from drawndose.bench.condition_fields import FIELDS, FLAGS, read_condition
from drawndose.bench.in_hand import InHand
from drawndose.quantities import Fault, Quantity, Refused, gather, nearest, read_quantity, show
from drawndose.reference import Catalogue, Pack, Presentation

HELP = """\
A container is the id of a presentation (see `drawndose catalogue DRUG`) and, after it, a fill size, a count, what is left
in an opened one, and after semicolons what is read on it: "albuterol-0.5pct-bottle-20ml left 4 mL; expiry 06/2027;
opened 2026-11-01 09:00; owner 204118". The words are lot, expiry, discard after, kept (refrigerated, room temperature),
seen (cloudy, particles, precipitate, discoloured, leaking, damaged, sterility in doubt), owner, person, opened, made up,
pouch opened, out of pouch, out of refrigerator, and without a value undated, loose, touched, bedside. A moment may be a day
alone, as bottles carry it: a life in hours is then counted from the first minute of that day.
"""
_HAVE = re.compile(
    r"(?P<id>\S+)(?:\s+(?P<pack>[0-9.]+ ?(?:mL|mg|g)))?(?:\s+x(?P<count>[0-9]{1,3}))?(?:\s+left (?P<left>[0-9.]+ ?mL))?",
    re.IGNORECASE,
)
_NAMES = sorted(FIELDS, key=len, reverse=True)
_EXAMPLE = "expiry 06/2027; opened 2026-11-01 09:00; owner 204118"


def read_containers(named: list[str], book: Catalogue, zone: ZoneInfo, field: str = "have") -> tuple[InHand, ...]:
    """Every container named, in every fill size that fits the words. Refused with the faults of all of them."""
    faults: list[Fault] = []
    have: list[InHand] = []
    for text in named:
        try:
            have += _one(text, book, zone, field)
        except Refused as refused:
            faults += refused.faults
    gather(faults)
    return tuple(have)


def _one(text: str, book: Catalogue, zone: ZoneInfo, field: str) -> list[InHand]:
    words, *said = text.split(";")
    parts = _HAVE.fullmatch(words.strip())
    faults: list[Fault] = []
    if parts is None:
        rule = "a container is an id, then a fill size, xN, and what is left"
        faults.append(Fault(field=field, rule=rule, came=words, accepted="acetylcysteine-20pct 10 mL x2"))
    condition: Condition | None = None
    try:
        condition = read_condition(_fields(said, field), zone) if said else None
    except Refused as refused:
        faults += refused.faults
    gather(faults)
    assert parts is not None
    presentation = _presentation(parts["id"], book, field)
    left = read_quantity(parts["left"], field=field) if parts["left"] else None
    count = int(parts["count"]) if parts["count"] else None
    packs = _packs(presentation, parts["pack"], text, field)
    try:
        return [
            InHand(presentation=presentation, pack=pack, count=count, left=left, condition=condition) for pack in packs
        ]
    except ValueError as error:
        accepted = "a count from 1, and no more left than it holds"
        raise Refused([Fault(field=field, rule=str(error), came=text, accepted=accepted)]) from error


def _fields(said: list[str], field: str) -> dict[str, str]:
    """The words after the semicolons by field; a word that no field starts with, or one said twice, is refused."""
    found: dict[str, str] = {}
    faults: list[Fault] = []
    for piece in (" ".join(one.split()) for one in said if one.strip()):
        name = next((one for one in _NAMES if _starts(piece, one.replace("_", " "))), "")
        if not name or name in found:
            rule = "said twice" if name else "no such word for a container"
            accepted = ", ".join(one.replace("_", " ") for one in FIELDS)
            faults.append(Fault(field=field, rule=rule, came=piece, accepted=accepted))
            continue
        value = piece[len(name) :].lstrip(" :=")
        if not value and name not in FLAGS:
            faults.append(Fault(field=field, rule="a word without its value", came=piece, accepted=_EXAMPLE))
            continue
        found[name] = value or "yes"
    gather(faults)
    return found


def _starts(piece: str, name: str) -> bool:
    return piece.lower() == name or piece.lower().startswith((f"{name} ", f"{name}:", f"{name}="))


def _presentation(ident: str, book: Catalogue, field: str) -> Presentation:
    try:
        return book.presentation(ident)
    except KeyError:
        drug = [one.id for one in book.presentations if one.id.split("-")[0] == ident.split("-")[0]]
        accepted = nearest(ident, drug or [one.id for one in book.presentations], "`drawndose catalogue`")
        rule = "the container is not in the catalogue"
        raise Refused([Fault(field=field, rule=rule, came=ident, accepted=accepted)]) from None


def _packs(presentation: Presentation, size: str | None, text: str, field: str) -> list[Pack]:
    wanted: Quantity | None = read_quantity(size, field=field) if size else None
    packs = [one for one in presentation.packs if wanted is None or wanted in (one.volume, one.amount)]
    if not packs:
        sizes = ", ".join(show(held) for one in presentation.packs if (held := one.volume or one.amount) is not None)
        raise Refused([Fault(field=field, rule="it does not come in this size", came=text, accepted=sizes)])
    return packs
