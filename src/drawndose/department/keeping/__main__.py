"""The verbs of `drawndose department`, started by name: `python -m drawndose.department.keeping VERB ...`.

A verb is a module with ABOUT, EXAMPLES, `add(parser)` and `run(args) -> int`. Exit status: 0 done; 1 done, and not as it should
be; 2 refused.
"""

from __future__ import annotations

import argparse
import os
import sys
from importlib import import_module

from drawndose.department.chosen import chosen
from drawndose.department.database import demo_file
from drawndose.quantities import Refused

VERBS = {
    "start": "start",
    "work": "working",
    "demo": "demo",
    "check": "check",
    "audit": "audit",
    "backup": "backup",
    "restore": "restore",
    "export": "export",
    "import": "importing",
}
"""Each verb, and its module."""


def main(words: list[str]) -> int:
    """Run one verb."""
    os.umask(0o077)  # what a verb writes holds records: for its user alone
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "drawndose.department.settings")
    verb = words[0] if words else ""
    if verb not in VERBS:
        print(f'There is no verb "{verb}". Accepted: {", ".join(VERBS)}.', file=sys.stderr)
        return 2
    if verb == "demo":
        # Before Django reads the settings: invented records never come near the storage that the settings name.
        os.environ["DRAWNDOSE_DATABASE"] = f"sqlite://{demo_file(chosen(os.environ))}"
    import django

    django.setup()
    from django.db import Error

    from drawndose.department.keeping.troubles import told

    module = import_module(f"drawndose.department.keeping.{VERBS[verb]}")
    parser = argparse.ArgumentParser(
        prog=f"drawndose department {verb}",
        description=module.ABOUT,
        epilog=f"examples:\n{module.EXAMPLES}",
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    module.add(parser)
    try:
        return module.run(parser.parse_args(words[1:]))
    except Refused as refused:
        print("\n".join(map(str, refused.faults)), file=sys.stderr)
        return 2
    except (Error, OSError) as error:
        says = told(error)
        if not says:
            raise
        print(says, file=sys.stderr)
        return 2


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
