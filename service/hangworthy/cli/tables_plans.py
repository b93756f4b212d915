"""Plans for people."""

from collections.abc import Mapping

from rich import box
from rich.console import Console
from rich.padding import Padding
from rich.table import Table

from hangworthy.cli.report import clean
from hangworthy.plans.frames.answers import FramePlan, Freeing
from hangworthy.plans.replacement.answers import Offer, Replacement
from hangworthy.plans.wall.answers import HungWork, WallPlan


def show_frames(screen: Console, plan: FramePlan, titles: Mapping[str, str]) -> None:
    """Print a frame plan: who hangs in which frame from when to when, what would free those that stay out, and what a frame would bring.

    ``titles`` say what facts are called, by their pointers.
    """
    screen.print(clean(plan.says))
    hung = Table("work", "frame", "from", "until", "how", box=None, pad_edge=False, header_style="bold")
    for one in plan.hangs:
        how = f"cropped, {one.image_lost_percent:g} % lost" if one.how == "cropped" else one.how
        hung.add_row(*map(clean, (one.ref, f"{one.frame}, {one.number}", one.hang_from, one.hang_until, how)))
    if plan.hangs:
        screen.print()
        screen.print(hung)
    for left in plan.stays_out:
        screen.print()
        screen.print(clean(left.ref, "bold").append(f" stays out: {clean(left.says).plain}", style="not bold"))
        for line in (*(f"not known: {titles[pointer]}" for pointer in left.missing), *map(_freed, left.freed_by)):
            screen.print(clean(f"  {line}"))
    bought = [f"{one.frame}: {one.works_gained} more" for one in plan.one_more if one.works_gained]
    if bought:
        screen.print()
        screen.print(clean(f"One more frame of a size would hang: {'; '.join(bought)}."))


def _freed(change: Freeing) -> str:
    return change.says if change.proof == "free-frame" else f"{change.says} Others move for it; the plan was made again to see."


def show_wall(screen: Console, plan: WallPlan) -> None:
    """Print a wall plan: each row with its works, their places and hooks, and its pieces from end to end."""
    name = f"“{plan.wall_name}”, " if plan.wall_name else ""
    screen.print(
        clean(f"Wall {name}{plan.wall_width_mm} × {plan.wall_height_mm} mm: {'it fits' if plan.fits else 'it does not fit'}", "bold")
    )
    for number, row in enumerate(plan.rows, 1):
        screen.print(clean(f"Row {number}, its line {row.line_mm} mm above the floor. From left to right, in mm:"))
        pieces = [f"{one.name} {one.length_mm}" if one.name else str(one.length_mm) for one in row.pieces]
        screen.print(Padding(clean(" | ".join(pieces)), (0, 0, 1, 2)))
        table = Table(box=box.SIMPLE_HEAD, pad_edge=False)
        for head in ("Work", "Left edge", "Lower edge", "Hooks from the left", "Hooks above the floor", "Outcome"):
            table.add_column(head)
        for work in sorted((one for one in plan.works if one.row == number), key=lambda one: one.left_mm):
            table.add_row(*map(clean, _cells(work)))
        screen.print(Padding(table, (0, 0, 0, 2)))
    if plan.proof is not None:
        best = "no plan makes it wider" if plan.proof.proven else f"no plan makes it wider than {plan.proof.at_most_mm} mm"
        screen.print(clean(f"The narrowest gap is {plan.proof.narrowest_mm} mm; {best}."))
    for work in plan.works:
        for text in (*work.notes, *(one.sentence for one in work.said)):
            screen.print(clean(f"{work.ref}: {text}"))
    for text in (*plan.notes, *(one.sentence for one in plan.would_fit)):
        screen.print(clean(text))
    for text in plan.cautions:
        screen.print(clean(text, "dim"))


def _cells(work: HungWork) -> tuple[str, ...]:
    height = str(work.hooks_mm[0].y_mm) if work.hooks_mm else "not known"
    along = ", ".join(map(str, work.hooks_at_mm))
    return work.ref, str(work.left_mm), str(work.bottom_mm), along, height, work.outcome.value


def show_replacement(screen: Console, answer: Replacement) -> None:
    """Print the offers, the best first, and why the others are none."""
    screen.print(clean(f"For the wall “{answer.wall_name}”: {len(answer.offers) + answer.left_off} could hang there.", "bold"))
    for one in answer.offers:
        screen.print(clean(f"{one.rank}. {_named(one)}", "bold").append(f"  {_outcome(one)}", style="not bold"))
        for text in one.reasons:
            screen.print(Padding(clean(text), (0, 0, 0, 3)))
        for do in one.to_do:
            who = "For the artist to do" if do.asked_of == "artist" else "For you to do"
            screen.print(Padding(clean(f"{who}: {do.remedy or do.sentence}"), (0, 0, 0, 3)))
        if one.still_to_ask:
            screen.print(Padding(clean(f"Still to ask: {', '.join(one.still_to_ask)}."), (0, 0, 0, 3)))
    if answer.left_off:
        screen.print(clean(f"Left off the list: {answer.left_off} more."))
    if answer.not_offered:
        screen.print(clean("Not offered:", "bold"))
    for other in answer.not_offered:
        for why in other.reasons:
            beside = f" (beside {why.beside})" if why.beside else ""
            screen.print(Padding(clean(f"{other.ref}: {why.sentence}{beside}"), (0, 0, 0, 3)))


def _outcome(one: Offer) -> str:
    return one.outcome.value if one.settled else f"{one.outcome.value}, at worst {one.at_worst.value}"


def _named(one: Offer) -> str:
    return f"{one.ref}, “{one.title}”" if one.title else one.ref
