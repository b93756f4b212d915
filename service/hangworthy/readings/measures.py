"""From tokens to what a line is made of: groups of measures (“61 × 91,4 cm”), words, written orders (“h × w”) and marks."""

import re
from fractions import Fraction
from functools import lru_cache
from typing import Final

from hangworthy.contract.tokens import COMPOUND, Token, scan
from hangworthy.contract.units import Unit, field_unit, find_unit
from hangworthy.readings.evening import one_way
from hangworthy.readings.model import Measure, Piece
from hangworthy.readings.papers import paper_size
from hangworthy.readings.words import AXES, DIVIDES, LETTERS

_MM: Final = field_unit("mm")
_ORDER: Final = re.compile(r"[hwdbtlp](?:x[hwdbtlp]){1,2}")
_ORDER_PIECES: Final = 4  # “(”, “h × w”, “in”, “)”
_MARKS: Final = ",;:()&+="


@lru_cache(maxsize=256)
def _unit(written: str) -> Unit | None:
    return find_unit(written, _MM) if len(written) <= 12 else None


def _several(number: Fraction) -> bool:
    return number > 1 and number.denominator == 1


def _dimension(one: Measure) -> str:
    return one.unit.dimension if one.unit else _MM.dimension


def pieces(text: str) -> list[Piece]:
    """Return the pieces of a line, in order. Takes time in proportion to its length."""
    return _Pieces(list(scan(*one_way(text)))).made


