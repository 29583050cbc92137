"""The catalogue: drugs, presentations, instruments, techniques and sources, read from the packaged TOML.

A file of presentations is read when its drug is first asked for, so that one order does not cost the whole catalogue.
A test reads everything, resolves every source and fails on an unused one.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterable
from fractions import Fraction
from functools import cached_property, lru_cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from itertools import chain
from typing import TYPE_CHECKING, TypeVar

from drawndose.quantities import Fault, Refused
from drawndose.reference.balance import Balance
from drawndose.reference.contents import Excess, UnitDose
from drawndose.reference.cup import Cup
from drawndose.reference.drug import Drug, take_drug
from drawndose.reference.instrument import Instrument
from drawndose.reference.instruments import Instruments, take_instruments
from drawndose.reference.liquid import Liquids, take_liquids
from drawndose.reference.misread import Misread, take_misread
from drawndose.reference.mixing import Mixtures, take_mixtures
from drawndose.reference.nebulizer import Nebulizer, take_nebulizer
from drawndose.reference.needle import Needle
from drawndose.reference.presentation import Presentation, take_presentation
from drawndose.reference.provenance import Source, take_source
from drawndose.reference.sensitivity import Sensitivity, take_sensitivities
from drawndose.reference.table import Table
from drawndose.reference.technique import Technique, take_techniques
from drawndose.reference.tolerance import Tolerance

if TYPE_CHECKING:
    from drawndose.reference.aerosol import AerosolBook
    from drawndose.reference.conflict import Conflict
    from drawndose.reference.rule_text import RuleText

Made = TypeVar("Made")
Identified = TypeVar("Identified", Source, "RuleText", "Conflict")
Named = TypeVar("Named", Instrument, Needle, Balance)


class Catalogue:
    """Reference data of one folder. Refused when a file that is asked for holds a fault."""

    def __init__(self, folder: Traversable) -> None:
        self._folder = folder
        self._read: dict[str, tuple[Presentation, ...]] = {}
        self._source_files: dict[str, tuple[Source, ...]] = {}

    def _table(self, name: str, faults: list[Fault]) -> Table:
        place = self._folder
        for part in name.split("/"):
            place = place.joinpath(part)
        try:
            values = tomllib.loads(place.read_text(encoding="utf-8"), parse_float=_no_float)
        except (tomllib.TOMLDecodeError, ValueError) as error:
            faults.append(Fault(field=name, rule=str(error), came="the file", accepted="TOML with quantities as text"))
            values = {}
        return Table(values, name.removesuffix(".toml"), faults)

    @cached_property
    def drugs(self) -> tuple[Drug, ...]:
        """Every drug, in the order of the file."""
        faults: list[Fault] = []
        table = self._table("drugs.toml", faults)
        drugs = tuple(take_drug(one) for one in table.tables("drug"))
        table.done()
        return _whole(drugs, faults)

    def drug(self, ident: str) -> Drug:
        """The drug of this id. KeyError when there is none."""
        return next(drug for drug in self.drugs if drug.id == ident)

    @cached_property
    def names(self) -> dict[str, tuple[str, str | None]]:
        """Every name people write, in lower case, to the drug's id and the moiety that the name says (or None)."""
        names: dict[str, tuple[str, str | None]] = {}
        for drug in self.drugs:
            for name in (drug.id.replace("-", " "), drug.id, *drug.also):
                names[name.lower()] = (drug.id, None)
        for drug in self.drugs:
            for moiety in drug.moieties:
                for name in (moiety.id, *moiety.also):
                    names[name.lower()] = (drug.id, moiety.id)
        return names

    @cached_property
    def _files(self) -> dict[str, tuple[str, ...]]:
        """File of presentations to the slugs of the drugs in it; a combination's file is named drug+drug.toml."""
        found = sorted(one.name for one in self._folder.joinpath("presentations").iterdir())
        return {name: tuple(name.removesuffix(".toml").split("+")) for name in found if name.endswith(".toml")}

    def _presentations_in(self, name: str) -> tuple[Presentation, ...]:
        if name not in self._read:
            faults: list[Fault] = []
            table = self._table(f"presentations/{name}", faults)
            made = tuple(take_presentation(one) for one in table.tables("presentation"))
            table.done()
            self._read[name] = _whole(made, faults)
        return self._read[name]

    def presentations_of(self, drug: str) -> tuple[Presentation, ...]:
        """Every presentation that holds this drug, alone or in a combination."""
        hits = [name for name, slugs in self._files.items() if drug in slugs]
        return tuple(made for name in hits for made in self._presentations_in(name) if drug in made.drugs)

    @cached_property
    def presentations(self) -> tuple[Presentation, ...]:
        """Every presentation of every drug."""
        return tuple(made for name in self._files for made in self._presentations_in(name))

    def presentation(self, ident: str) -> Presentation:
        """The presentation of this id. KeyError when there is none. Files of a drug that the id begins with go first."""
        likely = sorted(self._files, key=lambda name: not any(ident.startswith(slug) for slug in self._files[name]))
        for name in likely:
            for made in self._presentations_in(name):
                if made.id == ident:
                    return made
        raise KeyError(ident)

    @cached_property
    def diluents(self) -> tuple[Presentation, ...]:
        """Every presentation that is a diluent."""
        wanted = ("sodium-chloride", "water")
        hits = [name for name in self._files if any(name.startswith(one) or one in name for one in wanted)]
        return tuple(made for name in hits for made in self._presentations_in(name) if made.diluent)

    @cached_property
    def packaged(self) -> Instruments:
        """The instruments file as it stands in the folder."""
        faults: list[Fault] = []
        return _whole(take_instruments(self._table("instruments.toml", faults)), faults)

    @property
    def measures(self) -> tuple[Instrument, ...]:
        """Every measure, with the variants that stand on a bench only when they are named."""
        return self.packaged.measures

    @cached_property
    def instruments(self) -> tuple[Instrument, ...]:
        """The usual measures: what a bench of "everything" holds."""
        return tuple(one for one in self.measures if not one.only_named)

    @property
    def cups(self) -> tuple[Cup, ...]:
        """Every cup."""
        return self.packaged.cups

    @property
    def needles(self) -> tuple[Needle, ...]:
        """Every needle."""
        return self.packaged.needles

    @property
    def unit_doses(self) -> tuple[UnitDose, ...]:
        """What is known of squeezed plastic unit doses."""
        return self.packaged.unit_doses

    @property
    def balances(self) -> tuple[Balance, ...]:
        """Every balance, by its class."""
        return self.packaged.balances

    def balance(self, ident: str) -> Balance:
        """The balance of this id. KeyError when there is none."""
        return _of_id(self.balances, ident)

    def needle(self, ident: str) -> Needle:
        """The needle of this id. KeyError when there is none."""
        return _of_id(self.needles, ident)

    @property
    def excess(self) -> tuple[Excess, ...]:
        """The recommended excess by labelled volume."""
        return self.packaged.excess

    def instrument(self, ident: str) -> Instrument:
        """The measure of this id. KeyError when there is none."""
        return _of_id(self.measures, ident)

    def syringe_rule(self, capacity: Fraction) -> Tolerance:
        """The permissible error of the class of syringes to which this capacity, mL, belongs. KeyError when there is none."""
        for made in self.packaged.tolerances:
            if made.capacities is not None:
                low, below = made.capacities
                if low <= capacity and (below is None or capacity < below):
                    return made
        raise KeyError(capacity)

    @cached_property
    def _techniques(self) -> tuple[tuple[Technique, ...], tuple[Source, ...]]:
        faults: list[Fault] = []
        return _whole(take_techniques(self._table("techniques.toml", faults)), faults)

    def technique(self, container: str) -> Technique:
        """The technique for a container kind. KeyError when there is none."""
        for made in self._techniques[0]:
            if made.container == container:
                return made
        raise KeyError(container)

    @cached_property
    def rules(self) -> dict[str, RuleText]:
        """Every published rule of safe practice by its id, section by section."""
        from drawndose.reference.rule_text import Section, take_rules  # not needed by a plan, so not at its start

        faults: list[Fault] = []
        names = [f"rules/{section.value.replace(' ', '-')}.toml" for section in Section]
        rules = [made for name in names for made in take_rules(self._table(name, faults))]
        return _whole(_by_id(rules, "rules", faults), faults)

    @cached_property
    def conflicts(self) -> dict[str, Conflict]:
        """Every matter on which issuers disagree, by its id."""
        from drawndose.reference.conflict import take_conflicts  # as above

        faults: list[Fault] = []
        conflicts = take_conflicts(self._table("conflicts.toml", faults))
        return _whole(_by_id(conflicts, "conflicts", faults), faults)

    @cached_property
    def mixtures(self) -> Mixtures:
        """Every statement on drugs in one cup."""
        faults: list[Fault] = []
        return _whole(take_mixtures(self._table("mixing.toml", faults)), faults)

    @cached_property
    def sensitivities(self) -> dict[str, Sensitivity]:
        """Every excipient that somebody may not tolerate, by its id."""
        faults: list[Fault] = []
        made = take_sensitivities(self._table("sensitivities.toml", faults))
        return _whole({one.id: one for one in made}, faults)

    @cached_property
    def liquids(self) -> Liquids:
        """Osmolarity and pH of the liquids, and what airways answer to."""
        faults: list[Fault] = []
        return _whole(take_liquids(self._table("liquids.toml", faults)), faults)

    @cached_property
    def misread(self) -> tuple[Misread, ...]:
        """Words and signs that have been misread."""
        faults: list[Fault] = []
        return _whole(take_misread(self._table("misread.toml", faults)), faults)

    @cached_property
    def nebulizers(self) -> tuple[Nebulizer, ...]:
        """Every kind of nebulizer, each figure a range."""
        faults: list[Fault] = []
        table = self._table("nebulizers.toml", faults)
        made = tuple(take_nebulizer(one) for one in table.tables("nebulizer"))
        table.done()
        return _whole(made, faults)

    @cached_property
    def aerosol(self) -> AerosolBook:
        """Patterns of breath, cylinders, heliox, and published studies of nebulizing."""
        from drawndose.reference.aerosol import take_aerosol  # as above

        faults: list[Fault] = []
        return _whole(take_aerosol(self._table("aerosol.toml", faults)), faults)

    def _sources_in(self, name: str) -> tuple[Source, ...]:
        if name not in self._source_files:
            faults: list[Fault] = []
            table = self._table(f"sources/{name}", faults)
            made = tuple(take_source(record) for record in table.tables("source"))
            table.done()
            self._source_files[name] = _whole(made, faults)
        return self._source_files[name]

    def source(self, ident: str) -> Source | None:
        """The source of this id, or None. Files of the drugs that were asked for go first, so that few are read."""
        names = sorted(one.name for one in self._folder.joinpath("sources").iterdir())
        likely = sorted(names, key=lambda name: name not in self._read and not name.startswith("shared"))
        near = (*self.packaged.sources, *self._techniques[1])
        everywhere = chain(near, chain.from_iterable(self._sources_in(name) for name in likely))
        return next((source for source in everywhere if source.id == ident), None)

    @cached_property
    def sources(self) -> dict[str, Source]:
        """Every source by its id. Refused when two records share an id."""
        names = sorted(one.name for one in self._folder.joinpath("sources").iterdir())
        made = [
            *self.packaged.sources,
            *self._techniques[1],
            *(one for name in names for one in self._sources_in(name)),
        ]
        faults: list[Fault] = []
        return _whole(_by_id(made, "sources", faults), faults)


