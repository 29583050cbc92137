"""From what was typed to a figure: which sort of thing an id names, and which pictures there are of it."""

import argparse
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from zoneinfo import ZoneInfo

from drawndose.bench import drawing
from drawndose.bench.draws import line_words, ml
from drawndose.cli.have import read_containers
from drawndose.cli.instruments import own_instruments
from drawndose.quantities import Fault, Gathering, Manner, Refused, gather, nearest, read_quantity
from drawndose.reference import TAKES_NEEDLE, Catalogue, Container, Cup, Instrument, Kind, Needle, load

OPTIONS = {"bubble": "air in it", "trim": "over-draw and trim", "needle": "a needle on it", "life_size": "life size",
           "in_use": "in use"}  # fmt: skip
"""The options that choose a picture, and what each shows."""
NEEDLES = "`drawndose catalogue instruments`"
"""Where every needle is listed."""


def figure_of(args: argparse.Namespace) -> drawing.Figure:
    """The figure that was asked for. Refused for an unknown id, a volume that cannot be drawn, an option that does not fit."""
    book = load()
    own = [one for name in args.own for one in own_instruments(name).measures]
    measures = {one.id: one for one in (*book.measures, *own)}
    cups = {one.id: one for one in book.cups}
    needles = {one.id: one for one in book.needles}
    if args.what not in measures and args.volume in {*measures, *cups}:
        args.what, args.volume = args.volume, args.what  # either may come first, as in `compare`
    if args.what in measures:
        return _instrument(measures[args.what], args, needles)
    if args.what in cups:
        return _cup(cups[args.what], args)
    if args.what in needles:
        return _needle(needles[args.what], args)
    if any(args.what.split(" ")[0] == one.id for one in book.presentations):
        return _container(args, book, needles)
    rule = "nothing in the catalogue has this id"
    ids = [*measures, *cups, *needles, *(one.id for one in book.presentations)]
    accepted = nearest(args.what, ids, "`drawndose catalogue` and `drawndose catalogue instruments`")
    raise Refused([Fault(field="draw", rule=rule, came=args.what, accepted=accepted)])


def _only(args: argparse.Namespace, sort: str, *fit: str, together: tuple[str, ...] = ()) -> list[Fault]:
    """The faults of options that do not fit this sort of thing, and of two pictures asked for at once."""
    given = [name for name in OPTIONS if getattr(args, name)]
    faults = [
        Fault(field=name.replace("_", "-"), rule=f"{sort} is not drawn with this", came=OPTIONS[name],
              accepted=" or ".join(f"--{one.replace('_', '-')}" for one in fit) or "no option for the picture")
        for name in given if name not in fit
    ]  # fmt: skip
    pictures = [name for name in given if name in fit and name not in together]
    if len(pictures) > 1:
        came = ", ".join(f"--{one.replace('_', '-')}" for one in pictures)
        faults.append(Fault(field="draw", rule="one picture shows one thing", came=came, accepted="one of them"))
    if args.left and sort != "a container":
        faults.append(Fault(field="left", rule=f"nothing is left in {sort}", came=args.left, accepted="a container"))
    return faults


def _volume(text: str, field: str = "volume") -> Fraction:
    """A volume that was typed, mL."""
    if not text:
        raise Refused([Fault(field=field, rule="a volume is wanted", came="", accepted="0.4 mL, in quotes")])
    alone = text.strip().replace(".", "", 1).isdecimal()  # a scale shows mL and nothing else, as in `compare`
    quantity = read_quantity(f"{text} mL" if alone else text, field=field, manner=Manner.READING)
    if quantity.dimension != (("volume", 1),):
        raise Refused([Fault(field=field, rule="a volume is wanted", came=text, accepted="0.4 mL")])
    return quantity.to("mL").value


def _line(tool: Instrument, text: str) -> Fraction:
    """The volume of a line. Refused for a volume beyond the scale, or between lines, with the lines beside it."""
    volume = _volume(text)
    if tool.shows(volume):
        return volume
    around = tool.lines_around(volume)
    if around is None:
        accepted = f"more than 0 and at most {ml(tool.capacity)}"
        raise Refused([Fault(field="volume", rule=f"the scale of the {tool.name} ends", came=text, accepted=accepted)])
    accepted = " or ".join(ml(line) for line in around if line)
    raise Refused([Fault(field="volume", rule=f"the {tool.name} has no line there", came=text, accepted=accepted)])


def _one_needle(ident: str, needles: dict[str, Needle]) -> Needle:
    if ident not in needles:
        rule = "the needle is not in the catalogue"
        raise Refused([Fault(field="needle", rule=rule, came=ident, accepted=nearest(ident, needles, NEEDLES))])
    return needles[ident]


