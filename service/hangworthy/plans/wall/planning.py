"""The wall plan as an answer: a request is read, solved and checked, and every work is asked about at that wall."""

import math
from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import Any

from hangworthy.contract.cautions import CAUTION_WEIGHT
from hangworthy.contract.effect import Stage, State
from hangworthy.contract.finding import Finding, WorkAnswer
from hangworthy.engine.evaluate import Evaluator
from hangworthy.intake import Intake
from hangworthy.plans.asked import Figures, Hooks, Outer, hooks
from hangworthy.plans.told import to_coordinator
from hangworthy.plans.wall import geometry
from hangworthy.plans.wall.answers import HungWork, Piece, PlannedRow, Point, Proof, Said, WallPlan
from hangworthy.plans.wall.freeing import changes
from hangworthy.plans.wall.model import Band, Placed, Surface
from hangworthy.plans.wall.request import Asked, Reader
from hangworthy.plans.wall.solve import Misfit, Plan, UnsoundPlanError, solve
from hangworthy.plans.wall.stretches import cuts

CAUTION_SERVICES = "Wires and pipes run in walls, often above sockets and switches. Look for them before you drill; local codes decide."
CAUTION_HEIGHT = "Hang heavy or high works with two people and a safe ladder, and keep the floor below clear."


def plan_wall(intake: Intake, evaluators: Mapping[str, Evaluator], default: str | None, body: bytes) -> tuple[WallPlan, Asked]:
    """Return the plan of a request, and the request as it was read. Raises BadInput with every fault."""
    asked = Reader(intake, evaluators, default).read(body)
    found = solve(asked.task)
    return _answer(asked, found), asked


def _answer(asked: Asked, found: Plan | Misfit) -> WallPlan:
    ruleset, task = asked.evaluator.ruleset, asked.task
    more = _fitting(asked, found) if isinstance(found, Plan) else _misfitting(asked, found)
    return WallPlan(
        fits=isinstance(found, Plan),
        venue=ruleset.venue_used, packs=ruleset.packs, wall_name=asked.wall_name, wall_width_mm=task.surface.width,
        wall_height_mm=task.surface.height, spacing=asked.spacing, align=task.lines.align,
        cautions=(CAUTION_WEIGHT, CAUTION_SERVICES, CAUTION_HEIGHT), **more,
    )  # fmt: skip


def _misfitting(asked: Asked, found: Misfit) -> dict[str, Any]:
    said = []
    if found.too_wide:
        said.append(f"The row is {found.too_wide} mm too wide for this wall and what is in the way.")
    if found.too_high:
        said.append(f"The works reach {found.too_high} mm too near the floor or the top of the wall.")
    free = changes(asked.task, found)
    if not free:
        said.append("No single change lets it fit; choose a larger wall or other works.")
    return {"too_wide_mm": found.too_wide, "too_high_mm": found.too_high, "would_fit": free, "notes": tuple(said)}


def _fitting(asked: Asked, plan: Plan) -> dict[str, Any]:
    surface = asked.task.surface
    lines = plan.hung.lines
    rows = []
    for number, line in enumerate(lines):
        placed = sorted((one for one in plan.placed if one.row == number), key=lambda one: one.left)
        rows.append(PlannedRow(line, tuple(one.item.ref for one in placed), _pieces(surface, placed)))
    at = {one.item.ref: one for one in plan.placed}
    figures = Figures(asked.evaluator.ruleset)
    told = asked.evaluator.evaluate(asked.works, Stage.HANGING).works
    works = tuple(
        _work(at[work.ref], hooks(figures, read, size), size, answer, raised=work.ref in plan.hung.raised)
        for work, read, size, answer in zip(asked.works, asked.reads, asked.sizes, told, strict=True)
    )
    notes = [] if not plan.hung.moved else [_moved(plan.hung.moved)]
    if asked.spacing == "gap" and any(_wider(row.pieces, asked.task.spaces.gap) for row in rows):
        notes.append("Some gaps are wider than asked for: something is in the way.")
    proof = Proof(plan.narrowest, plan.at_most, plan.proven)
    return {"rows": tuple(rows), "works": works, "notes": tuple(notes), "proof": proof}


