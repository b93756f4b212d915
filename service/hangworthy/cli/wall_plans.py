"""Plans on the command line: the same answers as the service gives, from a file."""

import argparse
import os
import sys
from collections.abc import Callable
from typing import Any

import msgspec

from hangworthy.cli.commands import BAD, NOT_FIT, OK, Command, catalogue_of, complain
from hangworthy.cli.frame_plans import plan_asked
from hangworthy.cli.submissions import Checker
from hangworthy.engine.evaluate import Evaluator
from hangworthy.intake import BadInput, Intake
from hangworthy.settings import Settings


def _asked(arguments: argparse.Namespace, settings: Settings, make: Callable[..., Any]) -> Any:
    """Return what a maker of plans makes of a file, or None after every fault in it was told. Raises VenueError, CommandError."""
    catalogue = catalogue_of(settings)
    checker = Checker(catalogue, settings, arguments.venue)
    default = checker.chosen or checker.default
    venues = {name: Evaluator(checker.ruleset(name)) for name in ([default] if checker.chosen else checker.venues)}
    name, body = plan_asked(arguments.file, settings.max_body_bytes)
    try:
        return make(Intake(catalogue.schema, venues, default), venues, default, body)
    except BadInput as bad:
        complain("\n".join(f"{name}: {fault.pointer or 'the whole input'}: {fault.message}" for fault in bad.faults))
        return None


def _write_json(answer: Any) -> None:
    sys.stdout.write(msgspec.json.format(msgspec.json.encode(answer), indent=2).decode() + "\n")


def plan_wall(arguments: argparse.Namespace, settings: Settings) -> int:
    """Plan where works hang on a wall; end with 1 where they do not fit."""
    from hangworthy.plans.wall import planning

    found = _asked(arguments, settings, planning.plan_wall)
    if found is None:
        return BAD
    plan, asked = found
    if arguments.format == "json":
        _write_json(plan)
    elif arguments.format == "svg":
        from hangworthy.plans.wall.drawing import drawing

        sys.stdout.write(drawing(plan, asked.task.surface.obstacles))
    else:
        from hangworthy.cli.report import console
        from hangworthy.cli.tables_plans import show_wall

        show_wall(console(sys.stdout, arguments.color, os.environ), plan)
    return OK if plan.fits else NOT_FIT


def plan_replacement(arguments: argparse.Namespace, settings: Settings) -> int:
    """Rank what could replace a work; end with 1 where nothing could."""
    from hangworthy.plans.replacement import choosing

    found = _asked(arguments, settings, choosing.replace)
    if found is None:
        return BAD
    answer, _ = found
    if arguments.format == "json":
        _write_json(answer)
    else:
        from hangworthy.cli.report import console
        from hangworthy.cli.tables_plans import show_replacement

        show_replacement(console(sys.stdout, arguments.color, os.environ), answer)
    return OK if answer.offers else NOT_FIT


ACTIONS: dict[str, Command] = {"wall": plan_wall, "replacement": plan_replacement}