def read_instruments(text: str, name: str) -> Instruments:
    """A department's own instruments out of TOML in the catalogue's schema. Refused with every fault, by file and key.

    The file may name the catalogue's tolerances and bores. Its ids must not be the catalogue's.
    """
    faults: list[Fault] = []
    try:
        values: object = tomllib.loads(text, parse_float=_no_float)
    except ValueError as error:
        accepted = "TOML with quantities as text"
        raise Refused([Fault(field=name, rule=str(error), came="the file", accepted=accepted)]) from error
    own = take_instruments(Table(values, name.removesuffix(".toml"), faults), load().packaged)
    return _whole(own, faults)


def _of_id(several: tuple[Named, ...], ident: str) -> Named:
    for made in several:
        if made.id == ident:
            return made
    raise KeyError(ident)


def _by_id(several: Iterable[Identified], where: str, faults: list[Fault]) -> dict[str, Identified]:
    """The records by their ids; an id that stands twice is a fault."""
    by_id: dict[str, Identified] = {}
    for made in several:
        if made.id in by_id:
            faults.append(Fault(field=where, rule="an id stands once", came=made.id, accepted="another id"))
        by_id[made.id] = made
    return by_id


def _no_float(text: str) -> Fraction:
    raise ValueError(f"a bare decimal number stands in the file ({text}); quantities are text with their unit")


def _whole(made: Made, faults: list[Fault]) -> Made:
    """What was made, when there is no fault; Refused with all of them otherwise."""
    if faults:
        raise Refused(faults)
    return made


@lru_cache(maxsize=1)
def load() -> Catalogue:
    """The packaged catalogue."""
    return Catalogue(files("drawndose.reference").joinpath("data"))
