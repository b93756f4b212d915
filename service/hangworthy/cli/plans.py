"""Plans on the command line: the same request as the service takes, from a file; answered as text, JSON or a drawing."""

import argparse
import asyncio
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import msgspec

from hangworthy.cli.commands import BAD, OK, catalogue_of, complain
from hangworthy.cli.submissions import STDIN, Checker
from hangworthy.engine.evaluate import Evaluator
from hangworthy.intake import BadInput, Intake
from hangworthy.plans.frames.answers import FramePlan, Freeing
from hangworthy.plans.frames.processes import PlanFailed, run_worker
from hangworthy.plans.frames.reading import PlanReader, TooMany
from hangworthy.plans.frames.wanted import PlanInput
from hangworthy.settings import Settings

if TYPE_CHECKING:
    from rich.console import Console

_MOST_BYTES = 32_000_000


def frames(arguments: argparse.Namespace, settings: Settings) -> int:
    """Make a frame plan."""
    name = STDIN if arguments.file == "-" else arguments.file
    body = sys.stdin.buffer.read(_MOST_BYTES) if arguments.file == "-" else Path(arguments.file).read_bytes()
    catalogue = catalogue_of(settings)
    checker = Checker(catalogue, settings, arguments.venue)
    chosen = checker.ruleset(_venue_named(body)) if arguments.venue is None else checker.ruleset(None)
    evaluators = {chosen.venue.name: Evaluator(chosen)}
    if arguments.venue is not None and (named := _venue_named(body)) is not None:
        evaluators[named] = evaluators[chosen.venue.name]  # the option goes before what the file says
    try:
        given = PlanReader(catalogue.schema).read(body, Intake(catalogue.schema), evaluators, chosen.venue.name)
        plan = asyncio.run(run_worker(given))
    except BadInput as bad:
        complain("\n".join(f"{name}: {fault.pointer or 'the whole input'}: {fault.message}" for fault in bad.faults))
        return BAD
    except TooMany as many:
        complain(f"{name}: {many}")
        return BAD
    except PlanFailed as failed:
        complain(f"{name}: the plan could not be made ({failed}). Try once more with fewer works, and report it if it stays.")
        return BAD
    _show(arguments, given, plan)
    return OK


def _venue_named(body: bytes) -> str | None:
    """Return the venue that a body names, if that can be read; what else is wrong with it is told later."""
    try:
        value: Any = msgspec.json.decode(body)
    except (msgspec.MsgspecError, UnicodeError, RecursionError):
        return None
    name = value.get("venue") if isinstance(value, dict) else None
    return name if isinstance(name, str) else None


def _show(arguments: argparse.Namespace, given: PlanInput, encoded: bytes) -> None:
    if arguments.format == "json":
        sys.stdout.write(msgspec.json.format(encoded, indent=2).decode() + "\n")
        return
    plan = msgspec.json.decode(encoded, type=FramePlan)
    if arguments.format == "svg":
        from hangworthy.plans.frames.drawing import draw

        sys.stdout.write(draw(given, plan))
        return
    import os

    from hangworthy.cli.report import console

    show_plan(console(sys.stdout, arguments.color, os.environ), plan)


def show_plan(screen: "Console", plan: FramePlan) -> None:
    """Print a plan for people."""
    from rich.table import Table
    from rich.text import Text

    screen.print(Text(plan.says))
    hung = Table("work", "frame", "from", "until", "how", box=None, pad_edge=False, header_style="bold")
    for one in plan.hangs:
        how = f"cropped, {one.image_lost_percent:g} % lost" if one.how == "cropped" else one.how
        hung.add_row(*map(Text, (one.ref, f"{one.frame}, {one.number}", str(one.hang_from), str(one.hang_until), how)))
    if plan.hangs:
        screen.print()
        screen.print(hung)
    for left in plan.stays_out:
        screen.print(Text.assemble("\n", (left.ref, "bold"), f" stays out: {left.says}"))
        for pointer in left.missing:
            screen.print(Text(f"  not known: {pointer}"))
        for change in left.freed_by:
            screen.print(Text(f"  {_freed(change)}"))
    bought = [f"{one.frame}: {one.works_gained} more" for one in plan.one_more if one.works_gained]
    if bought:
        screen.print(Text(f"\nOne more frame of a size would hang: {'; '.join(bought)}."))


def _freed(change: Freeing) -> str:
    return change.says if change.proof == "free-frame" else f"{change.says} Others move for it; the plan was made again to see."


ACTIONS = {"frames": frames}
