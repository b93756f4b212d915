"""The wall plan as a drawing to scale (SVG 1.1): the wall in millimetres, and its measures in figures beside it. Grey only.

Inside the group “wall” one unit is one millimetre, y counted from the top of the wall; so whatever reads the drawing has the plan itself.
"""

from collections.abc import Iterable, Sequence

from hangworthy.plans.drawings import safe
from hangworthy.plans.wall.answers import HungWork, Piece, PlannedRow, WallPlan
from hangworthy.plans.wall.model import Obstacle

WIDE, TALL = 1100.0, 620.0  # the most pixels that the wall takes
_LEFT, _TOP, _RIGHT = 92.0, 64.0, 92.0
_CHAIN, _LINE = 46.0, 19.0
_DIGIT = 6.9  # about the width of a figure at 12 px
_INK, _DIM, _FAINT = "#1c1c1c", "#555555", "#b4b4b4"
_STYLE = (
    "text{font:12px 'DejaVu Sans',Verdana,Arial,sans-serif;fill:#1c1c1c}.h{font-size:17px;font-weight:bold}.d{fill:#555}"
    ".o{paint-order:stroke;stroke:#fff;stroke-width:4px}.n{font-size:15px;font-weight:bold;text-anchor:middle}.m{text-anchor:middle}.e{text-anchor:end}"
    "#wall *{vector-effect:non-scaling-stroke}"
)


def drawing(plan: WallPlan, obstacles: Sequence[Obstacle]) -> str:
    """Return the drawing as a whole SVG document. Names and refs are escaped; nothing in it is fetched from anywhere."""
    return _Drawing(plan, obstacles).document()


