"""A process that writes and says what was written, until it is killed: `python writer.py SITE`.

Each line is printed after the commit: the number of the last event. A container is received, moved, and opened, each with its event.
"""

import os
import sys

import django


def main(site: int) -> None:
    """Write without end."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "drawndose.department.settings")
    django.setup()
    from datetime import date

    from drawndose.department.ledger.models import Head
    from drawndose.department.people.models import Person
    from drawndose.department.work import shelf
    from drawndose.department.work.models import Site

    by, where = Person.objects.get(username="ana"), Site.objects.get(pk=site)
    known = {"lot": f"K{os.getpid()}", "expiry": date(2099, 6, 30), "by": by}
    while True:
        (made,) = shelf.receive(where, "sodium-chloride-0.9pct-unit-dose", "3 mL", **known)
        print(made.pk, "received", Head.objects.get(pk=1).number, flush=True)
        shelf.move(made, "cabinet 9", by=by, version=made.version)
        print(made.pk, "received", Head.objects.get(pk=1).number, flush=True)
        shelf.open_it(made, by=by, version=made.version)
        print(made.pk, "opened", Head.objects.get(pk=1).number, flush=True)


if __name__ == "__main__":
    main(int(sys.argv[1]))
