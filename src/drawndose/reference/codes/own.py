"""A department's own list of what its codes are: asked once, then remembered with who said so and when.

Nothing is inferred from a GTIN. An unknown one is said to be unknown; a person looks at the label and says which presentation
and which pack it is. This module is the value and its TOML; keeping it is the business of a door.
"""

import datetime
import tomllib
from collections.abc import Iterable
from dataclasses import dataclass

from drawndose.quantities import Fault, Quantity, Refused, gather
from drawndose.quantities.showing import data_text
from drawndose.reference.catalogue import Catalogue
from drawndose.reference.codes.check_digits import digits_only, holds
from drawndose.reference.presentation import Pack, Presentation
from drawndose.reference.table import Table

_LENGTHS = (8, 12, 13, 14)


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnProduct:
    """One GTIN (fourteen digits), the presentation and pack that a person says it is, who said so, and when."""

    gtin: str
    presentation: Presentation
    pack: Pack
    by: str
    when: datetime.date


def known(gtin: str, products: Iterable[OwnProduct]) -> OwnProduct | None:
    """The product of a GTIN in the list, or None: it is not known, and nothing is concluded from the number."""
    return next((one for one in products if one.gtin == gtin.zfill(14)), None)


def write(products: Iterable[OwnProduct]) -> str:
    """The list as TOML, which `read` gives back."""
    return "\n".join(
        f"[[product]]\ngtin = {_quoted(one.gtin)}\npresentation = {_quoted(one.presentation.id)}\n"
        f"pack = {_quoted(size(one.pack))}\nby = {_quoted(one.by)}\nwhen = {one.when.isoformat()}\n"
        for one in products
    )


def _quoted(text: str) -> str:
    """A TOML text: what cannot stand in quotes is written by its number."""
    return (
        '"'
        + "".join(sign if sign.isprintable() and sign not in '"\\' else f"\\U{ord(sign):08x}" for sign in text)
        + '"'
    )


def size(pack: Pack) -> str:
    """The size of a pack as data spell it: 20 mL."""
    quantity = pack.volume or pack.amount
    assert quantity is not None
    return data_text(quantity)


def read(text: str, name: str, *, catalogue: Catalogue) -> tuple[OwnProduct, ...]:
    """The products of a TOML text with [[product]] tables; name is the file's. Refused with every fault of the file."""
    faults: list[Fault] = []
    try:
        values = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise Refused(
            [Fault(field=name, rule=str(error), came="the file", accepted="TOML with [[product]]")]
        ) from error
    top = Table(values, name, faults)
    made = [_product(table, catalogue) for table in top.tables("product")]
    top.done()
    products = tuple(one for one in made if one is not None)
    gtins = [one.gtin for one in products]
    for gtin in sorted({gtin for gtin in gtins if gtins.count(gtin) > 1}):
        top.fault("product", "a GTIN stands once", gtin, "one line for each GTIN")
    gather(faults)
    return products


def _product(table: Table, catalogue: Catalogue) -> OwnProduct | None:
    """One product, or None with its faults kept."""
    before = len(table.faults)
    gtin = table.text("gtin")
    if not digits_only(gtin) or len(gtin) not in _LENGTHS or not holds(gtin):
        table.fault("gtin", "8, 12, 13 or 14 digits whose check digit holds", gtin, "00312345678906")
    presentation = _presentation(table, catalogue)
    pack = _pack(table, presentation) if presentation is not None else None
    by, when = table.text("by"), table.day("when")
    if presentation is None:
        table.raw("pack")
    table.done()
    if len(table.faults) > before or presentation is None or pack is None:
        return None
    return OwnProduct(gtin=gtin.zfill(14), presentation=presentation, pack=pack, by=by, when=when)


def _presentation(table: Table, catalogue: Catalogue) -> Presentation | None:
    ident = table.text("presentation")
    try:
        return catalogue.presentation(ident)
    except KeyError:
        table.fault("presentation", "no presentation has this id", ident, "an id that the catalogue lists")
        return None


def _pack(table: Table, presentation: Presentation) -> Pack | None:
    """The pack of this size; a presentation with one size may leave it out."""
    if not table.has("pack") and len(presentation.packs) == 1:
        table.raw("pack")
        return presentation.packs[0]
    wanted: Quantity | None = table.quantity("pack", "")
    for pack in presentation.packs:
        if wanted is not None and any(_same(wanted, held) for held in (pack.volume, pack.amount)):
            return pack
    sizes = ", ".join(size(pack) for pack in presentation.packs)
    table.fault("pack", "the presentation has no pack of this size", str(table.raw("pack")), sizes)
    return None


def _same(wanted: Quantity, held: Quantity | None) -> bool:
    """The same amount, whatever it is an amount of: the presentation says that."""
    return held is not None and wanted.dimension == held.dimension and wanted.base == held.base