class _Pieces:
    """One walk over the tokens, never back by more than one measure."""

    def __init__(self, tokens: list[Token]) -> None:
        self.tokens, self.made = tokens, list[Piece]()
        place = 0
        while place < len(tokens):
            place = self._step(place)

    def _kind(self, place: int) -> str:
        return self.tokens[place].kind if place < len(self.tokens) else ""

    def _word(self, place: int) -> str:
        """Return the word at a place, in small letters and without its point; nothing where there is none."""
        if self._kind(place) not in ("U", "R", "X"):
            return ""
        return self.tokens[place].text.strip(".").lower()

    def _text(self, place: int) -> str:
        return self.tokens[place].text if place < len(self.tokens) else ""

    def _step(self, place: int) -> int:
        token = self.tokens[place]
        if (named := self._paper(place) or self._late_unit(place)) is not None:
            return named
        if token.kind in "NX" and (counted := self._copies(place)) is not None:
            return counted
        measure, after = self._measure(place)
        if measure is not None:
            return self._group(measure, after)
        if (order := self._order(place)) is not None:
            return order
        word = self._word(place)
        if word and (token.kind == "U" or word in ("by", "to", "bis")):
            self.made.append(Piece("word", word, token.start, token.end))
        elif token.text in _MARKS:
            self.made.append(Piece("mark", token.text, token.start, token.end))
        return place + 1

    def _paper(self, place: int) -> int | None:
        """Read “A3” or “DIN A2”; return the place behind. A number, a unit or a × beside it makes it something else."""
        by = self._word(place) in ("din", "iso")
        name, after = "", place
        while (
            after < len(self.tokens) and after < place + (4 if by else 2) and (self._kind(after) in ("U", "N") or self._text(after) == "-")
        ):
            apart = after > place and self.tokens[after].start > self.tokens[after - 1].end
            if apart and not by:
                break
            name, after = name + " " * apart + self.tokens[after].text, after + 1
            if (size := paper_size(name)) is not None and self._ends(place, after):
                span = self.tokens[place].start, self.tokens[after - 1].end
                self.made.append(Piece("group", "paper", *span, tuple(Measure(Fraction(side), _MM, "", *span) for side in size)))
                return after
        return None

    def _ends(self, place: int, after: int) -> bool:
        """Return whether a name of paper stands alone: “A3+” is another size, “A4 × 20” and “A4 cm” are none."""
        before = self._kind(place - 1) if place else ""
        close = after < len(self.tokens) and self.tokens[after].start == self.tokens[after - 1].end
        if before == "X" or self._kind(after) in ("X", "N") or (close and self._text(after) in ("+", "'", '"')):
            return False
        unit, _ = self._unit_at(after)
        return unit is None

    def _late_unit(self, place: int) -> int | None:
        """Give a group that has no unit the one behind its order: “100 × 80 × 3 (H×B×T) cm”; return the place behind."""
        unit, after = self._unit_at(place)
        if unit is None or unit.dimension != _MM.dimension or (self._word(place) == "in" and self._unit_at(place + 1)[0] is not None):
            return None
        back = len(self.made) - 1
        first = max(0, back - _ORDER_PIECES)
        while back > first and (self.made[back].text in ("in", ")", "(") or self.made[back].kind == "order"):
            back -= 1
        between = {piece.kind for piece in self.made[back + 1 :]}
        if "order" not in between or self.made[back].kind != "group" or any(one.unit or one.bad for one in self.made[back].measures):
            return None
        *rest, last = self.made[back].measures
        self.made[back] = self.made[back]._replace(measures=(*rest, last._replace(unit=unit)))
        return after

    def _copies(self, place: int) -> int | None:
        """Read how many there are of one size, “3 x (40 x 60 cm)” or “(40 x 60 cm) x 3”, as “each”; return the place behind."""
        behind = self._kind(place) == "X" and bool(self.made) and self.made[-1].text == ")"
        count, after = place + behind, place + 1 + behind
        if self._kind(count) != "N" or self.tokens[count].fault or not _several(self.tokens[count].number):
            return None
        ahead = self._kind(after) == "X" and self._text(after + 1) == "(" and self._kind(self._measure(after + 2)[1]) == "X"
        if behind and (self._kind(after) in ("X", "N", "R", "P") or self._unit_at(after)[0] is not None or self._word(after) in AXES):
            return None
        if not (behind or ahead):
            return None
        self.made.append(Piece("word", "each", self.tokens[count].start, self.tokens[count].end))
        return after + ahead

    def _order(self, place: int) -> int | None:
        """Read “h x w”, “hxw” or “height by width”, with no numbers in it; return the place behind."""
        word, axes, after = self._word(place), list[str](), place
        if _ORDER.fullmatch(word):
            axes, after = [AXES[letter] for letter in word.split("x")], place + 1
        while after != place + 1 and self._word(after) in AXES and len(axes) < 3:
            axes.append(AXES[self._word(after)])
            if self._kind(after + 1) != "X":
                after += 1
                break
            after += 2
        if len(axes) < 2 or len(set(axes)) < len(axes):
            return None
        self.made.append(Piece("order", "".join(axes), self.tokens[place].start, self.tokens[after - 1].end))
        return after

    def _group(self, first: Measure, after: int) -> int:
        found, on = [first], False
        while len(found) < 6:
            joint = after
            on = self._on(after, found, on)
            if (
                self._kind(after) == "X"
                or on
                or (found[-1].axis and (self._text(after) in (",", "&", ";") or self._word(after) in DIVIDES))
            ):
                joint = after + 1
            elif not found[-1].axis:
                break
            following, end = self._measure(joint)
            if following is None or (
                self._kind(after) != "X" and not on and (not following.axis or following.axis in {one.axis for one in found})
            ):
                break
            found.append(following)
            after = end
        self.made.append(Piece("group", "", found[0].start, found[-1].end, tuple(found)))
        return after

    def _on(self, place: int, found: list[Measure], before: bool) -> bool:
        """Return whether an “auf” stands between the sides of one size, “60 auf 80 cm”; in “30 x 40 auf 50 x 60 cm” it does not."""
        following, after = self._measure(place + 1) if self._word(place) == "auf" and (before or len(found) == 1) else (None, place)
        return following is not None and self._kind(after) != "X" and {_dimension(found[0]), _dimension(following)} == {_MM.dimension}

    def _measure(self, place: int) -> tuple[Measure | None, int]:
        """Read one measure: “60”, “60 cm”, “5' 3\"”, “H 60 cm”, “60 cm high”, “60-65 cm”; None where there is none."""
        axis, start = "", place
        if ((word := self._word(place)) in AXES and self._kind(place) == "U") or self._text(place) == "⌀":
            axis, place = AXES[word or "⌀"], place + 1
            if self._text(place) in (":", "="):
                place += 1
        if self._kind(place) != "N":
            return None, start
        token = self.tokens[place]
        unit, after = self._unit_at(place + 1)
        number, end = token.number, token
        after, number, unit = self._second(number, unit, after)
        after, unit, spread = self._spread(unit, after)
        end = self.tokens[after - 1]
        axis, after = self._axis_after(axis, after)
        if unit is None and axis and (late := self._unit_behind(after)) is not None:
            unit, end, after = late, self.tokens[after], after + 1
        bad = token.fault is not None
        choices = token.fault.choices if token.fault else ()
        return Measure(number, unit, axis, self.tokens[start].start, end.end, bad, choices, spread), after

    def _unit_at(self, place: int) -> tuple[Unit | None, int]:
        if self._kind(place) == "U":
            written = self._text(place).rstrip(".")
            if written.lower() not in LETTERS and (unit := _unit(written)) is not None:
                return unit, place + 1
        return None, place

    def _unit_behind(self, after: int) -> Unit | None:
        """Return the unit of length behind an axis, “80 h cm”; “60 high in oak” has none."""
        unit, _ = self._unit_at(after)
        if unit is None or unit.dimension != _MM.dimension or (self._word(after) == "in" and self._kind(after + 1) == "U"):
            return None
        return unit

    def _second(self, number: Fraction, unit: Unit | None, after: int) -> tuple[int, Fraction, Unit | None]:
        """Add the inches to the feet: the second part of one measure, if there is one."""
        if unit is None or self._kind(after) != "N" or self.tokens[after].fault:
            return after, number, unit
        small, end = self._unit_at(after + 1)
        if small is None and unit.symbol == "ft" and self._text(after - 1) == "'":
            small = _unit("in")
        second = self.tokens[after].number
        most = COMPOUND.get((unit.symbol, small.symbol)) if small else None
        if small is None or most is None or second >= most or number.denominator != 1:
            return after, number, unit
        return end, number + second * small.factor / unit.factor, unit

    def _spread(self, unit: Unit | None, after: int) -> tuple[int, Unit | None, bool]:
        """Pass over the second number of a range or of a ±; the measure is then no single number."""
        joint = self._kind(after) in ("R", "P") or self._text(after) == "-"
        if not joint or self._kind(after + 1) != "N":
            return after, unit, False
        second, end = self._unit_at(after + 2)
        return end, unit or second, True

    def _axis_after(self, axis: str, after: int) -> tuple[str, int]:
        if axis:
            return axis, after
        opened = self._text(after) == "("
        word = self._word(after + opened)
        if word not in AXES or (opened and self._text(after + 2) != ")"):
            return "", after
        if word in LETTERS and self._kind(after + opened + 1) == "N":  # “60 H 40”: the letter belongs to what follows
            return "", after
        return AXES[word], after + 1 + 2 * opened
