"""The few tags that templates use. No template formats a number by itself."""

import re
from collections.abc import Mapping
from fractions import Fraction

from django import template
from django.template.loader import render_to_string
from django.templatetags.static import static
from django.utils.html import escape, format_html
from django.utils.safestring import SafeString, mark_safe

from drawndose.bench.drawing import Figure
from drawndose.bench.takes import percent as share
from drawndose.department.web.answering import Answer
from drawndose.department.web.parts import Specimen
from drawndose.quantities import Fault, Quantity, show_about

register = template.Library()

_UNITS = r"(?:mL|mg|mcg|g|kg|L|%|h|min|units?|million|mOsm|whole|drops?|days?|hours?|doses?|mm)\b|%"
_NUMBER_AND_UNIT = re.compile(rf"(?<=\d) (?={_UNITS})")


@register.filter
def glue(text: object) -> str:
    """The text with a no-break space between every number and its unit, so that no line ends in a bare number."""
    return _NUMBER_AND_UNIT.sub("\u00a0", str(text))


@register.filter
def amount(quantity: Quantity) -> str:
    """A quantity for people."""
    return glue(show_about(quantity))


@register.filter
def ml(volume: Fraction) -> str:
    """A volume in mL for people."""
    return glue(show_about(Quantity.of_text(volume, "mL")))


@register.filter
def percent(value: Fraction) -> str:
    """A share as percent for people."""
    return glue(share(value))


@register.simple_tag
def icon(name: str) -> SafeString:
    """One icon; the word beside it carries the meaning."""
    return format_html(
        '<svg class="icon" aria-hidden="true" focusable="false"><use href="{}#{}"/></svg>',
        static("drawndose/icons/icons.svg"),
        name,
    )


@register.simple_tag
def picture(figure: Figure) -> SafeString:
    """The drawing itself. It is made of our own text and coordinates; every word in it was escaped when it was written."""
    return mark_safe(figure.small + figure.svg)


@register.simple_tag
def faults_at(answer: Answer, name: str) -> tuple[Fault, ...]:
    """The faults of one field of the form."""
    return answer.at(name)


@register.filter
def at(found: Mapping[str, object], name: str) -> object:
    """What stands under a name; None where nothing does."""
    return found.get(name)


@register.filter
def bold_drug(text: str, names: tuple[str, ...]) -> SafeString:
    """The order's words with the drug's own words in bold."""
    written = escape(glue(text))
    for name in names:
        written = re.sub(rf"(?i)\b({re.escape(escape(name))})\b", r"<b>\1</b>", written, count=1)
    return mark_safe(written)


@register.simple_tag
def one_specimen(specimen: Specimen) -> SafeString:
    """One state of the plan's region, with its own context."""
    return mark_safe(render_to_string("bench/plan.html", specimen.context))


@register.filter
def label_of(name: str) -> str:
    """The name of a field as people read it."""
    base, _, number = name.rpartition("_")
    words = f"{base} {number}" if number in {"2", "3"} else name
    if words.startswith(("count-", "left-")):
        words = "how many" if words.startswith("count-") else "what is left"
    words = words.replace("_", " ").replace("bench-cup", "cup").replace("bench-started", "preparing begins")
    return words[:1].upper() + words[1:]
