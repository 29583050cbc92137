"""A drawing as PNG: typst sets it on a page of its own size, with the type that is packaged here, and loads nothing else.

typst is wanted only when a PNG is asked for; the core and every other command do without it.
"""

import re
from importlib import import_module
from pathlib import Path

from drawndose.quantities import Fault, Refused

TYPE = Path(__file__).with_name("type")  # B612 of the pages, unpacked; its licence lies beside it
WIDTHS = (100, 4_000)


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
    try:
        typst = import_module("typst")
    except ImportError as error:
        rule = "a PNG needs the package typst, which is not installed"
        accepted = 'pip install "drawndose[paper]", or --svg'
        raise Refused([Fault(field="png", rule=rule, came=str(error), accepted=accepted)]) from error
    height = round(width * float(size[2]) / float(size[1]))
    page = f"#set page(width: {width}pt, height: {height}pt, margin: 0pt, fill: none)\n"
    page += '#image(bytes(sys.inputs.picture), format: "svg", width: 100%, height: 100%)'
    made = typst.compile(
        page.encode(),
        format="png",
        ppi=72.0,  # at which a point is a pixel
        sys_inputs={"picture": svg},
        font_paths=[str(TYPE)],
        ignore_system_fonts=True,  # the same picture on every machine
    )
    assert isinstance(made, bytes)
    return made
