"""A plan as the page shows it: the one number, the drawings, findings in their budget, sources in words.

Nothing is worked out here that the engine has not worked out; values are only put into words and places.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from drawndose.bench import drawing
from drawndose.bench.draws import Draw, ml
from drawndose.bench.findings import Finding, Level
from drawndose.bench.plans import Plan, Status
from drawndose.bench.takes import Take, percent
from drawndose.quantities import show_about
from drawndose.reference import Catalogue, Container, How, Note, Origin, Presentation

OPEN_CAUTIONS = 3

NOUNS = {
    Container.PLASTIC_UNIT_DOSE: ("unit dose", "unit doses"),
    Container.POWDER_VIAL: ("vial, made up", "vials, made up"),
}

PLURALS = {
    Container.DROPPER_BOTTLE: "bottles",
    Container.STOPPERED_VIAL: "vials",
    Container.GLASS_AMPOULE: "ampoules",
    Container.PLASTIC_UNIT_DOSE: "unit doses",
    Container.POWDER_VIAL: "vials",
    Container.BULK: "bottles",
}

STATUS = {
    Status.READY: ("check", "Ready to draw up"),
    Status.ASK: ("circle-help", "Waiting for an answer"),
    Status.CHOOSE: ("circle-help", "Waiting for your choice"),
    Status.STOPPED: ("octagon-x", "Nothing may be drawn up"),
}

TOPICS = {
    "look-alike": "Looks like",
    "disagreement": "Where texts disagree",
    "not for injection": "Not for injection",
    "discard if": "Throw away if",
    "keep if": "Keep if",
    "ph": "pH",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """One volume to measure: its figures, one for each different fill, and its error with what it means."""

    ident: str
    says: str
    reading: str
    fills: tuple[str, ...]
    figures: tuple[drawing.Figure, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawUp:
    """One take: the number, of what, with what, its drawings, and how sure the dose is."""

    number: tuple[str, ...]
    of: str
    dose: str
    how: str
    measured: tuple[Measured, ...]
    container: drawing.Figure
    error: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """One finding with its source in words."""

    level: str
    rule: str
    says: str
    do: str
    source: str

    @property
    def short(self) -> str:
        """What it is about, in a few words: what a phone shows until it is opened."""
        return self.rule.replace("-", " ")


@dataclass(frozen=True, slots=True, kw_only=True)
class Findings:
    """Findings within the page's budget: one stop block, at most three cautions open, the rest folded with its count.

    Beside a stop every caution is folded: the stop stands alone.
    """

    stops: tuple[Said, ...]
    cautions: tuple[Said, ...]
    folded: tuple[Said, ...]
    notes: tuple[Said, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelSays:
    """What one chosen product's label says, by topic, each with its source and how surely it was read."""

    name: str
    says: tuple[tuple[str, tuple[tuple[str, str], ...]], ...]


def status(plan: Plan) -> tuple[str, str]:
    """Icon and words of the status."""
    return STATUS[plan.status]


def announced(plan: Plan) -> str:
    """The status line that is read out: the status, and the number when there is one."""
    words = STATUS[plan.status][1]
    if plan.status is Status.READY:
        return f"{words}: {', then '.join(_in_short(take) for take in plan.takes)}."
    if plan.status in {Status.ASK, Status.CHOOSE}:
        blocking = sum(question.blocking for question in plan.questions) + len(plan.choices)
        return f"{words}: {blocking} question{'s' if blocking != 1 else ''}."
    return f"Stop: {words[0].lower()}{words[1:]}."


def _in_short(take: Take) -> str:
    of = " of a first dilution" if take.first_dilution is not None else ""
    return f"{' and '.join(_number(take))}{of}"


def draw_ups(plan: Plan, prefix: str = "") -> tuple[DrawUp, ...]:
    """Every take of a plan that is ready, in order. prefix keeps the ids of several plans on one page apart."""
    if plan.status is not Status.READY:
        return ()
    return tuple(_draw_up(f"{prefix}{place}", take) for place, take in enumerate(plan.takes, start=1))


def _draw_up(place: str, take: Take) -> DrawUp:
    presentation = take.in_hand.presentation
    return DrawUp(
        number=_number(take),
        of=f"a first dilution of {presentation.name}" if take.first_dilution is not None else presentation.name,
        dose=" with ".join(f"{show_about(amount)} of {amount.of[0][0]}" for amount in take.amounts),
        how=_how(take),
        measured=_measured(place, take),
        container=_container(place, take),
        error=_error(take),
    )


