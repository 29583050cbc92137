"""Is the container still in date: printed expiry, life after opening, pouch, room temperature, a written discard date."""

from drawndose.bench.condition import Kept
from drawndose.bench.container_life import in_use_life, over
from drawndose.bench.findings import Level, Waiver
from drawndose.bench.moments import told, told_day
from drawndose.bench.safeguards.at_hand import AtHand, the_container
from drawndose.bench.safeguards.rule import Rule, Said, rule
from drawndose.reference import Container, How, Life, Origin

UNDATED = Origin(source="tjc-multi-dose-relabelling", at="discard date on the container", how=How.SECONDARY)
ONE_PATIENT = Origin(source="cdc-injection-safety-checklist", at="single-dose containers", how=How.SECONDARY)
DROPPER = Origin(source="tjc-multi-dose-relabelling", at="defined for injectable vials", how=How.SECONDARY)
PUT_ASIDE = "Put it aside and take another."
DATES = ("the moment", "the container's dates")
POUCHED = {"pouch opened", "out of the pouch"}


def _past(kind: str, ident: str, asks: str) -> Rule[AtHand]:
    """A rule of one kind of limit. A life from memory is cautioned, and the person is sent to the label."""

    def look(at_hand: AtHand) -> Said | None:
        passed = [one for one in at_hand.limits if one.kind == kind and over(one, at_hand.now)]
        if not passed:
            return None
        says = f"{at_hand.name} is past its limit at {told(at_hand.now)}: {passed[0].says}."
        if passed[0].origin.how is How.MEMORY:
            return Said(
                says,
                "Read its label: this life is from memory. In doubt take another.",
                passed[0].origin,
                Level.CAUTION,
            )
        return Said(says, PUT_ASIDE, passed[0].origin)

    return Rule(
        id=ident,
        level=Level.STOP,
        asks=asks,
        needs=DATES,
        waiver=Waiver.NOBODY,
        over=the_container,
        look=look,
    )


PAST = (
    _past("printed expiry", "past-printed-expiry", "Is the printed expiry past?"),
    _past("in-use life", "past-in-use-life", "Is its life after opening over?"),
    _past("written date", "past-written-date", "Is the discard date past that someone wrote on it?"),
    _past("pouch opened", "past-pouch-life", "Is its life in the opened pouch over?"),
    _past("out of the pouch", "past-life-out-of-pouch", "Is its life out of the pouch over?"),
    _past("out of the refrigerator", "past-life-at-room", "Is its life out of the refrigerator over?"),
    _past("reconstituted", "past-made-up-life", "Is its life after making up over?"),
)


@rule(
    "expiry-not-said",
    Level.CAUTION,
    "Was the printed expiry read?",
    needs=(),
    waiver=Waiver.PREPARER,
    over=the_container,
)
def expiry_not_said(at_hand: AtHand) -> Said | None:
    """Nothing is in date that nobody read."""
    if at_hand.condition.expiry is not None:
        return None
    origin = Origin(source="cdc-multi-dose-vial-reminders", at="read the label", how=How.READ)
    return Said(f"The expiry printed on {at_hand.name} was not said.", "Read it on the container and enter it.", origin)


@rule(
    "opened-undated",
    Level.STOP,
    "Does an opened container carry its date?",
    needs=("whether it was open before", "the dates on it"),
    waiver=Waiver.NOBODY,
    over=the_container,
)
def opened_undated(at_hand: AtHand) -> Said | None:
    """The opening day is never guessed."""
    if not at_hand.condition.undated or not at_hand.presentation.multi_dose:
        return None
    return Said(f"{at_hand.name} is open and carries no date.", "Throw it away; never guess the day.", UNDATED)


@rule(
    "life-not-decided",
    Level.STOP,
    "Has anyone decided how long an opened one lasts?",
    needs=("when it was opened", "the label's life", "the facility's setting"),
    waiver=Waiver.NOBODY,
    over=the_container,
)
def life_not_decided(at_hand: AtHand) -> Said | None:
    """A dropper bottle without a life on its label: the facility decides, and no number is borrowed from injectable vials."""
    if at_hand.condition.opened is None or not at_hand.presentation.multi_dose or at_hand.condition.discard_after:
        return None
    if in_use_life(at_hand.presentation, at_hand.policy) is not None:
        return None
    says = (
        f"{at_hand.name} was opened {told_day(at_hand.condition.opened.date())}; its label prints no life after opening and "
        "none is set here. The 28 days of injectable vials do not reach it."
    )
    return Said(says, "Take a new one; the manager enters the facility's written limit.", DROPPER)


