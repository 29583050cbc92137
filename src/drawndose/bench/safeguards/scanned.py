"""What a scanned code leaves open: asked and not answered, past its day, not known here, or silent about lot and expiry."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from drawndose.bench.findings import HOUSE, Finding, Level, Waiver
from drawndose.bench.safeguards.rule import Rule, Said, in_order, rule
from drawndose.reference import How, Origin
from drawndose.reference.codes import Kind, OwnProduct, Question, Scan
from drawndose.reference.codes.dates import told
from drawndose.reference.codes.elements import printable
from drawndose.reference.codes.meanings import is_past, last_use

SYMBOLS = Origin(source="gs1-kinds-of-symbol", at="symbology identifiers, separator", how=How.SECONDARY)
BARCODE_RULE = Origin(source="cfr-21-201-25", at="21 CFR 201.25(c)(1)", how=How.READ)
NDC_FORMATS = Origin(source="fda-ndc-formats", at="21 CFR 207.33(b)", how=How.SECONDARY)
ORIGINS = {Question.SEPARATOR: SYMBOLS, Question.HYPHENS: NDC_FORMATS, Question.STANDARDS: HOUSE}
EXPIRY = Origin(source="usp-7-month-and-year", at="expiration date", how=How.READ)


@dataclass(frozen=True, slots=True, kw_only=True)
class Scanned:
    """A scan with what it is held against: the moment (a day, or a time of that place), and what the department knows.

    listed: whether a list of the department's own products was looked in; product: what it says of this GTIN.
    """

    scan: Scan
    year: int
    moment: date
    listed: bool
    product: OwnProduct | None


def _it(scanned: Scanned) -> Iterator[Scanned]:
    yield scanned


@rule(
    "scan-asked",
    Level.STOP,
    "Can the code be read in one way only?",
    needs=("the scanned text",),
    waiver=Waiver.NOBODY,
    over=_it,
)
def scan_asked(scanned: Scanned) -> Said | None:
    """Several readings, or one that a lost separator makes: shown, never chosen."""
    question = scanned.scan.question
    if question is None:
        return None
    count = len(scanned.scan.readings)
    ways = f"{'at least ' if scanned.scan.more else ''}{count} reading{'' if count == 1 else 's'}"
    do = "Compare them with what is printed on the container. Never guess."
    return Said(f"{question.value}: {ways}.", do, ORIGINS[question])


@rule(
    "scan-past-expiry",
    Level.STOP,
    "Is the scanned product past its day?",
    needs=("the expiry in the code", "the moment"),
    waiver=Waiver.NOBODY,
    over=_it,
)
def scan_past_expiry(scanned: Scanned) -> Said | None:
    """Usable to the end of the day; after it nobody can pass over it. While the scan is asked, every reading counts."""
    past = [
        expiry
        for reading in scanned.scan.readings
        if (expiry := last_use(reading.elements, year=scanned.year)) and is_past(expiry, scanned.moment)
    ]
    if not past:
        return None
    certain = "It expired" if scanned.scan.question is None else "By one reading it expired"
    return Said(f"{certain} {told(past[0])}; it is {told(scanned.moment)}.", "Put it aside and take another.", EXPIRY)


@rule(
    "product-not-known",
    Level.STOP,
    "Is the product number known here?",
    needs=("the GTIN in the code", "the department's own list"),
    waiver=Waiver.NOBODY,
    over=_it,
)
def product_not_known(scanned: Scanned) -> Said | None:
    """Asked, then remembered: neither drug nor strength is concluded from a number."""
    gtins = sorted({reading.gtin for reading in scanned.scan.readings if reading.gtin})
    if not gtins or scanned.product is not None:
        return None
    says = f"The product {' or '.join(gtins)} is not known here; nothing is concluded from its number."
    do = "Read the label, say which presentation and pack it is, and keep that with your name and the date."
    return Said(says, do, HOUSE, None if scanned.listed else Level.NOTE)


@rule(
    "symbol-not-gs1",
    Level.CAUTION,
    "Does the symbol say that it is GS1's?",
    needs=("the symbology identifier",),
    waiver=Waiver.PREPARER,
    over=_it,
)
def symbol_not_gs1(scanned: Scanned) -> Said | None:
    """A plain symbol is never parsed as if it held element strings."""
    plain = [part for part in scanned.scan.parts if part.kind is Kind.PLAIN]
    if not plain:
        return None
    name = plain[0].symbology.name if plain[0].symbology else "A web address"
    says = f"{name} without a GS1 key: {printable(plain[0].came)[:60]}."
    return Said(says, "Scan another code of the container, or type what its label says.", SYMBOLS)


@rule(
    "scan-without-lot-or-expiry",
    Level.NOTE,
    "Does the code hold lot and expiry at all?",
    needs=("what the code holds",),
    waiver=Waiver.UNASKED,
    over=_it,
)
def scan_without_lot_or_expiry(scanned: Scanned) -> Said | None:
    """A drug's code need hold no more than the product number."""
    reading = scanned.scan.answer
    if reading is None or (reading.gtin is None and reading.ndc is None):
        return None
    missing = ["lot"] if reading.value("10") is None else []
    missing += ["expiry"] if last_use(reading.elements, year=scanned.year) is None else []
    if not missing:
        return None
    return Said(f"The code holds no {' and no '.join(missing)}.", "Read it on the container.", BARCODE_RULE)


RULES: tuple[Rule[Scanned], ...] = (
    scan_asked,
    scan_past_expiry,
    product_not_known,
    symbol_not_gs1,
    scan_without_lot_or_expiry,
)


def scan_findings(scanned: Scanned) -> tuple[Finding, ...]:
    """Every finding on a scan, stops first."""
    return in_order(found for one in RULES for found in one.findings(scanned))