class _Drawing:
    """One drawing while it is made."""

    def __init__(self, plan: WallPlan, obstacles: Sequence[Obstacle]) -> None:
        self.plan, self.obstacles = plan, obstacles
        self.scale = min(WIDE / plan.wall_width_mm, TALL / plan.wall_height_mm)
        self.wide, self.tall = plan.wall_width_mm * self.scale, plan.wall_height_mm * self.scale
        self.numbers = {work.ref: number for number, work in enumerate(_in_rows(plan), 1)}

    def x(self, mm: float) -> float:
        """Return where a place along the wall is drawn."""
        return _LEFT + mm * self.scale

    def y(self, mm: float) -> float:
        """Return where a height above the floor is drawn."""
        return _TOP + self.tall - mm * self.scale

    def document(self) -> str:
        below = _TOP + self.tall
        chains = [line for at, row in enumerate(self.plan.rows) for line in self._chain(at + 1, row, below + 30 + _CHAIN * at)]
        table = self._table(below + 44 + _CHAIN * len(self.plan.rows))
        high = below + 44 + _CHAIN * len(self.plan.rows) + _LINE * (len(table) + 1)
        wide = max(self.wide, 640.0) + _LEFT + _RIGHT
        name = f"“{self.plan.wall_name}”, " if self.plan.wall_name else ""
        title = f"Wall {name}{self.plan.wall_width_mm} × {self.plan.wall_height_mm} mm"
        parts = [
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide:.0f}" height="{high:.0f}" '
            f'viewBox="0 0 {wide:.0f} {high:.0f}" role="img">',
            f"<title>{safe(title)}</title><style>{_STYLE}</style>",
            f'<rect width="100%" height="100%" fill="#ffffff"/><text class="h" x="{_LEFT}" y="26">{safe(title)}</text>',
            f'<text class="d" x="{_LEFT}" y="46">All measures in mm, heights above the floor. Hooks are marked with a cross.</text>',
            *self._wall(), *self._labels(), *self._heights(), *chains, *table, "</svg>\n",
        ]  # fmt: skip
        return "\n".join(parts)

    def _wall(self) -> list[str]:
        high = self.plan.wall_height_mm
        shift = f"translate({_LEFT} {_TOP}) scale({self.scale:.6f})"
        made = [f'<g id="wall" transform="{shift}">']
        made.append(f'<rect class="wall" x="0" y="0" width="{self.plan.wall_width_mm}" height="{high}" fill="#f6f6f6" stroke="{_DIM}"/>')
        for row in self.plan.rows:
            line = f'x1="0" x2="{self.plan.wall_width_mm}" y1="{high - row.line_mm}" y2="{high - row.line_mm}"'
            made.append(f'<line class="line" {line} stroke="{_FAINT}" stroke-dasharray="9 5"/>')
        for one in self.obstacles:
            box = f'x="{one.left}" y="{high - one.top}" width="{one.width}" height="{one.height}"'
            made.append(f'<rect class="obstacle" {box} fill="#dedede" stroke="{_DIM}" stroke-dasharray="4 3"/>')
        for work in self.plan.works:
            box = f'x="{work.left_mm}" y="{high - work.top_mm}" width="{work.width_mm}" height="{work.height_mm}"'
            made.append(f'<rect class="work" {box} fill="#ffffff" stroke="{_INK}" stroke-width="2"/>')
            made += [self._hook(work, x, high) for x in work.hooks_at_mm]
        made.append(f'<line x1="0" x2="{self.plan.wall_width_mm}" y1="{high}" y2="{high}" stroke="{_INK}" stroke-width="4"/></g>')
        return made

    def _hook(self, work: HungWork, x: int, high: int) -> str:
        """Return a hook: a cross where it goes; at the upper edge, and pale, where its height is not known."""
        known = next((one.y_mm for one in work.hooks_mm if one.x_mm == x), None)
        y, arm = high - (work.top_mm if known is None else known), 6 / self.scale
        colour = _FAINT if known is None else _INK
        ends = f"M{x - arm:.1f} {y}H{x + arm:.1f}M{x} {y - arm:.1f}V{y + arm:.1f}"
        return f'<path class="hook" data-x="{x}" data-y="{high - y}" d="{ends}" stroke="{colour}" stroke-width="2" fill="none"/>'

    def _labels(self) -> Iterable[str]:
        for one in self.obstacles:
            fits = one.width * self.scale > 7.4 * len(one.name) and one.height * self.scale > 16
            x, y = self.x(one.left + one.width / 2), self.y(one.bottom + one.height / 2) + 4
            if not fits:
                y = self.y(one.top) - 5
            yield f'<text class="m d o" x="{x:.1f}" y="{y:.1f}">{safe(one.name)}</text>'
        for work in self.plan.works:
            x, y = self.x((work.left_mm + work.right_mm) / 2), self.y((work.bottom_mm + work.top_mm) / 2)
            yield f'<text class="n" x="{x:.1f}" y="{y + 5:.1f}">{self.numbers[work.ref]}</text>'
            if work.width_mm * self.scale > 76 and work.height_mm * self.scale > 62:
                yield f'<text class="m d" x="{x:.1f}" y="{y + 22:.1f}">{work.width_mm} × {work.height_mm}</text>'

    def _heights(self) -> Iterable[str]:
        """Yield the heights at the left and the right of the wall: of each row's line, and of its highest and lowest edge."""
        for number, row in enumerate(self.plan.rows, 1):
            y = self.y(row.line_mm)
            yield f'<text class="e" x="{_LEFT - 8}" y="{y + 4:.1f}">{row.line_mm}</text>'
            edges = [work for work in self.plan.works if work.row == number]
            marks = {max(one.top_mm for one in edges), min(one.bottom_mm for one in edges)}
            for mm in sorted(marks):
                x = _LEFT + self.wide
                yield f'<path d="M{x:.1f} {self.y(mm):.1f}h8" stroke="{_DIM}"/>'
                yield f'<text class="d" x="{x + 12:.1f}" y="{self.y(mm) + 4:.1f}">{mm}</text>'

    def _chain(self, number: int, row: PlannedRow, y: float) -> Iterable[str]:
        """Yield the pieces of one row as a chain of measures; a figure too wide for its piece stands below the line."""
        ends = [0, *(piece.to_mm for piece in row.pieces)]
        ticks = "".join(f"M{self.x(mm):.1f} {y - 6:.1f}v12" for mm in ends)
        yield f'<path d="M{self.x(0):.1f} {y:.1f}H{self.x(ends[-1]):.1f}{ticks}" stroke="{_DIM}" fill="none"/>'
        if len(self.plan.rows) > 1:
            yield f'<text class="e d" x="{_LEFT - 8}" y="{y + 4:.1f}">row {number}</text>'
        last = -1e9
        for piece in row.pieces:
            text = str(piece.length_mm)
            at, wide = self.x((piece.from_mm + piece.to_mm) / 2), _DIGIT * len(text)
            roomy = piece.length_mm * self.scale > wide + 4
            low = y - 5 if roomy else y + (17 if at - wide / 2 > last + 3 else 29)
            last = last if roomy or low > y + 20 else at + wide / 2
            yield f'<text class="m{_shade(piece)}" data-kind="{piece.kind}" x="{at:.1f}" y="{low:.1f}">{text}</text>'

    def _table(self, y: float) -> list[str]:
        made = []
        for place, work in enumerate(_in_rows(self.plan)):
            ref = work.ref if len(work.ref) <= 28 else f"{work.ref[:15]}…{work.ref[-12:]}"
            where = f"left edge {work.left_mm}, lower edge {work.bottom_mm}"
            row = y + _LINE * place
            made.append(
                f'<text x="{_LEFT}" y="{row:.1f}">{self.numbers[work.ref]}</text><text x="{_LEFT + 28}" y="{row:.1f}">{safe(ref)}</text>'
                f'<text class="d" x="{_LEFT + 250}" y="{row:.1f}">{where}; {_hooks(work)}</text>'
            )
        for note in self.plan.notes + tuple(one.sentence for one in self.plan.would_fit):
            made.append(f'<text x="{_LEFT}" y="{y + _LINE * len(made):.1f}">{safe(note)}</text>')
        for caution in self.plan.cautions:
            made.append(f'<text class="d" x="{_LEFT}" y="{y + 8 + _LINE * len(made):.1f}">{safe(caution)}</text>')
        return made


def _shade(piece: Piece) -> str:
    return "" if piece.kind == "gap" else " d"


def _hooks(work: HungWork) -> str:
    along = " and ".join(map(str, work.hooks_at_mm))
    name = "hook" if len(work.hooks_at_mm) == 1 else "hooks"
    height = f"{work.hooks_mm[0].y_mm} high" if work.hooks_mm else "height not known"
    return f"{name} at {along}, {height}"


def _in_rows(plan: WallPlan) -> list[HungWork]:
    """Return the works as one reads the wall: from the upper row down, from left to right."""
    return sorted(plan.works, key=lambda one: (one.row, one.left_mm))