def _instrument(tool: Instrument, args: argparse.Namespace, needles: dict[str, Needle]) -> drawing.Figure:
    """One fill to a line; with an option, another picture of that fill."""
    fit = ("bubble", "trim", "needle", "life_size") if tool.kind is Kind.SYRINGE else ()
    gathering = Gathering()
    gathering.faults += _only(args, f"the {tool.name}", *fit)
    needle = gathering.take(lambda: _one_needle(args.needle, needles)) if args.needle else None
    if needle is not None and tool.kind is Kind.SYRINGE and tool.tip not in TAKES_NEEDLE:
        came = needle.name
        gathering.faults.append(
            Fault(field="needle", rule="an oral tip takes no needle", came=came, accepted="a luer tip")
        )
    empty = needle is not None and not args.volume
    volume = Fraction(0) if empty else gathering.take(lambda: _line(tool, args.volume))
    bubble = gathering.take(lambda: _volume(args.bubble, "bubble")) if args.bubble else Fraction(0)
    gather(gathering.faults)
    assert volume is not None
    assert bubble is not None
    if needle is not None:
        return drawing.needle_on("drawn", tool, needle, volume)
    parts = ("drawn", tool, volume, line_words(tool, volume))
    if args.trim:
        return _or_refused(
            Fault(field="trim", rule="", came=args.volume, accepted="a line with one past it"), drawing.trim, *parts
        )
    if args.life_size:
        return _or_refused(
            Fault(field="life-size", rule="", came=tool.name, accepted="a scale of known length"),
            drawing.life_size,
            *parts,
        )
    if args.bubble:
        fault = Fault(field="bubble", rule="", came=args.bubble, accepted=f"more than 0 and less than {ml(volume)}")
        return _or_refused(fault, drawing.syringe, *parts, bubble=bubble)
    return drawing.filled(*parts)


def _or_refused(fault: Fault, make: Callable[..., drawing.Figure], *parts: object, **more: object) -> drawing.Figure:
    """A figure, or the drawing's own reason against it in the place of the fault's rule."""
    try:
        return make(*parts, **more)
    except ValueError as error:
        raise Refused([replace(fault, rule=str(error))]) from error


def _cup(cup: Cup, args: argparse.Namespace) -> drawing.Figure:
    faults = _only(args, "a cup")
    gathering = Gathering()
    gathering.faults += faults
    fill, most = gathering.take(lambda: _volume(args.volume)), cup.holds.to("mL").value
    if fill is not None and not 0 < fill <= most:
        rule = f"the {cup.name} does not hold this"
        gathering.faults.append(Fault(field="volume", rule=rule, came=args.volume, accepted=f"up to {ml(most)}"))
    gather(gathering.faults)
    assert fill is not None
    return drawing.cup("drawn", cup, fill)


def _needle(needle: Needle, args: argparse.Namespace) -> drawing.Figure:
    faults = _only(args, "a needle alone")
    if args.volume:
        accepted = "no volume, or the id of a syringe with --needle"
        faults.append(Fault(field="volume", rule="a needle is filled to no line", came=args.volume, accepted=accepted))
    gather(faults)
    return drawing.needle_alone("drawn", needle)


def _container(args: argparse.Namespace, book: Catalogue, needles: dict[str, Needle]) -> drawing.Figure:
    """What leaves one container, from the side or while it is drawn from."""
    gathering = Gathering()
    kind = book.presentation(args.what.split(" ")[0]).container
    through = ("needle",) if args.in_use and kind is Container.GLASS_AMPOULE else ()
    gathering.faults += _only(args, "a container", "in_use", *through, together=through)
    named = f"{args.what} left {args.left}" if args.left else args.what
    found = gathering.take(lambda: read_containers([named], book, ZoneInfo("UTC"), "draw"))
    taken = gathering.take(lambda: _volume(args.volume))
    needle = gathering.take(lambda: _one_needle(args.needle, needles)) if args.needle else None
    if found is not None and len(found) > 1:
        sizes = ", ".join(ml(one.contents()) for one in found)
        rule = "it comes in several sizes"
        gathering.faults.append(
            Fault(field="draw", rule=rule, came=args.what, accepted=f"{args.what} and one of {sizes}")
        )
    gather(gathering.faults)
    assert found is not None
    assert taken is not None
    hand = found[0]
    holds = hand.contents()
    full = hand.pack.volume.to("mL").value if hand.pack.volume is not None else holds
    if not 0 < taken <= holds:
        rule, accepted = "this cannot leave one container", f"more than 0 and at most {ml(holds)}"
        raise Refused([Fault(field="volume", rule=rule, came=args.volume, accepted=accepted)])
    name = hand.presentation.name
    if not args.in_use:
        return drawing.container("drawn", kind, name, (holds, full), (taken,))
    if kind in drawing.VIALS:
        return drawing.inverted_vial("drawn", kind, name, (holds, full), taken)
    if kind is not Container.GLASS_AMPOULE:
        rule = f"a {kind.value} is not drawn in use"
        raise Refused([Fault(field="in-use", rule=rule, came=name, accepted="a vial or an ampoule")])
    filtering = needle or next(one for one in book.needles if one.filters)
    fault = Fault(field="needle", rule="", came=filtering.name, accepted="a filter needle or a filter straw")
    return _or_refused(fault, drawing.opened_ampoule, "drawn", name, (holds, full), taken, filtering)
