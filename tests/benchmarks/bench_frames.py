"""How long a proven frame plan takes, and how much longer the plainest model of the same plan: one variable for each work and size, one
row for each work and for each day on which a work begins. Prints seconds of one core (its own time, so that other
programs on the machine count little) and a ratio of one run; the last line is JSON.

The works are invented: hung on Mondays for 4 to 26 weeks within two years, half of them of a standard size, half of the sizes with a mat of
their own, a third more work than there are frames for. Other programmes take longer, since plans are NP-hard in general, and the first
seed is one of those where the relaxation is nearly whole: ``--seeds 30`` plans as many other programmes of ``--works`` works, without the
plain model, and prints the seconds of each, the median, the worst, and which took longer than the bar or were not proven at all.
"""

import argparse
import json
import random
import statistics
import sys
import time

import highspy
import numpy as np

from hangworthy.plans.frames.solver import Budget
from hangworthy.plans.frames.stages import solve
from hangworthy.plans.frames.task import Goal, Size, Task, Wanted, Way

# Inner sizes [mm], and whether the size has a mat of its own, which takes only sheets that fill it or the mat.
SIZES = (
    (210, 297, False), (297, 420, False), (300, 400, True), (400, 500, True), (420, 594, False), (500, 700, True),
    (450, 450, True), (594, 841, False), (600, 800, True), (600, 900, True), (700, 1000, False), (841, 1189, False),
)  # fmt: skip
DAYS, OVERLOAD = 730, 1.3
BARS = {"1,000 works [s]": 2.0, "10,000 works [s]": 20.0, "plain model over ours": 5.0}


def ways_of(width: int, height: int, consent: int) -> tuple[Way, ...]:
    """Return how a sheet goes into each size: upright or turned, cropped by at most the consent on each side."""
    found = []
    for place, (short, long, mat) in enumerate(SIZES):
        fits = []
        for wide, high in ((short, long), (long, short)):
            over = max(0, width - wide), max(0, height - high)
            behind = wide - 40 <= width <= wide - 30 and high - 40 <= height <= high - 30
            if max(over) > 2 * consent or (mat and (width < wide - 6 or height < high - 6) and not behind):
                continue
            shown = (width - over[0]) * (height - over[1])
            fits.append((round(10_000 * (1 - shown / (width * height))), round((wide * high - shown) / 100)))
        if fits:
            found.append(Way(place, *min(fits)))
    return tuple(found)


def programme(count: int, seed: int = 1) -> Task:
    """Return an invented programme of so many works; a few that fit no size are left out."""
    chance, works = random.Random(seed), []
    for number in range(count):
        short, long, _ = SIZES[chance.randrange(len(SIZES))]
        which = chance.random()
        if which < 0.5:
            width, height = short, long
        elif which < 0.8:
            width, height = chance.randint(int(short * 0.75), short), chance.randint(int(long * 0.75), long)
        else:
            width, height = short + chance.randint(1, 25), long + chance.randint(1, 25)
        consent = chance.choice((10, 20, 30)) if chance.random() < 0.3 else 0
        stay, first = 7 * chance.randint(4, 26), chance.randrange(DAYS - 28) // 7 * 7
        chance.random()
        if ways := ways_of(width, height, consent):
            works.append((first, min(DAYS, first + stay) - 1, ways, f"w{number:05}"))
    again = random.Random(5)
    wanted = tuple(
        Wanted(ref, first + 1, last + 1, ways, 1, again.choice(ways).size if again.random() < 0.5 else None)
        for first, last, ways, ref in works
    )
    frames = max(1, round(sum(one.last - one.first + 1 for one in wanted) / DAYS / OVERLOAD / len(SIZES)))
    return Task(wanted, tuple(Size(f"{short} x {long}", frames) for short, long, _ in SIZES))


