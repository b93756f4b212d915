"""A frame plan as a drawing of the weeks: one line for each frame, one bar for each work, and below them what stays out."""

from datetime import date, timedelta

from hangworthy.plans.drawings import safe
from hangworthy.plans.frames.answers import FramePlan
from hangworthy.plans.frames.wanted import PlanInput, ordered

_LEFT, _TOP, _LINE, _BAR, _WIDTH = 118.0, 46.0, 30.0, 22.0, 760.0
_INK, _QUIET, _RULE = "#22313f", "#6b7785", "#d9dee3"
_FILLS = {"whole": "#bfe0d2", "matted": "#cfdcf2", "cropped": "#f6ddb0"}
_NAMES = {"whole": "whole", "matted": "behind a mat", "cropped": "cropped"}
_WEEK = timedelta(days=7)


class _Days:
    """Where days are on the drawing: the first at the left, one after the last at the right."""

    def __init__(self, first: date, last: date) -> None:
        self.first, self.last = first, last
        self.step = _WIDTH / ((last - first).days + 1)

    def at(self, day: date) -> float:
        """Return the left edge of a day."""
        return _LEFT + (day - self.first).days * self.step


def draw(given: PlanInput, plan: FramePlan) -> str:
    """Return a plan as SVG. Coordinates are to a tenth of a pixel, and the same plan gives the same bytes."""
    given = ordered(given)
    asked = {work.ref: work for work in given.works}
    days = [day for work in given.works for day in (work.hang_from, work.hang_until) if day]
    days += [day for one in plan.away for day in (one.away_from, one.away_until)]
    scale = _Days(min(days, default=date(2027, 1, 1)), max(days, default=date(2027, 1, 1)))
    lines = [(frame.name, number) for frame in given.frames for number in range(1, frame.count + 1)]
    places = {line: _TOP + place * _LINE for place, line in enumerate(lines)}
    waiting = [one for one in plan.stays_out if not asked[one.ref].needs_none]
    out = [one for one in waiting if asked[one.ref].hang_from and asked[one.ref].hang_until]
    below = _TOP + len(lines) * _LINE + 26
    height = below + len(out) * _LINE + 44
    parts = [*_weeks(scale, height - 34), *(_label(f"{name}, {number}", y) for (name, number), y in places.items())]
    for away in plan.away:
        parts.append(_bar(scale, places[away.frame, away.number], away.away_from, away.away_until, "away", "url(#away)", ""))
    for one in plan.hangs:
        fill = _FILLS[one.how]
        parts.append(_bar(scale, places[one.frame, one.number], one.hang_from, one.hang_until, one.ref, fill, f": {_NAMES[one.how]}"))
    if out:
        parts.append(f'<text x="8" y="{below - 8:.1f}" font-weight="600">stays out</text>')
    for place, left in enumerate(out):
        work, y = asked[left.ref], below + place * _LINE
        parts += [_label(left.ref, y), _bar(scale, y, work.hang_from, work.hang_until, _short(left.freed_by), "none", f": {left.says}")]
    return _whole(height, plan.says, [*parts, *_key(height - 22)])


def _whole(height: float, title: str, parts: list[str]) -> str:
    width = _LEFT + _WIDTH + 14
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:.1f} {height:.1f}" width="{width:.0f}" height="{height:.0f}" '
        f'role="img" font-family="ui-sans-serif, system-ui, sans-serif" font-size="12" fill="{_INK}">'
    )
    pattern = (
        '<defs><pattern id="away" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">'
        f'<rect width="6" height="6" fill="#ffffff"/><rect width="2" height="6" fill="{_RULE}"/></pattern></defs>'
    )
    ground = f'<rect width="{width:.1f}" height="{height:.1f}" fill="#ffffff"/>'
    return "\n".join([head, f"<title>{safe(title)}</title>", pattern, ground, *parts, "</svg>"]) + "\n"


def _weeks(scale: _Days, bottom: float) -> list[str]:
    """Return a line and a date at each Monday, or at as many of them as there is room for."""
    monday = scale.first + timedelta(days=-scale.first.weekday() % 7)
    every = 1 + int(46 / (7 * scale.step))
    parts = []
    while monday <= scale.last:
        x = scale.at(monday)
        parts.append(f'<line x1="{x:.1f}" y1="{_TOP - 10:.1f}" x2="{x:.1f}" y2="{bottom:.1f}" stroke="{_RULE}"/>')
        parts.append(f'<text x="{x:.1f}" y="{_TOP - 16:.1f}" fill="{_QUIET}">{monday.day} {monday:%b}</text>')
        monday += _WEEK * every
    return parts


def _label(text: str, y: float) -> str:
    return f'<text x="8" y="{y + _BAR / 2 + 4:.1f}">{safe(_cut(text, 100.0))}</text>'


def _cut(text: str, room: float) -> str:
    """Return as much of a text as there is room for, at about seven pixels a letter."""
    most = int(room / 7)
    return text if len(text) <= most else text[: max(0, most - 1)] + "…" if most > 1 else ""


def _bar(scale: _Days, y: float, first: date | None, last: date | None, text: str, fill: str, more: str) -> str:
    if first is None or last is None:
        return ""
    x = scale.at(first)
    wide = scale.at(last + timedelta(days=1)) - x
    dashed = ' stroke-dasharray="4 3"' if fill == "none" else ""
    return (
        f'<g><title>{safe(text + more)}, {first} to {last}</title><rect x="{x + 1:.1f}" y="{y:.1f}" width="{max(1.0, wide - 2):.1f}" '
        f'height="{_BAR:.1f}" rx="3" fill="{fill}" stroke="{_QUIET}"{dashed}/>'
        f'<text x="{x + 7:.1f}" y="{y + _BAR / 2 + 4:.1f}">{safe(_cut(text, wide - 10))}</text></g>'
    )


def _short(freed: tuple[object, ...]) -> str:
    """Return in a few words what would free a work first."""
    if not freed:
        return ""
    first = freed[0]
    kind, frame, days = getattr(first, "kind", ""), getattr(first, "frame", ""), getattr(first, "days", None)
    if kind == "dates" and days:
        return f"{abs(days)} days {'later' if days > 0 else 'earlier'}"
    return f"crop more: {frame}" if kind == "crop" else f"one more {frame}"


def _key(y: float) -> list[str]:
    parts, x = [], _LEFT
    for how, fill in (*_FILLS.items(), ("away", "url(#away)"), ("stays out; what would free it", "none")):
        dashed = ' stroke-dasharray="4 3"' if fill == "none" else ""
        parts.append(f'<rect x="{x:.1f}" y="{y:.1f}" width="18" height="12" rx="2" fill="{fill}" stroke="{_QUIET}"{dashed}/>')
        name = _NAMES.get(how, how)
        parts.append(f'<text x="{x + 24:.1f}" y="{y + 10:.1f}" fill="{_QUIET}">{name}</text>')
        x += 44 + 7 * len(name)
    return parts