def _number(take: Take) -> tuple[str, ...]:
    parts = []
    if take.whole:
        one, many = NOUNS.get(take.in_hand.presentation.container, ("container", "containers"))
        parts.append(f"{take.whole} whole {one if take.whole == 1 else many}")
    drawn = take.first_dilution.part if take.first_dilution is not None else take.draw
    if drawn is not None:
        parts.append(ml(drawn.volume))
    return tuple(parts)


def _how(take: Take) -> str:
    if take.first_dilution is not None:
        return (
            f"three measured volumes{_powder(take)}, the last one with the {take.first_dilution.part.instrument.name}"
        )
    if take.draw is None:
        return "emptied whole into the cup; nothing is measured"
    fills = take.draw.fills
    several = f", in {len(fills)} fills: {', then '.join(ml(fill) for fill in fills)}" if len(fills) > 1 else ""
    out_of = f", out of {take.containers} {PLURALS[take.in_hand.presentation.container]}" if take.containers > 1 else ""
    return f"with the {take.draw.instrument.name}{several}{out_of}"


def _powder(take: Take) -> str:
    return " after the powder's liquid" if take.liquid is not None else ""


def _error(take: Take) -> str:
    if take.first_dilution is None and take.draw is None:
        return "Nothing is measured by hand. What a full container holds is its maker's own tolerance, not known here."
    if take.first_dilution is not None:
        return f"The dose may be off by up to {percent(take.risk)}: three measured volumes, worst case{take.off_by}."
    assert take.draw is not None
    error = ml(take.draw.error)
    beside = ""
    if take.draw.volume != take.draw.asked:
        beside = f" The dose needs {ml(take.draw.asked)}; the accepted line is {ml(take.draw.volume)}."
    return f"The dose may be off by up to {percent(take.risk)} ({error} in {ml(take.volume)}{take.off_by}).{beside}"


def drawn_of(place: str, take: Take) -> tuple[tuple[str, str, Draw], ...]:
    """Every volume that a take measures, with the id of its place on the page and, of a first dilution, what it is for."""
    if take.first_dilution is not None:
        parts = (
            ("1. Draw up of the drug", take.first_dilution.stock),
            ("2. Make up to, in the syringe", take.first_dilution.total),
            ("3. Put into the cup", take.first_dilution.part),
        )
        return tuple((f"draw-{place}-{at}", says, one) for at, (says, one) in enumerate(parts, start=1))
    return ((f"draw-{place}", "", take.draw),) if take.draw is not None else ()


def _measured(place: str, take: Take) -> tuple[Measured, ...]:
    return tuple(measured(ident, says, drawn) for ident, says, drawn in drawn_of(place, take))


def measured(ident: str, says: str, drawn: Draw) -> Measured:
    """A measured volume with one drawing for each different fill."""
    many = len(drawn.fills) > 1
    words = tuple(f"Fill {at}: {ml(fill)}" for at, fill in enumerate(drawn.fills, start=1)) if many else ()
    figures = []
    for at, fill in enumerate(dict.fromkeys(drawn.fills), start=1):
        alike = [str(n) for n, one in enumerate(drawn.fills, start=1) if one == fill]
        part = f"Fill {' and '.join(alike)} of {len(drawn.fills)}: " if many else ""
        figures.append(figure_of(f"{ident}-{at}", drawn, fill, part))
    return Measured(ident=ident, says=says, reading=drawn.reading, fills=words, figures=tuple(figures))


def figure_of(ident: str, drawn: Draw, fill: Fraction, part: str) -> drawing.Figure:
    """The instrument with its mark."""
    reading = Draw(instrument=drawn.instrument, asked=fill, fills=(fill,)).reading
    return drawing.filled(ident, drawn.instrument, fill, reading, part=part)


def _container(place: str, take: Take) -> drawing.Figure:
    contents, rest = take.in_hand.contents(), take.drawn_from_container
    pack = take.in_hand.pack.volume
    full = pack.to("mL").value if pack is not None else contents
    taken = []
    for _ in range(take.containers):
        taken.append(min(contents, rest))
        rest -= taken[-1]
    presentation = take.in_hand.presentation
    return drawing.container(f"box-{place}", presentation.container, presentation.name, (contents, full), tuple(taken))


def diluent(plan: Plan, prefix: str = "") -> Measured | None:
    """The diluent's measured volume, apart from the dose."""
    if plan.fill is None or plan.fill.drawn is None:
        return None
    return measured(f"{prefix}diluent", "Diluent", plan.fill.drawn)


def diluent_error(plan: Plan) -> str:
    """What an error of the diluent changes, in numbers; never the dose."""
    fill = plan.fill
    if fill is None or not fill.added:
        return "No diluent."
    if fill.drawn is None:
        return "Whole unit doses by their nominal contents. An error here changes fill, time and concentration, not the dose."
    share = percent(fill.drawn.error / fill.total)
    return (
        f"The fill may be off by up to {ml(fill.drawn.error)} ({share} of {ml(fill.total)}). "
        "That changes fill, time and concentration, not the dose."
    )


