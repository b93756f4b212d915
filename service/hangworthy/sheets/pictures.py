"""Drawings as figures of a page: views to scale, with title, caption and scale."""

from collections.abc import Iterable, Mapping
from html import escape
from typing import Any, Literal

from hangworthy.engine.drawings import Drawn
from hangworthy.sheets.svg import picture
from hangworthy.sheets.words import Tongue

# The room for a drawing of one view, and for each view of a drawing of several: two drawings stand beside each other on either paper.
ROOM_MM = {"artist": (70.0, 48.0), "coordinator": (92.0, 46.0)}
ROOM_EACH_MM = {"artist": (46.0, 48.0), "coordinator": (60.0, 46.0)}


def figures(drawn: Iterable[Drawn], reader: Literal["artist", "coordinator"], say: Tongue) -> str:
    """Return the drawings that are meant for one reader, or nothing."""
    made = [_figure(one, say) for one in drawn if one.sketch.shown_to == reader]
    return f'<div class="pictures">{"".join(made)}</div><p class="under">{escape(say("to_scale"))}</p>' if made else ""


def _figure(one: Drawn, say: Tongue) -> str:
    def words(key: str, named: Mapping[str, Any]) -> str:
        return filled(one, key, named, say)

    title = one.title or one.sketch.title
    views = []
    for view in one.drawing.views:
        below = words(view.says, view.named) if view.says else ""
        label = f"{title}: {below}" if below else title
        drawn = picture(view, words, say.number, label, _room(one))
        under = " · ".join(part for part in (below, say("scale", scale=say.figures(drawn.scale))) if part)
        views.append(f'<div class="view">{drawn.svg}<p class="under">{escape(under)}</p></div>')
    caption = words("caption", one.drawing.named) if "caption" in one.says else ""
    told = f"<figcaption>{escape(caption)}</figcaption>" if caption else ""
    name = escape(f"{one.pack}.{one.sketch.name}")
    head = f'<figure data-drawing="{name}">'
    return f'{head}<h3>{escape(title)}</h3><div class="views">{"".join(views)}</div>{told}</figure>'


def _room(one: Drawn) -> tuple[float, float]:
    return (ROOM_MM if len(one.drawing.views) == 1 else ROOM_EACH_MM)[one.sketch.shown_to]


def filled(one: Drawn, key: str, named: Mapping[str, Any], say: Tongue) -> str:
    """Return words of a drawing, filled: a figure with its unit is written as the language writes it."""
    shown = {name: say.quantity(*value) if isinstance(value, tuple) else value for name, value in named.items()}
    return one.says[key].format_map(shown)
