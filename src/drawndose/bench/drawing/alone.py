"""A drawing that stands alone: the same SVG as on the page, with its own style, name and words inside the file.

Black on white, for paper and for a slide; level and band are told by shape and words, never by colour alone.
"""

from __future__ import annotations

import re
from fractions import Fraction
from html import escape

from drawndose.bench.drawing.figure import Figure, px

PADDING = 4

STYLE = """
svg { background: #fff; color: #000; }
line, path, rect { vector-effect: non-scaling-stroke; }
path, line { fill: none; stroke: #000; stroke-width: 1.5px; }
rect { fill: none; stroke: none; }
.outline, .flange, .bulb, .meniscus { stroke-width: 2px; }
.flange, .stopper-body { fill: #eee; }
.stopper-body { stroke: #000; stroke-width: 2px; fill-opacity: .85; }
.thin, .dome { stroke-width: 1px; }
.dome, .after { stroke-dasharray: 3 2; }
.liquid-body { fill: #e3eef7; stroke: none; }
.rib { fill: #000; opacity: .45; }
.guide, .fill-line { stroke-dasharray: 5 4; }
.halo { stroke: #fff; stroke-width: 9px; }
.edge { stroke-width: 3px; }
.band-tint { fill: #000; opacity: .1; }
.callout-box { fill: #fff; stroke: #000; stroke-width: 2px; }
.dot { fill: #000; }
text { font-family: sans-serif; fill: #000; }
.numeral { font-size: 16px; font-weight: 700; }
.callout-number { font-size: 19px; font-weight: 700; }
.callout-words, .guide-words, .guide-fill { font-size: 14.5px; }
.container-number { font-size: 15px; font-weight: 700; }
"""


def alone(figure: Figure) -> str:
    """The figure as one SVG file. Its name and words stand inside as title and description, since no page holds them."""
    told = f"<title>{escape(figure.name)}</title><desc>{escape(' '.join(figure.words))}</desc><style>{STYLE}</style>"
    opening = re.match(r"<svg[^>]*>", figure.svg)
    assert opening is not None  # every figure is one SVG
    head = re.sub(r' aria-[a-z]+="[^"]*"', "", opening[0])
    head = head.replace("<svg", '<svg xmlns="http://www.w3.org/2000/svg"', 1)
    head = re.sub(r'viewBox="0 0 ([0-9.]+) ([0-9.]+)"', _padded, head)
    return f"{head}{told}{figure.svg[opening.end() :]}\n"


def _padded(match: re.Match[str]) -> str:
    """Room for half a stroke around the picture: on the page the neighbours leave it, in a file nothing does."""
    width, height = (px(Fraction(size) + 2 * PADDING) for size in match.groups())
    return f'viewBox="-{PADDING} -{PADDING} {width} {height}"'
