"""The time of a place: moments are stored in UTC and shown, and reckoned, in the zone of the site."""

from datetime import datetime
from zoneinfo import ZoneInfo

from drawndose.department.work.models import Site


def zone_of(site: Site) -> ZoneInfo:
    """The zone of a site."""
    return ZoneInfo(site.zone)


def local(site: Site, moment: datetime) -> datetime:
    """A moment as the clock of that site shows it, to the minute's second."""
    return moment.astimezone(zone_of(site))
