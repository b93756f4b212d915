"""What asking everything again is told as: a line for each work, and the count."""

from collections.abc import Iterator

from hangworthy.api.reviewing import Otherwise, Review


def told(one: Otherwise) -> Iterator[str]:
    """Yield a line for each work whose outcome would be another; where none would be, for each work with findings that would."""
    for then, now in zip(one.then, one.now, strict=True):
        rules = ", ".join(dict.fromkeys(cause.rule for cause in one.causes if cause.ref == then.ref))
        yield f"{one.id}  {then.ref}: {then.outcome} (at worst {then.at_worst}) → {now.outcome} (at worst {now.at_worst}); {rules}"
    if not one.then:
        for ref in dict.fromkeys(cause.ref for cause in one.causes):
            ways = (f"{cause.rule} {cause.before or 'absent'} → {cause.after or 'absent'}" for cause in one.causes if cause.ref == ref)
            yield f"{one.id}  {ref}: outcome as before; {', '.join(ways)}"


def counted(review: Review, decided: int, findings: int) -> Iterator[str]:
    """Yield how many there were; both numbers are of evaluations."""
    yield f"{review.asked} asked again: {_would(decided, 'outcomes')}; {_would(findings, 'findings')} though the outcomes stay."
    if review.erased or review.unread:
        yield f"Not asked: {review.erased} that were erased, {review.unread} that today's packs or venues cannot answer."


def _would(number: int, what: str) -> str:
    return f"{number} {'has' if number == 1 else 'have'} {what} that would change"
