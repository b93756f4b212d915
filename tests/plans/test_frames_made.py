"""Making a frame plan: the checker, the handing out, what would free a work, what to buy, and what must not change the answer."""

import random
from datetime import timedelta

import msgspec
import pytest

from hangworthy.plans.frames.answers import FramePlan
from hangworthy.plans.frames.checker import BadPlan, check
from hangworthy.plans.frames.making import make_plan
from hangworthy.plans.frames.task import Away, Size, Task, Wanted, Way
from hangworthy.plans.frames.wanted import Earlier, FramesAway, PlanInput
from plans.making import START, frame, random_input, work


def hung(plan: FramePlan) -> int:
    return plan.objectives[0].value


def replaced(given: PlanInput, **changes: object) -> PlanInput:
    return msgspec.structs.replace(given, **changes)


def test_shuffled_input_gives_the_same_bytes() -> None:
    for seed in range(60):
        given = random_input(seed)
        chance = random.Random(seed)
        lists = {name: list(getattr(given, name)) for name in ("works", "frames", "away", "earlier")}
        for one in lists.values():
            chance.shuffle(one)
        lists["works"] = [replaced(one, fits=tuple(chance.sample(one.fits, len(one.fits)))) for one in lists["works"]]
        shuffled = replaced(given, **{name: tuple(one) for name, one in lists.items()})
        assert msgspec.json.encode(make_plan(shuffled)) == msgspec.json.encode(make_plan(given)), seed


def test_one_more_frame_never_hangs_fewer_and_the_table_of_what_to_buy_is_true() -> None:
    gained = 0
    for seed in range(40):
        given = random_input(seed)
        plan = make_plan(given)
        for one in plan.one_more:
            more = tuple(replaced(other, count=other.count + (other.name == one.frame)) for other in given.frames)
            again = make_plan(replaced(given, frames=more))
            assert hung(again) - hung(plan) == one.weight_gained, seed
            assert len(again.hangs) - len(plan.hangs) == one.works_gained, seed
            assert hung(again) >= hung(plan)
            assert one.proven
            gained += one.works_gained or 0
    assert gained > 20


def test_more_consent_never_loses_works() -> None:
    gained = 0
    for seed in range(60):
        given = random_input(seed)
        more = tuple(
            replaced(one, fits=tuple(replaced(fit, more_mm=(0.0,) * 4, most_mm=(200.0,) * 4) for fit in one.fits)) for one in given.works
        )
        before, after = hung(make_plan(given)), hung(make_plan(replaced(given, works=more)))
        assert after >= before, seed
        gained += after - before
    assert gained > 5


def test_what_would_free_a_work_frees_it() -> None:
    """Each change is carried out, and the plan made anew: as many hang as before and this work's weight more."""
    seen = {"crop": 0, "dates": 0, "frame": 0}
    for seed in range(60):
        given = random_input(seed)
        plan = make_plan(given)
        for left in plan.stays_out:
            for change in left.freed_by:
                seen[change.kind] += 1
                works, frames = list(given.works), given.frames
                place = next(n for n, one in enumerate(works) if one.ref == left.ref)
                old = works[place]
                if change.kind == "crop":
                    fits = [
                        replaced(fit, more_mm=(0.0,) * 4, most_mm=fit.crop_mm) if fit.frame == change.frame else fit for fit in old.fits
                    ]
                    works[place] = replaced(old, fits=tuple(fits))
                elif change.kind == "dates":
                    works[place] = replaced(old, hang_from=change.hang_from, hang_until=change.hang_until)
                else:
                    frames = tuple(replaced(one, count=one.count + (one.name == change.frame)) for one in frames)
                again = make_plan(replaced(given, works=tuple(works), frames=frames))
                assert hung(again) > hung(plan), (seed, left.ref, change)
    assert min(seen.values()) > 15


def test_the_smallest_shift_is_named() -> None:
    works = (work("a", 0, 14, 297, 420, ("A3",)), work("b", 10, 7, 297, 420, ("A3",), weight=2), work("c", 20, 7, 297, 420, ("A3",)))
    plan = make_plan(PlanInput(venue="v", works=works, frames=(frame("A3"),)))
    assert [one.ref for one in plan.hangs] == ["b", "c"]
    assert [(one.kind, one.days) for one in plan.stays_out[0].freed_by] == [("dates", -4), ("frame", None)]


