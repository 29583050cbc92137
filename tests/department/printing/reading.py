"""Read what was printed with tools that had no part in making it: pdfium for the PDF, zxing-cpp for the code, Pillow for the PNG."""

from __future__ import annotations

import io
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import pypdfium2
import pypdfium2.raw as pdfium
import zxingcpp
from PIL import Image

MM = 72 / 25.4


@dataclass(frozen=True)
class Sign:
    """One printed sign: its size in points, and its ink in mm from the left and the top of its page."""

    says: str
    points: float
    left: float
    top: float
    right: float
    bottom: float


def pages(pdf: bytes) -> Iterator[pypdfium2.PdfPage]:
    yield from pypdfium2.PdfDocument(pdf)


def sides(pdf: bytes) -> list[tuple[float, float]]:
    """Of each page, mm."""
    return [(round(page.get_width() / MM, 2), round(page.get_height() / MM, 2)) for page in pages(pdf)]


def told(pdf: bytes, *, turned: bool = False) -> list[str]:
    """The text of each page."""
    found = []
    for page in pages(pdf):
        if turned:
            page.set_rotation(90)
        text = page.get_textpage()
        found.append("".join(_sign(text, at) for at in range(text.count_chars())))
    return found


def _sign(text: pypdfium2.PdfTextPage, at: int) -> str:
    """One sign; a hyphen that ends a line stays one, which pdfium's own text leaves out."""
    return "-" if pdfium.FPDFText_IsHyphen(text, at) == 1 else text.get_text_range(at, 1)


def bare(text: str) -> str:
    """Text without its spaces and line ends, each letter in its one form."""
    return "".join(unicodedata.normalize("NFC", text).split())


def signs(pdf: bytes) -> Iterator[list[Sign]]:
    for page in pages(pdf):
        text, height = page.get_textpage(), page.get_height()
        found = []
        for at in range(text.count_chars()):
            says = text.get_text_range(at, 1)
            left, bottom, right, top = text.get_charbox(at)
            if says.strip():
                size = pdfium.FPDFText_GetFontSize(text, at)
                found.append(Sign(says, size, left / MM, (height - top) / MM, right / MM, (height - bottom) / MM))
        yield found


def codes(picture: Image.Image) -> list[zxingcpp.Barcode]:
    return zxingcpp.read_barcodes(picture, text_mode=zxingcpp.TextMode.Plain)


def printed_pages(pdf: bytes, dots_per_mm: float) -> list[Image.Image]:
    return [page.render(scale=dots_per_mm * 25.4 / 72).to_pil().convert("RGB") for page in pages(pdf)]


def shown(png: bytes) -> Image.Image:
    return Image.open(io.BytesIO(png)).convert("RGB")


def furthest_apart(one: Image.Image, other: Image.Image, block: int = 8) -> float:
    """The largest difference of the mean grey of a block of pixels, of 255: edges blur alike, a letter more or less does not."""
    grey = [np.asarray(each.convert("L").resize(other.size), float) for each in (one, other)]
    high, wide = (side // block for side in grey[0].shape)
    apart = (grey[0] - grey[1])[: high * block, : wide * block]
    return float(abs(apart.reshape(high, block, wide, block).mean((1, 3))).max())
