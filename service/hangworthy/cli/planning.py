"""hangworthy plan: the same requests as the service takes, from a file; answered as text, JSON or a drawing."""

import argparse
import asyncio
import sys
from collections.abc import Callable, Mapping
from typing import Any

import msgspec

from hangworthy.cli.commands import BAD, NOT_FIT, OK, Command, catalogue_of, complain, console_of, write_json
from hangworthy.cli.inputs import FileFault, InputError, opened, whole
from hangworthy.cli.submissions import Checker
from hangworthy.engine.evaluate import Evaluator
from hangworthy.intake import BadInput, Intake
from hangworthy.plans.frames.answers import FramePlan
from hangworthy.plans.frames.processes import PlanFailed, run_worker
from hangworthy.plans.frames.reading import MOST_BYTES, PlanReader, TooMany
from hangworthy.plans.frames.wanted import PlanInput
from hangworthy.settings import Settings

_ADVICE = "plan in several parts."


def _body(file: str, most_bytes: int) -> tuple[str, bytes]:
    """Return what a file with a plan's request is called, and what is in it. Raises InputError where it cannot be read."""
    with opened(file, sys.stdin.buffer) as (name, stream):
        return name, whole(name, stream, most_bytes, _ADVICE)


def _told(name: str, bad: BadInput) -> int:
    complain("\n".join(str(FileFault(name, fault.pointer, fault.message)) for fault in bad.faults))
    return BAD


def frames(arguments: argparse.Namespace, settings: Settings) -> int:
    """Share the stock frames out among works."""
    name, body = _body(arguments.file, MOST_BYTES)
    catalogue = catalogue_of(settings)
    venues, default = _venues(Checker(catalogue, settings, arguments.venue), body)
    try:
        given = PlanReader(catalogue.schema).read(body, Intake(catalogue.schema), venues, default)
        plan = asyncio.run(run_worker(given))
    except BadInput as bad:
        return _told(name, bad)
    except TooMany as many:
        complain(f"{name}: {many}")
        return BAD
    except PlanFailed as failed:
        complain(f"{name}: the plan could not be made ({failed}). Try once more with fewer works, and report it if it stays.")
        return BAD
    _show_frames(arguments, given, plan, {slot.pointer: slot.ask.title for slot in catalogue.schema.slots})
    return OK


def _venues(checker: Checker, body: bytes) -> tuple[dict[str, Evaluator], str]:
    """Return the venues that a request may name, and the one of a request that names none. Raises VenueError.

    As for ``check``, the venue of the option goes before the one that the file names.
    """
    default = checker.chosen or checker.default
    names = (default,) if checker.chosen else (default, *checker.venues)
    venues = {name: checker.evaluator(name) for name in names}
    if checker.chosen and (named := _venue_named(body)) is not None:
        venues[named] = venues[default]
    return venues, default


def _venue_named(body: bytes) -> str | None:
    """Return the venue that a body names, if that can be read; what else is wrong with it is told later."""
    try:
        value: Any = msgspec.json.decode(body)
    except (msgspec.MsgspecError, UnicodeError, RecursionError):
        return None
    name = value.get("venue") if isinstance(value, dict) else None
    return name if isinstance(name, str) else None


def _show_frames(arguments: argparse.Namespace, given: PlanInput, encoded: bytes, titles: Mapping[str, str]) -> None:
    if arguments.format == "json":
        write_json(msgspec.Raw(encoded))
        return
    plan = msgspec.json.decode(encoded, type=FramePlan)
    if arguments.format == "svg":
        from hangworthy.plans.frames.drawing import draw

        sys.stdout.write(draw(given, plan))
    else:
        from hangworthy.cli.tables_plans import show_frames

        show_frames(console_of(arguments), plan, titles)


def _made(arguments: argparse.Namespace, settings: Settings, make: Callable[..., Any]) -> Any:
    """Return what a maker of plans makes of a file, or None after every fault in it was told. Raises VenueError, InputError."""
    catalogue = catalogue_of(settings)
    name, body = _body(arguments.file, settings.max_body_bytes)
    venues, default = _venues(Checker(catalogue, settings, arguments.venue), body)
    try:
        return make(Intake(catalogue.schema, venues, default), venues, default, body)
    except BadInput as bad:
        _told(name, bad)
        return None


def wall(arguments: argparse.Namespace, settings: Settings) -> int:
    """Plan where works hang on a wall; end with 1 where they do not fit."""
    from hangworthy.plans.wall.planning import plan_wall

    found = _made(arguments, settings, plan_wall)
    if found is None:
        return BAD
    plan, asked = found
    if arguments.format == "json":
        write_json(plan)
    elif arguments.format == "svg":
        from hangworthy.plans.wall.drawing import drawing

        sys.stdout.write(drawing(plan, asked.task.surface.obstacles))
    else:
        from hangworthy.cli.tables_plans import show_wall

        show_wall(console_of(arguments), plan)
    return OK if plan.fits else NOT_FIT


def replacement(arguments: argparse.Namespace, settings: Settings) -> int:
    """Rank what could replace a work; end with 1 where nothing could."""
    from hangworthy.plans.replacement.choosing import replace

    found = _made(arguments, settings, replace)
    if found is None:
        return BAD
    answer, _ = found
    if arguments.format == "json":
        write_json(answer)
    else:
        from hangworthy.cli.tables_plans import show_replacement

        show_replacement(console_of(arguments), answer)
    return OK if answer.offers else NOT_FIT


_ACTIONS: dict[str, Command] = {"frames": frames, "wall": wall, "replacement": replacement}


def plan(arguments: argparse.Namespace, settings: Settings) -> int:
    """Make the plan that is asked for; only now is it known which."""
    try:
        return _ACTIONS[arguments.action](arguments, settings)
    except InputError as bad:
        complain(str(bad))
        return BAD
