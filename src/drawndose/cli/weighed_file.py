"""A round that `drawndose weigh --json` wrote, read back for its person's spread."""

import json
from pathlib import Path

from drawndose.quantities import Fault, Refused

SCHEMA = "drawndose.weighed/1"
_ACCEPTED = "a file that `drawndose weigh --json` wrote, with two draws or more"


def spread_of(name: str) -> tuple[str, str]:
    """The spread and the number of draws, as the settings of "how sure" take them. Refused for any other file."""
    try:
        content = json.loads(Path(name).read_text(encoding="utf-8"))
    except OSError as error:
        raise _refused(f"the file cannot be read ({error.strerror})", name) from error
    except ValueError as error:  # what is no text in UTF-8, and what is no JSON
        raise _refused("the file is not a round of weighings", name) from error
    if not isinstance(content, dict) or content.get("schema") != SCHEMA:
        raise _refused("the file is not a round of weighings", name)
    try:
        operator = content["series"]["operator"]
        return str(operator["spread"]), str(operator["draws"])
    except (KeyError, TypeError) as error:
        raise _refused("the round shows no spread", name) from error


def _refused(rule: str, came: str) -> Refused:
    return Refused([Fault(field="operator", rule=rule, came=came, accepted=_ACCEPTED)])
