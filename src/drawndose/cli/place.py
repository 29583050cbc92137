"""The place where the command runs: its time zone by name, so that a clock change is known, and the time there now."""

import os
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from drawndose.quantities import Fault, Refused

UTC_ZONE = ZoneInfo("UTC")
LOCALTIME = Path("/etc/localtime")


def zone(name: str = "") -> ZoneInfo:
    """The zone of this name, else of DRAWNDOSE_ZONE, of TZ, of the system, and UTC where none is known by name."""
    wanted = name or os.environ.get("DRAWNDOSE_ZONE", "") or os.environ.get("TZ", "").removeprefix(":") or _of_system()
    try:
        return ZoneInfo(wanted)
    except (ZoneInfoNotFoundError, ValueError, OSError) as error:
        rule = "no zone of this name is known"
        raise Refused([Fault(field="zone", rule=rule, came=wanted, accepted="America/Chicago, UTC")]) from error


def _of_system() -> str:
    parts = LOCALTIME.resolve().parts
    if "zoneinfo" not in parts:
        return "UTC"
    return "/".join(parts[parts.index("zoneinfo") + 1 :])


def now(at: ZoneInfo) -> datetime:
    """The minute that the clock shows there."""
    return datetime.now(at).replace(second=0, microsecond=0)
