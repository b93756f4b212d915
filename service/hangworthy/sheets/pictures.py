"""Drawings as figures of a page: views to scale, with title, caption and scale."""

import math
from collections.abc import Iterable, Mapping
from html import escape
from typing import Any, Literal

from hangworthy.engine.drawings import Drawn
from hangworthy.sheets.svg import picture
from hangworthy.sheets.words import Tongue

ROOM_MM = {"artist": (86.0, 58.0), "coordinator": (130.0, 56.0)}
_EACH = 0.55  # of the room in width, for each of several views


def figures(drawn: Iterable[Drawn], reader: Literal["artist", "coordinator"], say: Tongue) -> str:
    """Return the drawings that are meant for one reader, or nothing."""
    made = [_figure(one, say) for one in drawn if one.sketch.shown_to == reader]
    return f'<div class="pictures">{"".join(made)}</div><p class="under">{escape(say("to_scale"))}</p>' if made else ""


def _figure(one: Drawn, say: Tongue) -> str:
    def words(key: str, named: Mapping[str, Any]) -> str:
        return filled(one, key, named, say)

    title = one.title or one.sketch.title
    views, wide = [], 0.0
    for view in one.drawing.views:
        below = words(view.says, view.named) if view.says else ""
        label = f"{title}: {below}" if below else title
        drawn = picture(view, words, say.number, label, _room(one))
        wide += drawn.width_mm + 6
        under = " · ".join(part for part in (below, say("scale", scale=say.figures(drawn.scale))) if part)
        views.append(f'<div class="view">{drawn.svg}<p class="under">{escape(under)}</p></div>')
    caption = words("caption", one.drawing.named) if "caption" in one.says else ""
    told = f"<figcaption>{escape(caption)}</figcaption>" if caption else ""
    name = escape(f"{one.pack}.{one.sketch.name}")
    centimetres = min(18, max(5, math.ceil(wide / 10)))  # as wide as its views, so that the caption wraps below them
    head = f'<figure class="cm{centimetres}" data-drawing="{name}">'
    return f'{head}<h3>{escape(title)}</h3><div class="views">{"".join(views)}</div>{told}</figure>'


def _room(one: Drawn) -> tuple[float, float]:
    wide, high = ROOM_MM[one.sketch.shown_to]
    count = len(one.drawing.views)
    return (wide if count == 1 else wide * _EACH, high)


def filled(one: Drawn, key: str, named: Mapping[str, Any], say: Tongue) -> str:
    """Return words of a drawing, filled: a figure with its unit is written as the language writes it."""
    shown = {name: say.quantity(*value) if isinstance(value, tuple) else value for name, value in named.items()}
    return one.says[key].format_map(shown)
