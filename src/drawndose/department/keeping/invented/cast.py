"""Who and what there is in the invented department. Every person, patient, lot and prescriber is made up."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from random import Random

from drawndose.department.people.roles import Role


@dataclass(frozen=True, slots=True, kw_only=True)
class Player:
    """Someone who works here; word: what they sign in with, printed where the demo is started. pin: or none."""

    username: str
    name: str
    roles: tuple[Role, ...]
    word: str
    pin: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Guest:
    """An invented patient. allergies: as names; "" means that nobody asked, "none" that none are known."""

    number: str
    name: str
    born: date
    allergies: str = "none"
    weight: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """Containers of one lot on the shelf of a site; site counts from 0."""

    presentation: str
    pack: str
    lot: str
    count: int
    days: int
    place: str
    site: int = 0


SITES = (("Ward 3", "America/Chicago"), ("Lung clinic", "America/New_York"))
SIGNS = {Role.PREPARER, Role.CHECKER, Role.GIVER}
"""Who of the invented persons has a PIN, to sign as the second person on someone's tablet."""
ROLES = (
    ("ana", "Ana Sample", (Role.PREPARER,)),
    ("ben", "Ben Example", (Role.PREPARER,)),
    ("cleo", "Cleo Specimen", (Role.CHECKER, Role.GIVER)),
    ("dana", "Dana Pattern", (Role.GIVER,)),
    ("eli", "Eli Template", (Role.MANAGER,)),
    ("fay", "Fay Mockup", (Role.EVALUATOR,)),
    ("gus", "Gus Draft", (Role.LEARNER,)),
    ("hal", "Hal Placeholder", (Role.ADMINISTRATOR,)),
    ("ira", "Ira Dummy", (Role.EVALUATOR,)),
    ("jon", "Jon Facsimile", (Role.EVALUATOR,)),
    ("kim", "Kim Replica", (Role.EVALUATOR,)),
)
GUESTS = (
    Guest(number="204118", name="Model, Dora", born=date(1961, 11, 5), weight="68 kg"),
    Guest(number="204181", name="Muster, Otto", born=date(1949, 3, 17), allergies="sulfites", weight="81.5 kg"),
    Guest(number="204233", name="Stencil, Lena", born=date(2025, 10, 2), weight="8 kg"),
    Guest(number="204240", name="Outline, Ruth", born=date(1978, 6, 30), allergies="latex"),
    Guest(number="204305", name="Sketch, Karl", born=date(1955, 1, 22), weight="92 kg"),
    Guest(number="204317", name="Figure, Max", born=date(1983, 9, 9), allergies=""),
    Guest(number="204390", name="Diagram, Ida", born=date(1937, 4, 11), allergies="penicillin", weight="54.2 kg"),
    Guest(number="204402", name="Proof, Nils", born=date(2009, 12, 1), weight="47 kg"),
)
SHELF = (
    Stock(
        presentation="albuterol-0.5pct-bottle-20ml", pack="20 mL", lot="INV4K21", count=3, days=420, place="cabinet 1"
    ),
    Stock(presentation="albuterol-2.5mg-3ml", pack="3 mL", lot="INV7A02", count=30, days=300, place="cabinet 1"),
    Stock(presentation="ipratropium-500mcg-2.5ml", pack="2.5 mL", lot="INV2P88", count=24, days=210, place="cabinet 1"),
    Stock(presentation="levalbuterol-0.63mg-3ml", pack="3 mL", lot="INV5L10", count=12, days=150, place="cabinet 2"),
    Stock(presentation="acetylcysteine-20pct", pack="10 mL", lot="INV9C33", count=4, days=90, place="cabinet 2"),
    Stock(
        presentation="racepinephrine-11.25mg-0.5ml", pack="0.5 mL", lot="INV1R07", count=10, days=60, place="cabinet 2"
    ),
    Stock(
        presentation="budesonide-0.5mg-unit-dose-2ml",
        pack="2 mL",
        lot="INV3B19",
        count=20,
        days=240,
        place="shelf A",
        site=1,
    ),
    Stock(presentation="albuterol-2.5mg-3ml", pack="3 mL", lot="INV7A03", count=20, days=310, place="shelf A", site=1),
    Stock(
        presentation="sodium-chloride-0.9pct-unit-dose",
        pack="3 mL",
        lot="INV6S55",
        count=40,
        days=500,
        place="cabinet 1",
    ),
    Stock(
        presentation="sodium-chloride-0.9pct-unit-dose",
        pack="3 mL",
        lot="INV6S56",
        count=20,
        days=500,
        place="shelf A",
        site=1,
    ),
)
_WORDS = [
    "amber",
    "anchor",
    "apron",
    "basin",
    "beacon",
    "birch",
    "bramble",
    "canoe",
    "cedar",
    "chalk",
    "cinder",
    "clover",
    "cobalt",
    "copper",
    "cradle",
    "ember",
    "fable",
    "feather",
    "fennel",
    "flint",
    "gable",
    "ginger",
    "glacier",
    "hazel",
    "heron",
    "hollow",
    "indigo",
    "ivory",
    "jasper",
    "kettle",
    "lantern",
    "lichen",
    "linen",
    "maple",
    "marble",
    "meadow",
    "mortar",
    "nettle",
    "oasis",
    "orchard",
    "otter",
    "pebble",
    "pepper",
    "pewter",
    "plume",
    "quartz",
    "quiver",
    "raven",
    "ribbon",
    "saddle",
    "saffron",
    "sandal",
    "shingle",
    "spruce",
    "thimble",
    "thistle",
    "timber",
    "tulip",
    "umber",
    "velvet",
    "walnut",
    "willow",
]


def players(seed: int) -> tuple[Player, ...]:
    """Everyone who works here. The same seed gives the same words."""
    chance = Random(seed)
    made = []
    for username, name, roles in ROLES:
        word = "-".join(chance.sample(_WORDS, 4))
        pin = "".join(str(digit) for digit in chance.sample(range(10), 6)) if SIGNS & set(roles) else ""
        made.append(Player(username=username, name=name, roles=roles, word=word, pin=pin))
    return tuple(made)