def cup(plan: Plan, prefix: str = "") -> drawing.Figure | None:
    """The cup as a fill guide, when one was named."""
    if plan.cup is None or plan.fill is None or plan.fill.total > plan.cup.holds.to("mL").value:
        return None
    return drawing.cup(f"{prefix}cup-guide", plan.cup, plan.fill.total)


def findings(found: Iterable[Finding], book: Catalogue) -> Findings:
    """Findings with their sources, in the page's budget."""
    said = [
        Said(level=one.level.value, rule=one.rule, says=one.says, do=one.do, source=source_words(one.origin, book))
        for one in found
    ]
    stops = tuple(one for one in said if one.level == Level.STOP.value)
    cautions = [one for one in said if one.level == Level.CAUTION.value]
    shown = 0 if stops else OPEN_CAUTIONS
    return Findings(
        stops=stops,
        cautions=tuple(cautions[:shown]),
        folded=tuple(cautions[shown:]),
        notes=tuple(one for one in said if one.level == Level.NOTE.value),
    )


def other_ways_out(plan: Plan) -> tuple[str, ...]:
    """The ways out that no stop on the page has told already as what to do."""
    told = {one.do for one in plan.findings if one.level is Level.STOP}
    return tuple(one for one in plan.ways_out if one not in told)


def source_words(origin: Origin, book: Catalogue) -> str:
    """An origin for people: the document and the place in it, and how surely it was read when not from the text itself."""
    if origin.how is How.PRACTICE or origin.source == "common-practice":
        return "common practice of the trade; no published source was read."
    if origin.source == "from-memory":
        return "memory; not confirmed against any text."
    source = book.sources.get(origin.source)
    title = source.title if source is not None else origin.source
    at = f", {origin.at}" if origin.at and origin.at != "-" else ""
    mark = "" if origin.how is How.READ else f" [{origin.how.value}]"
    return f"{title}{at}{mark}."


def label_says(plan: Plan, book: Catalogue) -> tuple[LabelSays, ...]:
    """The notes of every chosen product, the diluent's too."""
    chosen = [take.in_hand.presentation for take in plan.takes]
    if plan.fill is not None and plan.fill.in_hand is not None:
        chosen.append(plan.fill.in_hand.presentation)
    return tuple(_label_says(one, book) for one in {one.id: one for one in chosen}.values())


def _label_says(presentation: Presentation, book: Catalogue) -> LabelSays:
    by_topic: dict[str, list[tuple[str, str]]] = {"The label": []}
    by_topic["The label"].append((presentation.label.says, source_words(presentation.label.origin, book)))
    for active in presentation.actives:
        by_topic.setdefault("Strength as printed", []).append((active.printed, source_words(active.origin, book)))
    if presentation.dilution is not None:
        words = (presentation.dilution.says, source_words(presentation.dilution.origin, book))
        by_topic.setdefault("Dilution", []).append(words)
    for life in presentation.lives:
        words = (
            f"after {life.after}: {life.lasts}{f', {life.when}' if life.when else ''}",
            source_words(life.origin, book),
        )
        by_topic.setdefault("Lasts", []).append(words)
    for note in presentation.notes:
        by_topic.setdefault(_topic(note), []).append((note.says, source_words(note.origin, book)))
    return LabelSays(name=presentation.name, says=tuple((topic, tuple(says)) for topic, says in by_topic.items()))


def _topic(note: Note) -> str:
    return TOPICS.get(note.topic, note.topic[:1].upper() + note.topic[1:])


def settings_used(plan: Plan) -> tuple[tuple[str, str], ...]:
    """The settings that chose this plan, by name."""
    policy = plan.policy
    within = policy.nearest_line_within
    accepted = ml(policy.accepted_line) if policy.accepted_line is not None else "none"
    return (
        ("What counts first", ", ".join(policy.ranking)),
        ("Caution when the dose may be off by more than", percent(policy.caution_above)),
        ("Not offered when it may be off by more than", percent(policy.refuse_above)),
        ("Most fills of one instrument", str(policy.most_fills)),
        ("Most containers for one dose", str(policy.most_containers)),
        ("Start giving within", show_about(policy.start_within)),
        ("Equivalences chosen", ", ".join(policy.equivalences) or "none"),
        ("Line accepted by a person", accepted),
        ("Nearest line taken by itself", f"within {percent(within)}" if within is not None else "never: it is asked"),
        ("A line is offered within", percent(policy.offer_within)),
    )
