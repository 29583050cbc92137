"""How sure the measured dose is: error against the dose, a line beside the volume, a first dilution, many containers."""

from drawndose.bench.draws import GRADUATE_LEAST, GRADUATES, Draw, draw, ml, too_low_in_cylinder
from drawndose.bench.entries import measured_out
from drawndose.bench.findings import HOUSE, Level, Waiver
from drawndose.bench.safeguards.rule import Said, rule
from drawndose.bench.safeguards.seen import OneTake, Seen, each_take, the_way
from drawndose.bench.takes import percent, usable
from drawndose.quantities import show

DRAW = ("the volume to measure", "the instrument's scale and permissible error")


@rule(
    "first-dilution",
    Level.CAUTION,
    "Is a dilution made here before the dose is measured?",
    needs=DRAW,
    waiver=Waiver.SECOND,
    over=each_take,
)
def first_dilution(one: OneTake) -> Said | None:
    """Three measured volumes carry the dose; four, where the liquid of a powder is one."""
    made = one.take.first_dilution
    if made is None:
        return None
    count, more = ("four", ", the powder's liquid among them,") if one.take.liquid is not None else ("three", "")
    says = (
        f"{ml(made.part.asked)} of a dilution made here carries the dose; the {count} measured "
        f"volumes{more} together may put it off by {percent(one.take.risk)}."
    )
    return Said(says, f"Ask the pharmacy to supply it, or have a second person check all {count} volumes.", HOUSE)


@rule(
    "measured-too-small",
    Level.CAUTION,
    "Can the instrument measure so small a volume?",
    needs=DRAW,
    waiver=Waiver.PREPARER,
    over=each_take,
)
def measured_too_small(one: OneTake) -> Said | None:
    """Permissible error as a share of the dose, above the setting."""
    draw, most = one.take.draw, one.seen.policy.caution_above
    if draw is None or one.take.risk <= most:
        return None
    says = (
        f"{ml(draw.volume)} with {draw.instrument.name} may be off by {percent(one.take.risk)} of the dose; "
        f"the setting is {percent(most)}."
    )
    return Said(says, "Take a finer instrument or a weaker presentation.", draw.instrument.tolerance.origin)


@rule(
    "finer-on-the-bench",
    Level.NOTE,
    "Is a finer measure on the bench than the one that is taken?",
    needs=DRAW,
    waiver=Waiver.UNASKED,
    over=each_take,
)
def finer_on_the_bench(one: OneTake) -> Said | None:
    """The bottle's own dropper goes first; what a syringe of this bench would give is said."""
    take, drawn = one.take, one.take.draw
    if drawn is None or drawn.instrument.id != take.in_hand.presentation.measure:
        return None
    ways = (draw(drawn.asked, tool, one.seen.policy) for tool in usable(take.in_hand, one.seen.instruments))
    finer = [way for way in ways if isinstance(way, Draw) and way.volume == way.asked and way.error < drawn.error]
    if not finer:
        return None
    best = min(finer, key=lambda way: (way.error, way.instrument.capacity))
    says = (
        f"{ml(drawn.volume)} with the dropper may be off by {percent(take.risk)} of the dose; with the {best.instrument.name}, on "
        f"this bench, by {percent(best.error / take.volume)}. The dropper goes first: it stays with the bottle."
    )
    do = f"Where the dose must be surer, draw it with the syringe: {best.reading}. Your facility may rank risk first."
    return Said(says, do, best.instrument.tolerance.origin)


@rule(
    "line-beside-volume",
    Level.CAUTION,
    "Is the dose on a line of the scale?",
    needs=DRAW,
    waiver=Waiver.PREPARER,
    over=each_take,
)
def line_beside_volume(one: OneTake) -> Said | None:
    """An accepted line changes the dose."""
    draw = one.take.draw
    if draw is None or draw.volume == draw.asked:
        return None
    more = "more" if draw.deviation > 0 else "less"
    says = f"The dose needs {ml(draw.asked)}; the accepted line is {ml(draw.volume)}, {percent(draw.deviation)} {more}."
    return Said(says, "Use an instrument that has the line, or have the changed dose agreed.", draw.instrument.origin)


