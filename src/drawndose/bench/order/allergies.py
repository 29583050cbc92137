"""What the patient does not tolerate, out of an order or a field: drugs and excipients by name; other words are kept as written.

In an order a list of allergies stands among other words, so it ends where it could be something else: at a dose, at a word
that an order knows, at a comma before an unknown word. After "allergies:" unknown words may be parted by commas.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache

from drawndose.bench.order import phrases
from drawndose.bench.order.phrases import CASELESS
from drawndose.quantities import Fault, Refused
from drawndose.reference import Catalogue

NONE_KNOWN = re.compile(
    r"\b(?:no\s{1,3}(?:known\s{1,3})?(?:drug\s{1,3})?allerg(?:y|ies)\b(?:\s{1,3}known\b)?|nkd?a\b"
    r"|allerg(?:y|ies)\s{0,3}[:=]?\s{0,3}(?:none\b(?:\s{1,3}known\b)?|nkd?a\b))",
    CASELESS,
)
"""No allergy is known, said."""
_START = re.compile(
    r"\b(?:patient\s{1,3})?(?:is\s{1,3})?(?:(?:allergic|sensitive)\s{1,3}to|allerg(?:y|ies)(?:\s{1,3}to\b|\s{0,3}(?P<list>[:=])|\s))\s{0,3}",
    CASELESS,
)
_JOINT = re.compile(
    r"\s{0,3}(?P<comma>,)\s{0,3}(?:(?:and|or)\s{1,3})?|\s{1,3}(?:and|or)\s{1,3}|\s{0,3}[/&+]\s{0,3}", CASELESS
)
_WORD = r"(?!(?:and|or)\b)[a-z][a-z'-]{1,30}"
_UNKNOWN = re.compile(rf"{_WORD}(?:\s{_WORD}){{0,2}}(?=\s{{0,3}}(?:[,;.&/+)]|$)|\s{{1,3}}(?:and|or)\b)", CASELESS)
_DOSE_AFTER = re.compile(r"\s{0,3}[0-9.]")
_ORDERED = re.compile(
    r"\b(?:a|an|the|give|please|dose|order|inhal\w*|nebuli\w*|solution|use|via|by|with|using|mix\w*|together|undiluted|neat|old|mg|ml|mcg)\b",
    CASELESS,
)
FIELDS_SPLIT = re.compile(r"\s*(?:[,;/]|\band\b|\bor\b)\s*", CASELESS)
MOST_LETTERS = 60
"""A longer piece is no name of an allergen; it was pasted into the wrong box."""


@lru_cache(maxsize=4)
def _known(book: Catalogue) -> tuple[dict[str, str], re.Pattern[str]]:
    """Every name in lower case to the id that is kept, and the pattern that finds one, the longest first."""
    names = {name: drug for name, (drug, _) in book.names.items()}
    for one in book.sensitivities.values():
        names |= dict.fromkeys((one.id.lower(), *(name.lower() for name in one.also)), one.id)
    longest = "|".join(re.escape(name) for name in sorted(names, key=len, reverse=True))
    return names, re.compile(rf"(?:{longest})(?![a-z0-9])", CASELESS)


def allergies_in(text: str, *, book: Catalogue) -> tuple[str, ...]:
    """The allergies of a field or an option, each once. "none known" is an empty list. Refused for what is no name."""
    plain = " ".join(text.split()).strip(" .")
    if NONE_KNOWN.fullmatch(plain) or plain.lower() in {"none", "none known"}:
        return ()
    start = _START.match(plain)
    names, _ = _known(book)
    pieces = [piece for piece in FIELDS_SPLIT.split(plain[start.end() :] if start is not None else plain) if piece]
    faults = [_no_name(piece) for piece in pieces or [text] if piece.lower() not in names and _NO_NAME.search(piece)]
    if faults:
        raise Refused(faults)
    return tuple(dict.fromkeys(names.get(piece.lower(), piece) for piece in pieces))


_NO_NAME = re.compile(rf"[0-9]|^[^a-z]*$|.{{{MOST_LETTERS + 1}}}", re.IGNORECASE)


def _no_name(piece: str) -> Fault:
    rule = "an allergy is the name of a drug or a substance"
    return Fault(field="allergies", rule=rule, came=piece, accepted="sulfites, albuterol, or none known")


def find_allergies(text: str, book: Catalogue) -> Iterator[tuple[int, int, tuple[str, ...]]]:
    """Each list of allergies in an order's text: where it starts and ends, and what it names. No list, nothing."""
    none = [match.span() for match in NONE_KNOWN.finditer(text)]
    yield from ((start, end, ()) for start, end in none)
    for start in _START.finditer(text):
        if any(low <= start.start() < high for low, high in none):
            continue
        found, end = _list(text, start.end(), start["list"] is not None, book)
        if found:
            yield start.start(), end, tuple(dict.fromkeys(found))


def _list(text: str, place: int, commas: bool, book: Catalogue) -> tuple[list[str], int]:
    """The names from this place on, and where the last one ends."""
    names, known = _known(book)
    found: list[str] = []
    end, comma = place, False
    while True:
        match = known.match(text, place)
        if match is not None and not _DOSE_AFTER.match(text, match.end()):
            found.append(names[match[0].lower()])
        else:
            match = None if match is not None or (comma and not commas) else _UNKNOWN.match(text, place)
            if match is None or _of_an_order(match[0], known):
                return found, end
            found.append(match[0])
        end = match.end()
        joint = _JOINT.match(text, end)
        if joint is None:
            return found, end
        place, comma = joint.end(), joint["comma"] is not None


def _of_an_order(words: str, known: re.Pattern[str]) -> bool:
    """True for words that an order knows: they are never taken for the name of an allergen."""
    groups = (
        phrases.FILLS,
        phrases.DILUENTS,
        phrases.FREQUENCIES,
        phrases.AS_NEEDED,
        phrases.DURATIONS,
        phrases.DEVICES,
        phrases.ROUTES,
    )
    several = [phrase.pattern for group in groups for phrase in group]
    dangers = [pattern for pattern, _, _ in phrases.DANGERS]
    return any(pattern.search(words) for pattern in (*several, *dangers, phrases.OTHER_ROUTES, _ORDERED, known))
