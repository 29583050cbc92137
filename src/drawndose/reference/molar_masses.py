"""Molar masses of a salt and its base, for labels that print a salt mass beside a strength in base."""

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from drawndose.quantities import Fault, gather
from drawndose.reference.provenance import Origin, take_origin
from drawndose.reference.table import Table


@dataclass(frozen=True, slots=True, kw_only=True)
class Salt:
    """A salt: its base, the moles of base in one mole, and the two molar masses as printed (g/mol), with their origins."""

    id: str
    base: str
    bases: int
    salt_mass: str
    base_mass: str
    salt_origin: Origin
    base_origin: Origin

    def given(self) -> dict[str, str]:
        """The inputs of a salt and base sum."""
        return {
            "salt_molar_mass": self.salt_mass,
            "base_molar_mass": self.base_mass,
            "base_per_salt": str(self.bases),
        }

    def says(self) -> str:
        """The figures with how surely each was read, for the first line of a working."""
        return (
            f"molar masses: {self.id} {self.salt_mass} ({self.salt_origin.how.value}), "
            f"{self.base} {self.base_mass} ({self.base_origin.how.value}), {self.bases} base in a salt"
        )


@cache
def molar_masses() -> dict[str, Salt]:
    """Every salt by its name. Raises Refused when the packaged file has a fault."""
    text = files("drawndose.reference").joinpath("data/molar_masses.toml").read_text(encoding="utf-8")
    faults: list[Fault] = []
    top = Table(tomllib.loads(text), "molar_masses.toml", faults)
    salts = [_salt(one) for one in top.tables("salt")]
    top.done()
    gather(faults)
    return {one.id: one for one in salts}


def salt_of(name: str) -> Salt | None:
    """The salt of this name, or the only one of this base; None where there is none."""
    found = [one for one in molar_masses().values() if name.lower() in {one.id, one.base}]
    return found[0] if len(found) == 1 else None


def _salt(table: Table) -> Salt:
    bases = table.raw("bases")
    if not isinstance(bases, int) or bases < 1:
        table.fault("bases", "a whole number from 1 is needed", repr(bases), "bases = 2")
    salt, salt_origin = _mass(table, "salt_mass")
    base, base_origin = _mass(table, "base_mass")
    made = Salt(
        id=table.text("id"),
        base=table.text("base"),
        bases=bases if isinstance(bases, int) else 1,
        salt_mass=salt,
        base_mass=base,
        salt_origin=salt_origin,
        base_origin=base_origin,
    )
    table.done()
    return made


def _mass(table: Table, key: str) -> tuple[str, Origin]:
    inner = table.table(key) or Table({}, f"{table.where}.{key}", table.faults)
    inner.quantity("is", "")
    value = (inner.text("is"), take_origin(inner))
    inner.done()
    return value
