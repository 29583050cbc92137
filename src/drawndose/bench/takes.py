"""The ways to get one drug's dose out of one container kind: whole containers, a measured part, or both.

A plastic unit dose measures by being emptied, and so does a powder vial that is made up and used whole. A glass ampoule, a
stoppered vial and a bottle hold more than their label says, so what comes out of them is always measured.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property

from drawndose.bench.draws import Draw, NoDraw, Offer, between_lines, draw, ml, on_line
from drawndose.bench.in_hand import InHand
from drawndose.bench.policy import Policy
from drawndose.quantities import Quantity, show
from drawndose.reference import Active, ByNebulizer, Container, DilutionRule, Instrument

NEEDLED = frozenset({Container.STOPPERED_VIAL, Container.GLASS_AMPOULE, Container.POWDER_VIAL})
EMPTIED = frozenset({Container.PLASTIC_UNIT_DOSE, Container.POWDER_VIAL})


@dataclass(frozen=True, slots=True, kw_only=True)
class Dilution:
    """A first dilution when no instrument can show the volume: `stock` drawn, made up to `total`, `part` of it taken."""

    stock: Draw
    total: Draw
    part: Draw


@dataclass(frozen=True, kw_only=True, eq=False)
class Take:
    """One way to get the dose out of one container kind into the cup.

    lines: which drug lines of the order it serves (two for a combination). amounts: what it puts into the cup, by the
    label's moiety. volume: what it adds to the cup, mL. whole: containers emptied whole. draw: what is measured, or None.
    containers: how many are opened. liquid: how the liquid of a powder is measured of which a part is taken; None where it is not
    measured here. risk: permissible error as a share of the dose. handlings and waste (mL): for ranking.
    """

    in_hand: InHand
    lines: tuple[int, ...]
    amounts: tuple[Quantity, ...]
    volume: Fraction
    whole: int
    draw: Draw | None
    containers: int
    first_dilution: Dilution | None = None
    liquid: Draw | None = None

    @property
    def drawn_from_container(self) -> Fraction:
        """What leaves the containers, mL: more than goes into the cup after a first dilution."""
        if self.first_dilution is not None:
            return self.first_dilution.stock.volume
        return self.volume

    @property
    def stock_in_cup(self) -> Fraction:
        """How much of the containers' own liquid ends in the cup, mL; what it carries is counted by this."""
        if self.first_dilution is not None:
            return self.first_dilution.stock.volume * self.first_dilution.part.volume / self.first_dilution.total.volume
        return self.volume

    @property
    def diluent_mixed(self) -> Fraction:
        """What a first dilution takes of the diluent, mL."""
        if self.first_dilution is None:
            return Fraction(0)
        return self.first_dilution.total.volume - self.first_dilution.stock.volume

    @cached_property
    def risk(self) -> Fraction:
        """Permissible error and accepted deviation of what is measured, as a share of the dose; 0 for whole containers."""
        if self.first_dilution is not None:
            return (1 + dilution_risk(self.first_dilution)) * too_strong(self.in_hand, self.liquid) - 1
        if self.draw is None:
            return Fraction(0)
        return self._off(self.draw.error + abs(self.draw.volume - self.draw.asked))

    def _off(self, error: Fraction) -> Fraction:
        """A volume's error as a share of the dose; worst case with the liquid of a powder: too little of it, too much drawn."""
        assert self.draw is not None
        drawn = self.draw.volume
        return ((drawn + error) * too_strong(self.in_hand, self.liquid) - drawn) / self.volume

    @property
    def off_by(self) -> str:
        """What counts in the risk beside the instrument: the liquid of a powder, as ", with up to ... of the powder's liquid"."""
        return "" if self.liquid is None else f", with up to {ml(self.liquid.error)} of the powder's liquid"

    @property
    def error_amounts(self) -> tuple[Quantity, ...]:
        """The permissible error of what is measured, as an amount of each part of the dose; none for whole containers."""
        if self.draw is None and self.first_dilution is None:
            return ()
        share = self._off(self.draw.error) if self.draw is not None else self.risk
        return tuple(amount * share for amount in self.amounts)

    @cached_property
    def left(self) -> Fraction:
        """What stays in the last container, mL, by its label contents."""
        return self.in_hand.contents() * self.containers - self.drawn_from_container

    @cached_property
    def waste(self) -> Fraction:
        """What must be thrown away, mL: the rest of single-dose containers and of a first dilution."""
        mixed = (
            self.first_dilution.total.volume - self.first_dilution.part.volume if self.first_dilution else Fraction(0)
        )
        return mixed + (Fraction(0) if self.in_hand.presentation.multi_dose else self.left)

    @cached_property
    def handlings(self) -> int:
        """Containers opened, fills measured, powders made up, diluent that the label asks for, first dilutions."""
        rule = self.in_hand.presentation.dilution
        asks = 1 if rule is not None and rule.rule in {DilutionRule.TO_TOTAL, DilutionRule.ADD} else 0
        fills = len(self.draw.fills) if self.draw is not None else 0
        made_up = self.containers if self.in_hand.presentation.reconstitution is not None else 0
        mixed = 3 if self.first_dilution is not None else 0
        return self.containers + fills + made_up + mixed + asks

    @property
    def by_supplied_measure(self) -> bool:
        """True when the container's own measure is used, or it has none, or nothing is measured."""
        own = self.in_hand.presentation.measure
        return self.draw is None or not own or self.draw.instrument.id == own

    @property
    def never_diluted(self) -> bool:
        """True when the label forbids any dilution beyond making it up."""
        rule = self.in_hand.presentation.dilution
        return rule is not None and rule.rule in {DilutionRule.NEVER, DilutionRule.RECONSTITUTE}

    @property
    def label_rank(self) -> int:
        """0 labelled for a nebulizer, 1 off-label, 2 for its own device only."""
        return {ByNebulizer.OFF_LABEL: 1, ByNebulizer.OWN_DEVICE: 2}.get(self.in_hand.presentation.by_nebulizer, 0)


