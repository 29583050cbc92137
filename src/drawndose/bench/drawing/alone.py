"""A drawing that stands alone: the same SVG as on the page, with its own style, name and words inside the file.

In one of the three lightings of the pages, or on paper. Level, air and band are told by shape and words, never by colour
alone; the palettes only follow what the page around a drawing does.
"""

from __future__ import annotations

import re
from fractions import Fraction
from html import escape
from string import Template
from types import MappingProxyType

from drawndose.bench.drawing.figure import UNITS_PER_MM, Figure, px, rect

PADDING = 4
OPENING = r'<svg class="(?P<css>[^"]*)"[^>]* viewBox="0 0 (?P<width>[0-9.]+) (?P<height>[0-9.]+)" width="[0-9.]+(?P<mm>mm)?"[^>]*>'

LIGHTS = MappingProxyType(
    {
        "paper": {
            "ink": "#000",
            "page": "#fff",
            "liquid": "none",
            "stopper": "#fff",
            "edge": "#000",
            "tint": "none",
            "mark": "1.5px",
        },
        "day": {
            "ink": "#16202a",
            "page": "#ffffff",
            "liquid": "#d8e9f7",
            "stopper": "#eceff2",
            "edge": "#0b4f8a",
            "tint": "#0b4f8a",
            "mark": "1.5px",
        },
        "bright": {
            "ink": "#000",
            "page": "#fff",
            "liquid": "#cfe6fa",
            "stopper": "#fff",
            "edge": "#00305c",
            "tint": "#00305c",
            "mark": "2px",
        },
        "night": {
            "ink": "#e4eaef",
            "page": "#10171e",
            "liquid": "#1d3a52",
            "stopper": "#27323c",
            "edge": "#8cc3f5",
            "tint": "#8cc3f5",
            "mark": "1.5px",
        },
    }
)
"""The colours of each lighting, by what they are for. Day, Bright and Night are the pages' own; paper takes no tint."""

STYLE = Template("""
svg { color: $ink; }
line, path, rect, circle { vector-effect: non-scaling-stroke; }
path, line { fill: none; stroke: $ink; stroke-width: 1.5px; }
rect { fill: none; stroke: none; }
.background { fill: $page; }
.outline, .flange, .bulb, .meniscus { stroke: $ink; stroke-width: 2px; }
.flange, .hub { fill: $stopper; }
.stopper-body { fill: $stopper; stroke: $ink; stroke-width: 2px; fill-opacity: .85; }
.thin, .dome { stroke-width: 1px; }
.dome, .after { stroke-dasharray: 3 3; }
.liquid-body { fill: $liquid; stroke: none; }
.rib { fill: $ink; opacity: .45; }
.mark { stroke-width: $mark; }
.guide { stroke-width: $mark; stroke-dasharray: 5 4; }
.fill-line { stroke: $edge; stroke-width: 2px; stroke-dasharray: 5 4; }
.halo { stroke: $page; stroke-width: 9px; }
.edge { stroke: $edge; stroke-width: 3px; }
.band-edge { stroke: $edge; }
.band-tint { fill: $tint; opacity: .14; }
.callout-box { fill: $page; stroke: $edge; stroke-width: 2px; }
.bubble, .air-layer { fill: $page; }
.bubble { stroke: $ink; stroke-width: 1.5px; stroke-dasharray: 4 3; }
.air-edge, .past { stroke-dasharray: 4 3; }
.former { stroke: $ink; stroke-width: 1.5px; stroke-dasharray: 4 3; }
.badge { fill: $page; stroke: $ink; stroke-width: 2px; }
.needle, .gap { fill: $page; }
.gap { stroke: none; }
.filter { fill: $ink; }
.window-frame { stroke: $ink; stroke-width: 1px; stroke-dasharray: 4 3; }
.dot { fill: $ink; stroke: none; }
text { font-family: B612, "DejaVu Sans", "Liberation Sans", Arial, sans-serif; fill: $ink; }
.numeral { font-size: 17px; font-weight: 700; }
.callout-number { font-size: 22px; font-weight: 700; }
.moment-number { font-size: 18px; font-weight: 700; }
.badge-number { font-size: 15px; font-weight: 700; }
.callout-words, .guide-words, .guide-fill, .note-words { font-size: 14.5px; }
.guide-fill, .container-number { font-weight: 700; }
.container-number { font-size: 15px; }
.rule-words { font-size: 12px; }
""")


def alone(figure: Figure, light: str = "paper") -> str:
    """The figure as one SVG file. Its name and words stand inside as title and description, since no page holds them.

    light: one of LIGHTS. A drawing in millimetres keeps its size.
    """
    opening = re.match(OPENING, figure.svg)
    assert opening is not None  # every figure is one SVG
    told = f"<title>{escape(figure.name)}</title><desc>{escape(' '.join(figure.words))}</desc>"
    # Room for half a stroke around the picture: on the page the neighbours leave it, in a file nothing does.
    width, height = (Fraction(opening[side]) + 2 * PADDING for side in ("width", "height"))
    unit, each = ("mm", UNITS_PER_MM) if opening["mm"] else ("", 1)
    size = f'viewBox="-{PADDING} -{PADDING} {px(width)} {px(height)}" width="{px(width / each)}{unit}"'
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="{opening["css"]}" {size} height="{px(height / each)}{unit}">'
    )
    back = rect("background", -PADDING, -PADDING, width, height)
    style = f"<style>{STYLE.substitute(LIGHTS[light])}</style>"
    return f"{head}{told}{style}{back}{figure.svg[opening.end() :]}\n"
