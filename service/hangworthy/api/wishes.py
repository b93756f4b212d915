"""What a client would like best: quality values of Accept and Accept-Language (RFC 9110, 12.4.2, 12.5.1 and 12.5.4)."""

from collections.abc import Sequence

_MOST = 50


def best_of(header: str, offered: Sequence[str]) -> str | None:
    """Return what is liked best of what is offered, the first of equals; None where nothing is.

    A wish names a thing exactly, its family (``text/*``, or ``de`` for ``de-AT`` and the other way round), or anything (``*``, ``*/*``).
    The most exact wish counts, and 0 says no.
    """
    wishes = [_wish(part) for part in header.split(",")[:_MOST] if part.strip()]
    liked = [(_liking(one, wishes), -place) for place, one in enumerate(offered)]
    best = max(liked, default=(0.0, 0))
    return offered[-best[1]] if best[0] > 0 else None


def _wish(part: str) -> tuple[str, float]:
    name, *parameters = (one.strip().lower() for one in part.split(";"))
    for one in parameters:
        key, _, value = one.partition("=")
        if key.strip() == "q":
            try:
                return name, min(max(float(value), 0.0), 1.0)
            except ValueError:
                return name, 0.0
    return name, 1.0


def _liking(offer: str, wishes: Sequence[tuple[str, float]]) -> float:
    found = [(_fit(offer, name), quality) for name, quality in wishes]
    return max((pair for pair in found if pair[0]), default=(0, 0.0))[1]


def _fit(offer: str, wish: str) -> int:
    if wish == offer:
        return 3
    if wish in ("*", "*/*"):
        return 1
    family, slash, rest = wish.partition("/")
    if slash:
        return 2 if rest == "*" and offer.startswith(f"{family}/") else 0
    return 2 if wish.startswith(f"{offer}-") else 0