@dataclass(frozen=True, slots=True)
class Against:
    """A container, perhaps with an instrument, that does not do, and why; the reason is put into words when it is read."""

    in_hand: InHand
    instrument: Instrument | None
    words: Callable[[], str]

    @property
    def what(self) -> str:
        """What it is about."""
        return f"{self.in_hand.name}, with {self.instrument.name}" if self.instrument is not None else self.in_hand.name


@dataclass(frozen=True, slots=True, kw_only=True)
class Ways:
    """What one container kind offers: takes, offers between lines (with the take each would be), and reasons against."""

    takes: tuple[Take, ...] = ()
    offers: tuple[tuple[InHand, Offer], ...] = ()
    against: tuple[Against, ...] = ()


def too_strong(in_hand: InHand, liquid: Draw | None) -> Fraction:
    """How many times as strong as meant a powder may be that got too little of its liquid; 1 where no liquid is counted."""
    contents = in_hand.contents()
    return Fraction(1) if liquid is None else contents / (contents - liquid.error)


def dilution_risk(dilution: Dilution) -> Fraction:
    """Worst case of three measured volumes: stock and part too large, total too small, as a share of the dose."""
    stock, total, part = (one.error / one.volume for one in (dilution.stock, dilution.total, dilution.part))
    return (1 + stock) * (1 + part) / (1 - total) - 1


def ways(
    in_hand: InHand,
    lines: tuple[int, ...],
    wanted: Quantity,
    amounts: tuple[Quantity, ...],
    active: Active,
    instruments: tuple[Instrument, ...],
    policy: Policy,
) -> Ways:
    """Every way to get `wanted` (counted as the label counts `active`) out of this container kind."""
    each = in_hand.amount_in(active)
    emptied = in_hand.presentation.container in EMPTIED and in_hand.left is None
    whole = wanted.over(each) // 1 if emptied else Fraction(0)
    rest = wanted - each * whole
    per_ml = in_hand.per_ml(active)
    measured = (rest / per_ml).to("mL").value
    contents = in_hand.contents()
    containers = int(whole) + (measured / contents).__ceil__()
    volume = contents * whole + measured
    refused = _count_against(in_hand, containers, volume, policy)
    if refused:
        return Ways(against=(Against(in_hand, None, lambda: refused),))
    liquid = liquid_of(in_hand, instruments, policy) if measured else None
    make = _Maker(in_hand, lines, amounts, volume, int(whole), containers, liquid)
    if not measured:
        return Ways(takes=(make(None),))
    return _measured(make, measured, instruments, policy)


@dataclass(frozen=True, slots=True)
class _Maker:
    in_hand: InHand
    lines: tuple[int, ...]
    amounts: tuple[Quantity, ...]
    volume: Fraction
    whole: int
    containers: int
    liquid: Draw | None

    def __call__(self, drawn: Draw | None) -> Take:
        amounts, volume = self.amounts, self.volume
        if drawn is not None and drawn.volume != drawn.asked:
            volume += drawn.volume - drawn.asked
            amounts = tuple(amount * (volume / self.volume) for amount in self.amounts)
        return Take(
            in_hand=self.in_hand,
            lines=self.lines,
            amounts=amounts,
            volume=volume,
            whole=self.whole,
            draw=drawn,
            containers=self.containers,
            liquid=self.liquid,
        )


def liquid_of(in_hand: InHand, instruments: tuple[Instrument, ...], policy: Policy) -> Draw | None:
    """How the liquid of a powder is measured with the least error; None where it has none, or no measure shows it."""
    made_up = in_hand.presentation.reconstitution
    if made_up is None:
        return None
    volume = made_up.add.to("mL").value
    if made_up.gives is not None and made_up.gives != made_up.add:
        return None
    ways = (draw(volume, one, policy) for one in usable(in_hand, instruments))
    exact = [way for way in ways if isinstance(way, Draw) and way.volume == volume]
    return min(exact, key=lambda way: (way.error, way.instrument.capacity, way.instrument.id), default=None)


