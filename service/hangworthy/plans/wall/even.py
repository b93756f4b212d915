"""Even spacing: free wall shared out among the pieces between works, as equally as their least widths and their bounds allow.

The pieces of one group stand between two fixed edges. Minimising the sum of their squares under bounds on the partial sums is a separable
convex problem over a base polytope: the most violated bounds of the problem without them hold with equality in the problem with them, and
the two sides come apart (Fujishige 1980; Groenevelt 1991, “Two algorithms for maximizing a separable concave function over a polymatroid
feasible region”). Its solution is least majorised: no other makes the narrowest piece wider, and then the next, and so on.
"""

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise
from math import floor

Exact = int | Fraction


def level_of(total: Exact, leasts: Sequence[int]) -> Fraction:
    """Return the width that every piece has whose least width is below it, so that all come to ``total``.

    Raises ValueError when the least widths alone come to more.
    """
    if sum(leasts) > total:
        raise ValueError("the pieces are wider than the whole")
    held, count = 0, len(leasts)
    for least in sorted(leasts, reverse=True):
        level = Fraction(total - held, count)
        if level >= least:
            return level
        held, count = held + least, count - 1
    return Fraction(0)


def even_sums(total: int, leasts: Sequence[int], lows: Sequence[int], highs: Sequence[int]) -> tuple[int, ...]:
    """Return the partial sums of the most even pieces: whole millimetres, each exact sum rounded down.

    ``lows`` and ``highs`` bound each partial sum but the last, which is ``total``. Rounding keeps bounds and least widths, since those are
    whole; no two pieces that are exactly equal differ by more than 1 mm. Raises ValueError when there is no solution.
    """
    sums: list[Exact] = [0] * (len(leasts) + 1)
    sums[-1] = total
    waiting = [(0, len(leasts))]
    while waiting:
        first, last = waiting.pop()
        _share(sums, leasts, first, last)
        worst = _worst(sums, lows, highs, first, last)
        for place, bound in worst:
            sums[place] = bound
        ends = [first, *sorted(place for place, _ in worst), last]
        waiting += [pair for pair in pairwise(ends) if worst and pair[1] > pair[0]]
    return tuple(floor(one) for one in sums[1:])


def _share(sums: list[Exact], leasts: Sequence[int], first: int, last: int) -> None:
    """Fill in the sums between two fixed ones as if they had no bounds."""
    level = level_of(sums[last] - sums[first], leasts[first:last])
    for place in range(first + 1, last):
        sums[place] = sums[place - 1] + (level if level > leasts[place - 1] else leasts[place - 1])


def _worst(sums: Sequence[Exact], lows: Sequence[int], highs: Sequence[int], first: int, last: int) -> list[tuple[int, int]]:
    """Return the sum furthest above its bound and the one furthest below, each with its bound; nothing where all are kept."""
    inner = range(first + 1, last)
    above = max(inner, key=lambda place: sums[place] - highs[place - 1], default=None)
    below = max(inner, key=lambda place: lows[place - 1] - sums[place], default=None)
    found = []
    if above is not None and sums[above] > highs[above - 1]:
        found.append((above, highs[above - 1]))
    if below is not None and sums[below] < lows[below - 1]:
        found.append((below, lows[below - 1]))
    return found
