"""Planted faults: for every rule a context in which it must speak, and a near miss in which it must not."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from drawndose import Policy
from drawndose.bench.findings import Finding
from drawndose.bench.safeguards import AtHand, container_findings
from drawndose.cli.have import read_containers
from tests.bench.benches import BOOK

ZONE = ZoneInfo("America/Chicago")
NOW = datetime(2026, 11, 25, 14, 5, tzinfo=ZONE)
BOTTLE = "albuterol-0.5pct-bottle-20ml; expiry 2027-06"
ACETYLCYSTEINE = "acetylcysteine-20pct 10 mL; expiry 2027-06"
MULTI_DOSE = "glycopyrrolate-0.2mg-per-ml-multi-dose 20 mL; expiry 2027-06"
AMPOULE = "epinephrine-1mg-1ml-ampoule; expiry 2027-06"
DOSE = "ipratropium-500mcg-2.5ml; expiry 2027-06"


@dataclass(frozen=True, slots=True)
class Planted:
    """A rule's id, its level, a container that brings it up, one that does not, settings, and words that it must say."""

    rule: str
    level: str
    fires: str
    near: str
    says: str
    settings: tuple[tuple[str, object], ...] = ()


def of_container(text: str, now: datetime = NOW, **settings: object) -> tuple[Finding, ...]:
    """What is found on a container that is described in words."""
    one = read_containers([text], BOOK, ZONE)[0]
    assert one.condition is not None
    policy = Policy(**settings)  # type: ignore[arg-type]
    return container_findings(AtHand(in_hand=one, condition=one.condition, now=now, policy=policy))


