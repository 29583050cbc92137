"""What is known of the person beside the order: allergies, and when the last dose was given."""

import argparse
from dataclasses import replace

from drawndose.bench.moments import told
from drawndose.bench.order import Order
from drawndose.bench.order.allergies import allergies_in
from drawndose.bench.order.last_dose import last_dose_in
from drawndose.quantities import Fault, Refused
from drawndose.reference import Catalogue


def add_person(parser: argparse.ArgumentParser) -> None:
    """The options that say it beside the order."""
    parser.add_argument(
        "--allergies",
        default="",
        metavar="NAMES",
        help='drugs and excipients not tolerated: "sulfites, albuterol", or none known',
    )
    parser.add_argument(
        "--last-dose",
        default="",
        metavar="TIME",
        help='when the last dose was given: "2026-11-25 10:00", 24 h; with --started',
    )


def with_person(order: Order, args: argparse.Namespace, book: Catalogue) -> Order:
    """The order with what the options add to it. Refused where the order itself says something else."""
    faults: list[Fault] = []
    try:
        named = allergies_in(args.allergies, book=book) if args.allergies else order.patient.allergies
        order = replace(
            order, patient=replace(order.patient, allergies=_same(order.patient.allergies, named, "allergies"))
        )
    except Refused as refused:
        faults += refused.faults
    try:
        moment = last_dose_in(args.last_dose) if args.last_dose else order.last_dose
        if order.last_dose is not None and moment is not None and order.last_dose != moment:
            raise _twice("last_dose", f"{told(order.last_dose)}, {told(moment)}")
        order = replace(order, last_dose=moment)
    except Refused as refused:
        faults += refused.faults
    if faults:
        raise Refused(faults)
    return order


def _same(said: tuple[str, ...], named: tuple[str, ...], field: str) -> tuple[str, ...]:
    """What the options name, where the order names nothing or the same."""
    if said and set(said) != set(named):
        raise _twice(field, f"{', '.join(said)}; {', '.join(named) or 'none known'}")
    return named


def _twice(field: str, came: str) -> Refused:
    rule = "the order and the option say it differently"
    return Refused([Fault(field=field, rule=rule, came=came, accepted="one of them")])