def _wider(pieces: Sequence[Piece], gap: int) -> bool:
    """Return whether bare wall between two works is wider than a gap."""
    inner = zip(pieces, pieces[1:], pieces[2:], strict=False)
    return any(a.kind == c.kind == "work" and b.kind == "gap" and b.length_mm != gap for a, b, c in inner)


def _moved(by: int) -> str:
    way = "higher" if by > 0 else "lower"
    return f"Everything hangs {abs(by)} mm {way} than is usual here, to keep clear of the floor and of the top of the wall."


def _work(one: Placed, hung: Hooks, size: Outer, answer: WorkAnswer, *, raised: bool) -> HungWork:
    along = geometry.hook_places(one.left, one.item.width, hung.count, hung.spacing or 0.0)
    height = None if hung.drop is None else geometry.hook_height(one.top, hung.drop)
    notes = list(hung.notes)
    if raised:
        notes.insert(0, f"It hangs higher than the others, so that its lower edge stays {one.bottom} mm above the floor.")
    if size.unsure >= 0.5:
        notes.append(f"Its size is only known to ± {math.ceil(size.unsure)} mm; measure it again before you drill.")
    return HungWork(
        ref=one.item.ref, row=one.row + 1, left_mm=one.left, right_mm=one.right, bottom_mm=one.bottom, top_mm=one.top,
        width_mm=one.item.width, height_mm=one.item.height, hooks_at_mm=along, outcome=answer.outcome, at_worst=answer.at_worst,
        hooks_mm=() if height is None else tuple(Point(x, height) for x in along), notes=tuple(notes), said=said_of(answer.findings),
    )  # fmt: skip


def said_of(findings: Sequence[Finding]) -> tuple[Said, ...]:
    """Return what is not met, the worst first."""
    open_ones = [one for one in findings if one.state in (State.UNMET, State.BORDERLINE, State.ERROR)]
    open_ones.sort(key=lambda one: (one.state is not State.UNMET, -one.effect.rank, one.rule))
    return tuple(Said(one.rule, one.state, one.effect, one.coordinator, to_coordinator(one.remedy)) for one in open_ones)


def _pieces(surface: Surface, placed: Sequence[Placed]) -> tuple[Piece, ...]:
    """Return a row from one end of the wall to the other. Raises UnsoundPlanError unless it adds up."""
    solid = [(one.left, one.right, "work", one.item.ref) for one in placed]
    for left, right, name in _blocked(surface, placed):
        solid += [(low, high, "obstacle", name) for low, high in _bare(left, right, placed)]
    pieces: list[Piece] = []
    at = 0
    for left, right, kind, name in sorted(solid):
        if left > at:
            pieces.append(Piece("gap", at, left, left - at))
        if right > max(at, left):
            pieces.append(Piece(kind, max(at, left), right, right - max(at, left), name))  # type: ignore[arg-type]
            at = right
    if at < surface.width:
        pieces.append(Piece("gap", at, surface.width, surface.width - at))
    if sum(one.length_mm for one in pieces) != surface.width or any(a.to_mm != b.from_mm for a, b in pairwise(pieces)):
        raise UnsoundPlanError("the pieces of a row do not add up")
    return tuple(pieces)


def _blocked(surface: Surface, placed: Sequence[Placed]) -> list[tuple[int, int, str]]:
    """Return the obstacles that are in the way of a work beside them."""
    found = []
    for one in surface.obstacles:
        before = [each for each in placed if each.right <= one.left][-1:]
        after = [each for each in placed if each.left >= one.right][:1]
        if any(cuts(Band(each.item, each.bottom), one) for each in (*before, *after)):
            found.append((one.left, one.right, one.name))
    return sorted(found)


def _bare(left: int, right: int, placed: Sequence[Placed]) -> list[tuple[int, int]]:
    """Return what is left of an obstacle's width where works hang above or below it."""
    pieces, at = [], left
    for one in placed:
        if one.right <= at or one.left >= right:
            continue
        if one.left > at:
            pieces.append((at, one.left))
        at = max(at, one.right)
    return [*pieces, (at, right)] if at < right else pieces