MONTH = (("bottle_life", "28 d"),)
CONTAINERS = (
    Planted("past-printed-expiry", "stop", "ipratropium-500mcg-2.5ml; expiry 24 Nov 2026", "ipratropium-500mcg-2.5ml; expiry 25 Nov 2026", "24 Nov 2026"),
    Planted("past-printed-expiry", "stop", "ipratropium-500mcg-2.5ml; expiry 2026-10", "ipratropium-500mcg-2.5ml; expiry 2026-11", "31 Oct 2026"),
    Planted("past-in-use-life", "stop", f"{BOTTLE}; opened 2026-10-27 09:00; owner 204118", f"{BOTTLE}; opened 2026-10-28 09:00; owner 204118", "24 Nov 2026", MONTH),
    Planted("past-in-use-life", "stop", f"{ACETYLCYSTEINE}; opened 2026-11-21 14:05; kept refrigerated", f"{ACETYLCYSTEINE}; opened 2026-11-21 14:06; kept refrigerated", "96 h"),
    Planted("past-in-use-life", "stop", f"{ACETYLCYSTEINE}; opened 2026-11-21; kept refrigerated", f"{ACETYLCYSTEINE}; opened 2026-11-22; kept refrigerated", "opened 21 Nov 2026, the day alone: counted from its first minute, 96 h"),
    Planted("past-in-use-life", "stop", f"{BOTTLE}; opened 2026-10-27; owner 204118", f"{BOTTLE}; opened 2026-10-28; owner 204118", "opened 27 Oct 2026, 28 days", MONTH),
    Planted("past-in-use-life", "stop", f"{MULTI_DOSE}; opened 2026-10-27; owner 204118", f"{MULTI_DOSE}; opened 2026-10-28; owner 204118", "28 days by the rule for injectable multi-dose vials"),
    Planted("single-dose-opened-before", "stop", f"{AMPOULE}; opened 2026-11-25", AMPOULE, "was opened 25 Nov 2026; an ampoule"),
    Planted("past-written-date", "stop", f"{BOTTLE}; opened 2026-11-01 09:00; discard after 2026-11-24; owner 204118", f"{BOTTLE}; opened 2026-11-01 09:00; discard after 2026-11-25; owner 204118", "24 Nov 2026", MONTH),
    Planted("past-pouch-life", "stop", "budesonide-0.5mg-unit-dose-2ml; expiry 2027-06; pouch opened 2026-11-10 08:00", "budesonide-0.5mg-unit-dose-2ml; expiry 2027-06; pouch opened 2026-11-11 08:00", "14 days"),
    Planted("past-life-out-of-pouch", "caution", "ipratropium-0.5mg-albuterol-2.5mg-3ml; expiry 2027-06; out of pouch 2026-11-17 08:00", "ipratropium-0.5mg-albuterol-2.5mg-3ml; expiry 2027-06; out of pouch 2026-11-18 08:00", "7 days"),
    Planted("past-life-at-room", "stop", "dornase-alfa-2.5mg-unit-dose-2.5ml; expiry 2027-06; out of refrigerator 2026-11-24 14:05", "dornase-alfa-2.5mg-unit-dose-2.5ml; expiry 2027-06; out of refrigerator 2026-11-24 14:06", "24 h"),
    Planted("expiry-not-said", "caution", "ipratropium-500mcg-2.5ml; lot 4K21", DOSE, "not said"),
    Planted("opened-undated", "stop", f"{BOTTLE}; undated", f"{BOTTLE}; opened 2026-11-01 09:00; owner 204118", "no date", MONTH),
    Planted("life-not-decided", "stop", f"{BOTTLE}; opened 2026-11-24 09:00; owner 204118", BOTTLE, "28 days"),
    Planted("life-not-decided", "stop", f"{BOTTLE}; opened 2026-11-24 09:00; owner 204118", f"{BOTTLE}; opened 2026-11-24 09:00; discard after 2026-12-01; owner 204118", "24 Nov 2026"),
    Planted("single-dose-opened-before", "stop", f"{AMPOULE}; opened 2026-11-25 14:00", AMPOULE, "an ampoule is used once"),
    Planted("single-dose-opened-before", "stop", f"{DOSE}; undated", DOSE, "a single-dose container is used once"),
    Planted("kept-otherwise-than-label", "stop", f"{ACETYLCYSTEINE}; opened 2026-11-25 08:00; kept room temperature", f"{ACETYLCYSTEINE}; opened 2026-11-25 08:00; kept refrigerated", "room temperature"),
    Planted("kept-otherwise-than-label", "caution", f"{ACETYLCYSTEINE}; opened 2026-11-25 08:00", ACETYLCYSTEINE, "not said"),
    Planted("single-dose-opened-before", "stop", f"{DOSE}; opened 2026-11-25 14:00", f"{ACETYLCYSTEINE}; opened 2026-11-25 14:00; kept refrigerated", "25 Nov 2026 14:00"),
    Planted("loose-without-pouch", "caution", "budesonide-0.5mg-unit-dose-2ml; expiry 2027-06; loose", "dornase-alfa-2.5mg-unit-dose-2.5ml; expiry 2027-06; loose", "14 d"),
    Planted("written-date-too-late", "caution", f"{BOTTLE}; opened 2026-11-01 09:00; discard after 2026-11-30; owner 204118", f"{BOTTLE}; opened 2026-11-01 09:00; discard after 2026-11-29; owner 204118", "29 Nov 2026", MONTH),
    Planted("written-date-too-late", "caution", "acetylcysteine-20pct 10 mL; expiry 2026-11; opened 2026-11-25 09:00; kept refrigerated; discard after 2026-12-05", f"{ACETYLCYSTEINE}; discard after 2026-12-05", "29 Nov 2026"),
    Planted("visibly-faulty", "stop", f"{DOSE}; seen cloudy", DOSE, "cloudy"),
    Planted("visibly-faulty", "caution", f"{ACETYLCYSTEINE}; seen discoloured", ACETYLCYSTEINE, "purple"),
    Planted("touched-or-returned", "stop", f"{BOTTLE}; touched", BOTTLE, "went back"),
    Planted("another-persons", "stop", f"{BOTTLE}; owner 204118; person 204181", f"{BOTTLE}; owner 204118; person 204118", "204181"),
    Planted("bedside-of-nobody", "stop", f"{BOTTLE}; bedside", f"{BOTTLE}; bedside; owner 204118", "treatment area"),
    Planted("owner-not-said", "caution", f"{BOTTLE}; opened 2026-11-01 09:00", f"{BOTTLE}; opened 2026-11-01 09:00; owner 204118", "was not said", MONTH),
)  # fmt: skip