def _measured(make: _Maker, measured: Fraction, instruments: tuple[Instrument, ...], policy: Policy) -> Ways:
    takes: list[Take] = []
    offers: list[tuple[InHand, Offer]] = []
    against: list[Against] = []
    room = make.in_hand.contents() * (make.containers - make.whole)
    most = policy.refuse_above * make.volume
    for instrument in usable(make.in_hand, instruments):
        error = instrument.permissible_error(measured) if measured <= instrument.capacity else Fraction(0)
        if error > most:  # before any line is looked for: most instruments are simply too large
            against.append(
                Against(make.in_hand, instrument, _too_small(measured, error / make.volume, policy, instrument))
            )
            continue
        key = line_key(make.in_hand, instrument)
        settings = policy if policy.accepted_on in {"", key} else replace(policy, accepted_line=None)
        found = _within(draw(measured, instrument, settings), room)
        if isinstance(found, NoDraw):
            against.append(Against(make.in_hand, instrument, found.words))
        elif isinstance(found, Offer):
            risks = [make(on_line(found, line)).risk for line in (found.below, found.above) if line]
            if min(risks) <= policy.refuse_above:
                offers.append((make.in_hand, found))
            else:
                against.append(Against(make.in_hand, instrument, _too_small(measured, min(risks), policy, instrument)))
        elif (take := make(found)).risk > policy.refuse_above:
            against.append(Against(make.in_hand, instrument, _too_small(measured, take.risk, policy, instrument)))
        else:
            takes.append(take)
    return Ways(takes=tuple(takes), offers=tuple(offers), against=tuple(against))


def line_key(in_hand: InHand, instrument: Instrument) -> str:
    """How a container with an instrument is named where a line is accepted for them."""
    return f"{in_hand.presentation.id}/{instrument.id}"


def _within(found: Draw | Offer | NoDraw, room: Fraction) -> Draw | Offer | NoDraw:
    """A line above what the opened containers hold is no line: it is neither drawn nor offered."""
    if isinstance(found, Draw) and found.volume > room:
        return NoDraw(lambda: f"its line at {ml(found.volume)} is more than the {ml(room)} there is")
    if isinstance(found, Offer) and found.above > room:
        if not found.below:
            return NoDraw(lambda: f"{between_lines(found.asked, found.instrument)}; there is only {ml(room)}")
        return replace(found, above=Fraction(0))
    return found


def _count_against(in_hand: InHand, containers: int, volume: Fraction, policy: Policy) -> str:
    if in_hand.left is not None and not in_hand.presentation.multi_dose:
        return "it is opened and holds one dose only: what is left in it is not used"
    if in_hand.left is not None and containers > 1:
        return f"needs {ml(volume)}; {ml(in_hand.contents())} is left in it"
    if in_hand.count is not None and containers > in_hand.count:
        return f"needs {containers} of them ({ml(volume)}); {in_hand.count} on the bench"
    if containers > policy.most_containers:
        return f"needs {containers} of them ({ml(volume)}); more than {policy.most_containers} for one dose is refused"
    return ""


def percent(share: Fraction) -> str:
    """A share as percent for people, at most one decimal; "about" when that is not exact."""
    tenths = abs(share) * 1000
    if tenths.denominator == 1:
        return show(Quantity.of_text(tenths / 10, "%"))
    rounded = Fraction((tenths + Fraction(1, 2)) // 1, 10)
    return f"about {show(Quantity.of_text(rounded, '%'))}" if rounded else "under 0.1 %"


def _too_small(volume: Fraction, share: Fraction, policy: Policy, instrument: Instrument) -> Callable[[], str]:
    def words() -> str:
        around = instrument.lines_around(volume)
        lines = f", and lies between its lines at {ml(around[0])} and {ml(around[1])}" if around is not None else ""
        return (
            f"{ml(volume)} may be off by {percent(share)} of the dose, more than {percent(policy.refuse_above)}{lines}"
        )

    return words


def usable(in_hand: InHand, instruments: tuple[Instrument, ...]) -> tuple[Instrument, ...]:
    """The instruments for this container: a needle needs a luer tip; elsewhere a tip that fits no vein goes first.

    Of one scale with both luer tips the lock is taken: it holds the needle. A cylinder draws nothing out of a container.
    Source: ISMP, Avoiding inadvertent IV injection of oral liquids (a syringe that cannot join an IV line where one fits).
    """
    own = in_hand.presentation.measure
    locked, oral = ({one.scale for one in instruments if one.tip == tip} for tip in ("luer", "oral"))
    luer = tuple(one for one in instruments if one.tip == "luer" or (one.tip == "slip" and one.scale not in locked))
    if in_hand.presentation.container in NEEDLED:
        return luer
    return tuple(
        one for one in instruments if one.id == own or one.tip == "oral" or (one in luer and one.scale not in oral)
    )