@rule(
    "single-dose-opened-before",
    Level.STOP,
    "Is a single-dose container used a second time?",
    needs=("whether it was open before",),
    waiver=Waiver.NOBODY,
    over=the_container,
)
def single_dose_opened_before(at_hand: AtHand) -> Said | None:
    """One person, one occasion, unless its label prints a life after opening. An ampoule is never kept."""
    presentation, condition = at_hand.presentation, at_hand.condition
    if presentation.multi_dose or not condition.open_before:
        return None
    kept = (
        in_use_life(presentation, at_hand.policy) is not None and presentation.container is not Container.GLASS_AMPOULE
    )
    if kept and not condition.undated:
        return None
    what = "an ampoule" if presentation.container is Container.GLASS_AMPOULE else "a single-dose container"
    when = f" {condition.when('opened')}" if condition.opened is not None else " before, undated"
    return Said(
        f"{at_hand.name} was opened{when}; {what} is used once.", "Throw it away and open a new one.", ONE_PATIENT
    )


@rule(
    "kept-otherwise-than-label",
    Level.STOP,
    "Was an opened one kept as its label says?",
    needs=("where it stood since it was opened", "the label's life"),
    waiver=Waiver.NOBODY,
    over=the_container,
)
def kept_otherwise(at_hand: AtHand) -> Said | None:
    """A life that holds only in the refrigerator."""
    condition = at_hand.condition
    life = _kept_life(at_hand)
    if life is None or condition.opened is None or condition.kept is Kept.REFRIGERATED:
        return None
    told_ = f"{life.lasts} after opening, {life.kept}"
    if condition.kept is None:
        says = f"{at_hand.name} keeps {told_}; where it stood was not said."
        return Said(says, "Say where it stood; in doubt take another.", life.origin, Level.CAUTION)
    return Said(f"{at_hand.name} stood at {condition.kept.value}; it keeps {told_}.", PUT_ASIDE, life.origin)


def _kept_life(at_hand: AtHand) -> Life | None:
    return next((one for one in at_hand.presentation.lives if one.after == "opened" and one.kept), None)


@rule(
    "loose-without-pouch",
    Level.CAUTION,
    "How long has it been out of its pouch?",
    needs=("whether it lay outside its pouch", "the label's life in the pouch"),
    waiver=Waiver.PREPARER,
    over=the_container,
)
def loose_without_pouch(at_hand: AtHand) -> Said | None:
    """Found outside its pouch, undated: for a product that its pouch protects, as good as out of date."""
    life = next((one for one in at_hand.presentation.lives if one.after in POUCHED), None)
    if not at_hand.condition.loose or life is None:
        return None
    says = f"{at_hand.name} lay outside its pouch without a date; its label: {life.after}, {life.lasts}."
    return Said(says, "Take one out of a dated pouch.", life.origin)


@rule(
    "written-date-too-late",
    Level.CAUTION,
    "Is the date written on it later than it may be?",
    needs=DATES,
    waiver=Waiver.PREPARER,
    over=the_container,
)
def written_date_too_late(at_hand: AtHand) -> Said | None:
    """Somebody counted too far: opening never extends the printed expiry, and the open day is day 0."""
    written = next((one for one in at_hand.limits if one.kind == "written date"), None)
    if written is None:
        return None
    shorter = next((one for one in at_hand.limits if not over(written, one.over_at)), None)
    if shorter is None or any(over(one, at_hand.now) for one in at_hand.limits):
        return None
    says = f"On {at_hand.name} is {written.says}; it may be used until {shorter.until}: {shorter.says}."
    return Said(says, "Write the earlier date on it.", shorter.origin)


RULES = (
    *PAST,
    expiry_not_said,
    opened_undated,
    life_not_decided,
    single_dose_opened_before,
    kept_otherwise,
    loose_without_pouch,
    written_date_too_late,
)
