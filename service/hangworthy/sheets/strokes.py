"""The pen: lines, rectangles, letters and hatching in true millimetres, as thick and as large as they are to be on paper."""

from html import escape

FILLS = {"none": "none", "white": "#fff", "light": "#ececec", "dark": "#555"}
_WIDTHS = {"line": 0.25, "thin": 0.13, "heavy": 0.55, "dashed": 0.25}
LETTER_MM = 2.5
_HATCH_MM, _DOT_MM = 1.6, 0.95
_MOST_HATCHES = 400


def plain(value: float) -> str:
    """Return a coordinate with at most four decimals, without an exponent."""
    text = f"{value:.4f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def width_of(text: str, size: float = LETTER_MM) -> float:
    """Return about how wide a text is on paper [mm]."""
    return len(text) * size * 0.52


class Pen:
    """Collects what is drawn, and how far it reaches. ``k`` is true millimetres per millimetre on paper."""

    def __init__(self, k: float) -> None:
        """Start with nothing."""
        self.k = k
        self._made: list[str] = []
        self._xs: list[float] = []
        self._ys: list[float] = []

    @property
    def content(self) -> str:
        """What was drawn."""
        return "".join(self._made)

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """Left, top, right and bottom of all that was drawn."""
        return min(self._xs), min(self._ys), max(self._xs), max(self._ys)

    def _reach(self, *points: tuple[float, float]) -> None:
        self._xs += [x for x, _ in points]
        self._ys += [y for _, y in points]

    def _stroke(self, name: str) -> str:
        if name == "none":
            return ' stroke="none"'
        width = _WIDTHS[name] * self.k
        dash = f' stroke-dasharray="{plain(1.3 * self.k)} {plain(0.9 * self.k)}"' if name == "dashed" else ""
        return f' stroke="#000" stroke-width="{plain(width)}"{dash}'

    def line(self, x1: float, y1: float, x2: float, y2: float, stroke: str = "line", part: str = "") -> None:
        """Draw a line."""
        self._reach((x1, y1), (x2, y2))
        self._made.append(
            f'<line x1="{plain(x1)}" y1="{plain(y1)}" x2="{plain(x2)}" y2="{plain(y2)}"{self._stroke(stroke)}{_part(part)}/>'
        )  # fmt: skip

    def rect(self, x: float, y: float, width: float, height: float, stroke: str, fill: str, part: str) -> None:
        """Draw a rectangle; one without line and fill is nothing."""
        if stroke == "none" and fill == "none":
            return
        self._reach((x, y), (x + width, y + height))
        self._made.append(
            f'<rect x="{plain(x)}" y="{plain(y)}" width="{plain(width)}" height="{plain(height)}" fill="{FILLS[fill]}"'
            f"{self._stroke(stroke)}{_part(part)}/>"
        )

    def hatch(self, x: float, y: float, width: float, height: float) -> None:
        """Fill a rectangle with lines that rise to the right."""
        step = max(_HATCH_MM * self.k, (width + height) / _MOST_HATCHES)
        parts, at = [], step
        while at < width + height:
            x1, y1 = (x, y + at) if at <= height else (x + at - height, y + height)
            x2, y2 = (x + at, y) if at <= width else (x + width, y + at - width)
            parts.append(f"M{plain(x1)} {plain(y1)}L{plain(x2)} {plain(y2)}")
            at += step
        self._made.append(f'<path d="{"".join(parts)}" stroke="#000" stroke-width="{plain(0.11 * self.k)}" fill="none"/>')

    def dot(self, x: float, y: float, part: str) -> None:
        """Draw a point to find: a filled circle in a ring."""
        r = _DOT_MM * self.k
        self._reach((x - 1.8 * r, y - 1.8 * r), (x + 1.8 * r, y + 1.8 * r))
        self._made.append(f'<circle cx="{plain(x)}" cy="{plain(y)}" r="{plain(1.8 * r)}" fill="#fff"{self._stroke("line")}/>')
        self._made.append(f'<circle cx="{plain(x)}" cy="{plain(y)}" r="{plain(r)}" fill="#000"{_part(part)}/>')

    def text(self, x: float, y: float, text: str, anchor: str = "middle", *, turned: bool = False, halo: bool = False) -> None:
        """Write a text, its middle line at y; turned, it reads upwards."""
        size, wide, high = LETTER_MM * self.k, width_of(text) * self.k, LETTER_MM * self.k * 1.2
        along = {"middle": (-wide / 2, wide / 2), "start": (0.0, wide), "end": (-wide, 0.0)}[anchor]
        corners = [(x + along[0], y - high / 2), (x + along[1], y + high / 2)]
        if turned:
            corners = [(x - high / 2, y - along[1]), (x + high / 2, y - along[0])]
        self._reach(*corners)
        if halo:
            (left, top), (right, bottom) = corners
            self._made.append(
                f'<rect x="{plain(left)}" y="{plain(top)}" width="{plain(right - left)}" height="{plain(bottom - top)}" fill="#fff"/>'
            )
        down = size * 0.35  # letters stand on their base line, which lies this much below their middle
        place = f'x="{plain(x)}" y="{plain(y + down)}"'
        turn = ""
        if turned:
            place, turn = f'x="0" y="{plain(down)}"', f' transform="translate({plain(x)} {plain(y)}) rotate(-90)"'
        self._made.append(f'<text {place}{turn} font-size="{plain(size)}" text-anchor="{anchor}" fill="#000">{escape(text)}</text>')


def _part(part: str) -> str:
    return f' data-part="{escape(part)}"' if part else ""