def plain(task: Task, seconds: float) -> tuple[float, list[int | None]]:
    """Solve the plain model, one objective after the other; return the seconds of one core and the values reached, then None."""
    began, began_wall = time.process_time(), time.perf_counter()
    columns = [(index, way) for index, work in enumerate(task.works) for way in work.ways]
    first = np.array([task.works[index].first for index, _ in columns])
    last = np.array([task.works[index].last for index, _ in columns])
    owner, size = np.array([index for index, _ in columns]), np.array([way.size for _, way in columns])
    rows = [(np.flatnonzero(owner == index), 1) for index in range(len(task.works))]
    for place, one in enumerate(task.sizes):
        mine = np.flatnonzero(size == place)
        for day in np.unique(first[mine]):
            rows.append((mine[(first[mine] <= day) & (last[mine] >= day)], one.count))
    model = highspy.Highs()
    for name, value in {"output_flag": False, "threads": 1, "mip_rel_gap": 0.0, "mip_abs_gap": 0.5}.items():
        model.setOptionValue(name, value)
    made = highspy.HighsLp()
    made.num_col_, made.num_row_ = len(columns), len(rows)
    made.col_cost_, made.col_lower_, made.col_upper_ = np.zeros(len(columns)), np.zeros(len(columns)), np.ones(len(columns))
    made.row_lower_, made.row_upper_ = np.full(len(rows), -highspy.kHighsInf), np.array([count for _, count in rows], float)
    made.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    made.a_matrix_.start_ = np.concatenate([[0], np.cumsum([len(entries) for entries, _ in rows])])
    made.a_matrix_.index_ = np.concatenate([entries for entries, _ in rows])
    made.a_matrix_.value_ = np.ones(len(made.a_matrix_.index_))
    made.integrality_ = [highspy.HighsVarType.kInteger] * len(columns)
    model.passModel(made)
    kept = [-(task.works[index].earlier == way.size) for index, way in columns]
    costs = np.array([[-1] * len(columns), [way.lost for _, way in columns], [way.wasted for _, way in columns], kept], float)
    values: list[int | None] = []
    every = np.arange(len(columns), dtype=np.int32)
    for cost in costs:
        left = seconds - (time.perf_counter() - began_wall)
        if left <= 0:
            break
        model.changeColsCost(len(columns), every, cost)
        model.setOptionValue("time_limit", model.getRunTime() + left)
        model.run()
        if model.getModelStatus() != highspy.HighsModelStatus.kOptimal:
            break
        values.append(round(model.getInfo().objective_function_value))
        used = np.flatnonzero(cost).astype(np.int32)
        model.addRow(-highspy.kHighsInf, float(values[-1]), len(used), used, cost[used])
    return time.process_time() - began, values + [None] * (4 - len(values))


def ours(count: int, seed: int = 1) -> tuple[float, float, Task, tuple[Goal, ...]]:
    """Return the seconds of one core that a plan of so many works takes, those on the clock, and what it reached."""
    task = programme(count, seed)
    began, began_wall = time.process_time(), time.perf_counter()
    solved = solve(task, Budget(120))
    return time.process_time() - began, time.perf_counter() - began_wall, task, solved.goals


def over_seeds(seeds: int, count: int) -> None:
    """Print how long programmes of several seeds take, and which of them stay out of the bar."""
    bar, seconds = BARS[f"{count:,} works [s]"], []
    slow, unproven = [], []
    for seed in range(1, seeds + 1):
        took, _, _, goals = ours(count, seed)
        seconds.append(took)
        first = next((goal for goal in goals if not goal.proven), None)
        if first is not None:
            unproven.append(seed)
        elif took > bar:
            slow.append(seed)
        print(f"seed {seed:3}: {took:6.2f} s, {'proven' if first is None else f'{first.name} NOT PROVEN, gap {first.gap}'}", flush=True)
    report = {
        "works": count, "seeds": seeds, "median [s]": round(statistics.median(seconds), 2), "worst [s]": round(max(seconds), 2), "bar": bar,
        "within the bar": seeds - len(slow) - len(unproven), "proven, but slower": slow, "not proven": unproven,
    }  # fmt: skip
    print(json.dumps(report))


def main() -> int:
    """Print the figures."""
    asked = argparse.ArgumentParser(description="How long proven frame plans take.")
    asked.add_argument("--seeds", type=int, default=0, help="plan the programmes of so many seeds instead, without the plain model")
    asked.add_argument("--works", type=int, default=1_000, choices=(1_000, 10_000), help="works of each of them")
    given = asked.parse_args()
    if given.seeds > 0:
        over_seeds(given.seeds, given.works)
        return 0
    figures: dict[str, float] = {}
    proven = True
    for count in (1_000, 10_000):
        took, on_clock, task, goals = ours(count)
        proven = proven and all(goal.proven for goal in goals)
        figures[f"{count:,} works [s]"] = took
        print(f"{count:,} works, {len(task.sizes)} sizes, {task.sizes[0].count} frames of each, {DAYS} days: {took:.2f} s")
        for goal in goals:
            print(f"    {goal.name:14} {goal.value:>10,}  bound {goal.bound}  {'proven' if goal.proven else 'NOT PROVEN'}")
    slow, values = plain(task, 6 * on_clock)
    ended = values[-1] is not None
    figures["plain model over ours"] = slow / took
    print(
        f"the plain model: {slow:.1f} s"
        + ("" if ended else f", stopped there; objectives reached: {sum(one is not None for one in values)}")
    )
    report = {}
    for name, bar in BARS.items():
        holds = proven and (figures[name] >= bar if "over" in name else figures[name] <= bar)
        report[name] = {"ratio": round(figures[name], 2), "bar": bar, "holds": holds}
    print(json.dumps(report))
    return 0


if __name__ == "__main__":
    sys.exit(main())