@rule(
    "part-of-powder",
    Level.CAUTION,
    "Is a part taken of a powder made up here?",
    needs=DRAW,
    waiver=Waiver.PREPARER,
    over=each_take,
)
def part_of_powder(one: OneTake) -> Said | None:
    """What the liquid is off by changes the dose: counted with the measure of this bench, and said where none can be.

    Where it is counted in a first dilution, that rule says so.
    """
    take, made_up = one.take, one.take.in_hand.presentation.reconstitution
    drawn = measured_out(take)
    if made_up is None or drawn is None or (take.first_dilution is not None and take.liquid is not None):
        return None
    says = f"{ml(drawn.volume)} is a part of {ml(take.in_hand.contents())} made up here: "
    if take.liquid is None:
        says += (
            f"no measure on this bench shows the {show(made_up.add)} of liquid, so what they are off by is not in the "
            f"{percent(take.risk)} of this plan."
        )
        return Said(says, "Measure the liquid as carefully as the dose, or have the pharmacy make it.", made_up.origin)
    says += (
        f"the {show(made_up.add)} of liquid, off by up to {ml(take.liquid.error)} with the {take.liquid.instrument.name}, "
        f"change the dose too. Both together: {percent(take.risk)}."
    )
    return Said(says, f"Measure the liquid as carefully as the dose: {take.liquid.reading}.", made_up.origin)


@rule(
    "many-containers",
    Level.CAUTION,
    "Does the number of containers make sense for one dose?",
    needs=("the containers opened for one dose",),
    waiver=Waiver.PREPARER,
    over=each_take,
)
def many_containers(one: OneTake) -> Said | None:
    """Many containers for one dose: it is how a tenfold order shows at the bench."""
    take, most = one.take, one.seen.policy.caution_containers
    if take.containers <= most:
        return None
    says = f"One dose opens {take.containers} of {take.in_hand.name}; more than {most} are asked about."
    return Said(says, "Read the order again: so many containers for one dose is how a factor of ten shows.", HOUSE)


@rule(
    "diluent-line",
    Level.CAUTION,
    "Is the diluent on a line of the scale?",
    needs=("the diluent to measure", "the instrument's scale"),
    waiver=Waiver.PREPARER,
    over=the_way,
)
def diluent_line(seen: Seen) -> Said | None:
    """A diluent beside its line changes the fill, not the dose."""
    drawn = seen.fill.drawn
    if drawn is None or drawn.volume == drawn.asked:
        return None
    off = abs(seen.fill.total - seen.fill.wanted) / seen.fill.wanted
    says = (
        f"The diluent needs {ml(drawn.asked)} and is measured as {ml(drawn.volume)}: the cup then holds "
        f"{ml(seen.fill.total)} for {ml(seen.fill.wanted)}. The dose does not change."
    )
    level = None if off > seen.policy.offer_within else Level.NOTE
    return Said(says, "Nothing, unless the fill itself matters.", drawn.instrument.origin, level)


@rule(
    "cylinder-nearly-empty",
    Level.CAUTION,
    "Does a graduated cylinder measure enough of what it holds?",
    needs=("the diluent to measure", "the cylinder's capacity"),
    waiver=Waiver.PREPARER,
    over=the_way,
)
def cylinder_nearly_empty(seen: Seen) -> Said | None:
    """Under a fifth of its capacity a cylinder is off by too large a share of what it measures."""
    drawn = seen.fill.drawn
    if drawn is None or not too_low_in_cylinder(drawn.instrument, drawn.fills[-1]):
        return None
    low, tool = drawn.fills[-1], drawn.instrument
    says = (
        f"{ml(low)} of diluent in the {tool.name} is {percent(low / tool.capacity)} of what it holds; "
        f"{percent(GRADUATE_LEAST)} is the least. It may be off by {ml(tool.permissible_error(low))}."
    )
    return Said(says, "Take a smaller cylinder or a syringe.", GRADUATES)


RULES = (
    first_dilution,
    measured_too_small,
    finer_on_the_bench,
    line_beside_volume,
    part_of_powder,
    many_containers,
    diluent_line,
    cylinder_nearly_empty,
)
