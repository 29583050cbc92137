"""A drawing as PNG: set on a page of its own size, with the packaged type."""

import re

from drawndose.paper import Setting
from drawndose.quantities import Fault, Refused

WIDTHS = (100, 4_000)
PAGE = """\
#set page(width: float(sys.inputs.width) * 1pt, height: float(sys.inputs.height) * 1pt, margin: 0pt, fill: none)
#image(bytes(sys.inputs.picture), format: "svg", width: 100%, height: 100%)
"""
DOTS_PER_MM = 72 / 25.4  # at which a point is a pixel


def read_width(text: str) -> int:
    """The width of a PNG in pixels. Refused for anything but a whole number within WIDTHS."""
    least, most = WIDTHS
    if not re.fullmatch(r"[0-9]{1,5}", text) or not least <= int(text) <= most:
        accepted = f"{least} to {most:,}, without a comma"
        raise Refused([Fault(field="width", rule="a width is a whole number of pixels", came=text, accepted=accepted)])
    return int(text)


def png(svg: str, width: int) -> bytes:
    """The picture, so many pixels wide. svg: a drawing that stands alone. Refused when typst is not installed."""
    size = re.search(r'viewBox="\S+ \S+ (\S+) (\S+)"', svg)
    assert size is not None  # every drawing has one
    height = round(width * float(size[2]) / float(size[1]))
    values = {"picture": svg, "width": str(width), "height": str(height)}
    return Setting(PAGE, values).png(DOTS_PER_MM)[0]