def test_frames_keep_their_numbers_where_they_can() -> None:
    works = tuple(work(f"w{n}", 7 * (n // 3), 7, 297, 420, ("A3",)) for n in range(9))
    given = PlanInput(venue="v", works=works, frames=(frame("A3", 3),))
    chance = random.Random(4)
    numbers = [number for _ in range(3) for number in chance.sample((1, 2, 3), 3)]
    earlier = tuple(Earlier(ref=one.ref, frame="A3", number=number) for one, number in zip(works, numbers, strict=True))
    plan = make_plan(replaced(given, earlier=earlier))
    assert [one.number for one in plan.hangs] == numbers
    assert plan.kept_numbers == 9
    assert plan.objectives[3].value == 0
    only = make_plan(replaced(given, earlier=(Earlier(ref="w0", frame="A2"),)))
    assert only.objectives[3].value == 1


def test_frames_that_are_away_are_nowhere_else() -> None:
    away = FramesAway(frame="A3", away_from=START + timedelta(3), away_until=START + timedelta(9), count=2)
    works = tuple(work(f"w{n}", n, 4, 297, 420, ("A3",)) for n in range(12))
    plan = make_plan(PlanInput(venue="v", works=works, frames=(frame("A3", 3),), away=(away,)))
    assert len(plan.away) == 2
    assert {(one.away_from, one.away_until) for one in plan.away} == {(away.away_from, away.away_until)}


GOOD = random_input(3)


def _first(plan: FramePlan, **changes: object) -> FramePlan:
    return replaced(plan, hangs=(replaced(plan.hangs[0], **changes), *plan.hangs[1:]))  # type: ignore[arg-type,return-value]


SPOILED = {
    "a work twice": (lambda plan: replaced(plan, hangs=(*plan.hangs, plan.hangs[0])), "answered twice"),
    "a work forgotten": (lambda plan: replaced(plan, stays_out=plan.stays_out[1:]), "or not at all"),
    "other days": (lambda plan: _first(plan, hang_from=plan.hangs[0].hang_from - timedelta(1)), "other days"),
    "a frame too many": (lambda plan: _first(plan, number=3), "not there"),
    "another size": (lambda plan: _first(plan, frame="A9"), "does not take it"),
    "a crop that is not agreed": (lambda plan: _first(plan, crop_mm=(0.0, 90.0, 0.0, 90.0)), "more than is agreed"),
    "a crop that is not called one": (lambda plan: _first(plan, how="cropped", crop_mm=(0.0,) * 4), "not called one"),
    "a sum": (lambda plan: _first(plan, frame_wasted_cm2=plan.hangs[0].frame_wasted_cm2 + 1), "added up wrongly"),
    "an objective": (
        lambda plan: replaced(plan, objectives=(replaced(plan.objectives[0], value=99, bound=99), *plan.objectives[1:])),
        "objectives are added up wrongly",
    ),
    "a bound": (lambda plan: replaced(plan, objectives=(replaced(plan.objectives[0], bound=0), *plan.objectives[1:])), "own bound"),
    "frames away": (lambda plan: replaced(plan, away=plan.away[1:]), "not away when"),
}


@pytest.mark.parametrize("name", sorted(SPOILED))
def test_the_checker_finds_a_spoiled_plan(name: str) -> None:
    spoil, said = SPOILED[name]
    given = next(one for one in map(random_input, range(200)) if one.away and any(w.how == "cropped" for w in make_plan(one).hangs))
    plan = make_plan(given)
    check(given, plan)
    with pytest.raises(BadPlan, match=said):
        check(given, spoil(plan))


def test_the_checker_finds_a_frame_in_two_places() -> None:
    works = tuple(work(f"w{n}", 0, 7, 297, 420, ("A3",)) for n in range(2))
    given = PlanInput(venue="v", works=works, frames=(frame("A3", 2),))
    plan = make_plan(given)
    with pytest.raises(BadPlan, match="two places"):
        check(given, replaced(plan, hangs=tuple(replaced(one, number=1) for one in plan.hangs)))


def test_the_checker_runs_always(monkeypatch: pytest.MonkeyPatch) -> None:
    from hangworthy.plans.frames import making

    monkeypatch.setattr(making, "hand_out", lambda task, chosen, numbers: ([1 if way is not None else None for way in chosen], []))
    works = tuple(work(f"w{n}", 0, 7, 297, 420, ("A3",)) for n in range(2))
    with pytest.raises(BadPlan, match="two places"):
        make_plan(PlanInput(venue="v", works=works, frames=(frame("A3", 2),)))


def test_when_time_runs_out_the_gap_is_honest() -> None:
    from hangworthy.plans.frames.solver import Budget
    from hangworthy.plans.frames.stages import solve

    chance = random.Random(1)
    works = tuple(
        Wanted(f"w{n:04}", day, day + chance.randint(5, 60), tuple(Way(size, chance.randint(0, 90), 5) for size in range(4)))
        for n in range(400)
        for day in (chance.randint(1, 300),)
    )
    task = Task(works, tuple(Size(f"s{n}", 3, (Away(5, 9),)) for n in range(4)))
    ticks = iter(range(10**9))
    stopped = solve(task, Budget(3, clock=lambda: float(next(ticks))))
    best = solve(task, Budget(60), stages=1)
    assert not all(goal.proven for goal in stopped.goals)
    first = stopped.goals[0]
    assert first.bound is None or first.value <= best.goals[0].value <= first.bound
    assert any(place is not None for place in stopped.chosen)
