"""An edition, read: “ed. 12/50 + 5 AP”, “A.P. 2/5”, “e.a. III/X”, “edition of 50”, “Unikat”, “open edition”, in English and German."""

import re
from typing import Any, Final, NamedTuple

from hangworthy.contract.reading import EditionRead, Source
from hangworthy.readings.model import Found, Unsure

_TOKEN: Final = re.compile(r"(?P<proof>[A-Za-z](?:\.\ ?[A-Za-z]){1,2}\.?(?![^\W\d_])|[AP]/P(?![^\W\d_]))|(?P<digits>[0-9]++)"
                           r"|(?P<word>[^\W\d_]++(?:['’]s)?)|(?P<sign>\S)")  # fmt: skip
_ROMAN: Final = re.compile(r"(?=[IVXLC])(?:C{0,3}+)(?:XC|XL|L?X{0,3}+)(?:IX|IV|V?I{0,3}+)")
_VALUES: Final = {"I": 1, "V": 5, "X": 10, "L": 50, "C": 100}
_MOST: Final = 1_000_000

_TABLE: Final = """
artist-proof: ap aps ea eas ad künstlerexemplar künstlerexemplare künstlerabzug künstlerabzüge
printer-proof: pp pps druckerexemplar druckerabzug
hors-commerce: hc
trial-proof: tp probedruck zustandsdruck
bon-a-tirer: bat
artist-proof: artist's_proof artist's_proofs artist_proof artist_proofs épreuve_d
printer-proof: printer's_proof printer's_proofs printer_proof printer_proofs
hors-commerce: hors_commerce
trial-proof: trial_proof state_proof
bon-a-tirer: bon_à
"""
PROOFS: Final = {word: line.partition(":")[0] for line in _TABLE.split("\n") for word in line.partition(":")[2].split()}
COUNTED: Final = {"artist-proof": "artist_proofs", "printer-proof": "printer_proofs", "hors-commerce": "hors_commerce"}
_EDITION: Final = frozenset(
    (
        "ed",
        "edition",
        "editions",
        "auflage",
        "aufl",
        "numbered",
        "nummeriert",
        "num",
        "no",
        "nr",
        "number",
        "nummer",
        "limited",
        "limitiert",
    )
)
_OPEN: Final = frozenset(("open", "unlimited", "offene", "unlimitiert", "unlimitierte", "offen"))
_UNIQUE: Final = frozenset(("unique", "unikat", "einzelstück"))
_COPIES: Final = frozenset(("copies", "exemplare", "exemplaren", "impressions", "prints", "stück", "abzüge"))
_OF: Final = frozenset(("of", "von", "aus", "/"))
_UNNUMBERED: Final = frozenset(("unnumbered", "unnummeriert"))


class _Sign(NamedTuple):
    kind: str  # proof, number, roman, word, sign
    text: str
    value: Any
    start: int
    end: int


class EditionFound(NamedTuple):
    """What a text says of an edition."""

    edition: EditionRead | None
    found: tuple[Found, ...]
    unsure: tuple[Unsure, ...]


def _signs(text: str, strict: bool) -> list[_Sign]:
    made: list[_Sign] = []
    for match in _TOKEN.finditer(text):
        word, kind = match[0], match.lastgroup or ""
        plain = word.lower().replace("’", "'").translate({ord("."): None, ord(" "): None, ord("/"): None if kind == "proof" else "/"})
        if plain in PROOFS and (kind == "proof" or len(plain) > 3 or word[:2].isupper() or not strict):
            made.append(_Sign("proof", plain, PROOFS[plain], match.start(), match.end()))
        elif kind == "digits":
            made.append(_Sign("number", word, int(word) if len(word) <= 7 else _MOST + 1, match.start(), match.end()))
        elif kind == "word" and made and f"{made[-1].text}_{plain}" in PROOFS:
            made[-1] = _Sign("proof", plain, PROOFS[f"{made[-1].text}_{plain}"], made[-1].start, match.end())
        elif kind == "word" and len(word) <= 12 and _ROMAN.fullmatch(word):
            made.append(_Sign("roman", plain, _roman(word), match.start(), match.end()))
        else:
            made.append(_Sign("word" if kind in ("word", "proof") else "sign", plain, None, match.start(), match.end()))
    return made


def _roman(text: str) -> int:
    values = [_VALUES[letter] for letter in text]
    return sum(-one if one < following else one for one, following in zip(values, [*values[1:], 0], strict=True))


class _Reader:
    """One walk over the signs of a text; ``strict`` in a medium, where a number may be anything."""

    def __init__(self, text: str, source: Source, strict: bool) -> None:
        self.signs, self.source, self.strict = _signs(text, strict), source, strict
        self.said: dict[str, Found] = {}
        self.clash = False
        place = 0
        while place < len(self.signs):
            place = self._pair(place) or self._count(place) or self._word(place) or place + 1

    def _note(self, name: str, value: Any, first: _Sign, last: _Sign, rule: str) -> None:
        old = self.said.get(name)
        self.clash = self.clash or (old is not None and old.value != value)
        self.said[name] = Found(name, value, self.source, first.start, last.end, rule)

    def _at(self, place: int) -> _Sign:
        return self.signs[place] if 0 <= place < len(self.signs) else _Sign("", "", None, 0, 0)

    def _pair(self, place: int) -> int | None:
        """Read “12/50” or “12 of 50”, of the run or, beside the letters of a proof, of the proofs."""
        first, joint, second = (self._at(place + step) for step in range(3))
        if first.kind not in ("number", "roman") or second.kind != first.kind or joint.text not in _OF:
            return None
        before, after = self._at(place - 1), self._at(place + 3)
        if self.strict and before.kind != "proof" and before.text not in (*_EDITION, ".", ":") and after.kind not in ("", "proof"):
            return None
        if not 1 <= first.value <= second.value <= _MOST:
            self.clash = True
            return place + 3
        proof = before if before.kind == "proof" else after if after.kind == "proof" else None
        if proof is None:
            self._note("edition_number", first.value, first, first, "number-of")
            self._note("edition_size", second.value, second, second, "number-of")
            return place + 3
        self._proof(proof)
        self._note("proof_number", first.value, first, first, "number-of")
        if proof.value in COUNTED:
            self._note(COUNTED[proof.value], second.value, second, second, "number-of")
        return place + 3 + (proof is after)

    def _proof(self, sign: _Sign) -> None:
        self._note("proof_kind", sign.value, sign, sign, "proof-letters")
        self._note("edition_number", 0, sign, sign, "proof-unnumbered")

    def _count(self, place: int) -> int | None:
        """Read “edition of 50”, “50 copies”, “+ 5 AP”."""
        one, after = self._at(place), self._at(place + 1)
        if one.kind == "number" and after.kind == "proof" and after.value in COUNTED and one.value <= _MOST:
            self._note(COUNTED[after.value], one.value, one, one, "counted")
            return place + 2
        if one.kind == "number" and after.text in _COPIES and 1 <= one.value <= _MOST and not self.strict:
            self._note("edition_size", one.value, one, one, "counted")
            return place + 2
        if one.text in ("edition", "ed", "auflage", "aufl"):
            behind = place + 1
            while self._at(behind).text in ("of", "von", ".", ":", "size"):
                behind += 1
            size = self._at(behind)
            if size.kind == "number" and 1 <= size.value <= _MOST and self._at(behind + 1).text not in _OF:
                self._note("edition_size", size.value, size, size, "counted")
                return behind + 1
        return None

    def _word(self, place: int) -> int | None:
        one = self._at(place)
        if one.kind == "proof":
            if self._at(place + 2).text not in _OF:  # “AP 2/5” is read at its number
                self._proof(one)
            return place + 1
        if one.text in _UNIQUE:
            self._note("edition_size", 1, one, one, "called-unique")
        elif one.text in _OPEN and (not self.strict or self._at(place + 1).text in ("edition", "auflage")):
            self._note("edition_size", 0, one, one, "called-open")
        elif one.text in _UNNUMBERED:
            self._note("proof_kind", "unnumbered", one, one, "proof-letters")
        else:
            return None
        return place + 1


def read_edition(text: str, source: Source = "edition", *, strict: bool = False) -> EditionFound:
    """Read an edition. Never raises; what contradicts itself (“51/50”) or cannot be read is asked."""
    reader = _Reader(text, source, strict)
    said = reader.said
    names = ("edition_number", "edition_size")
    if reader.clash:
        return EditionFound(None, (), (Unsure(names, source, 0, len(text), "edition-clash"),))
    if not said:
        return EditionFound(None, (), () if strict else (Unsure(names, source, 0, len(text), "edition-open"),))
    got = {name: found.value for name, found in said.items()}
    proofs = got.get(COUNTED.get(got.get("proof_kind", ""), ""))
    edition = EditionRead(got.get("edition_number"), got.get("edition_size"), got.get("proof_kind"), got.get("proof_number"), proofs)
    waits = tuple(name for name in names if name not in got)
    if got.get("edition_size") in (0, 1) or "proof_kind" in got:
        waits = ()
    rule = "edition-number" if waits == ("edition_number",) else "edition-part"
    unsure = (Unsure(waits, source, 0, len(text), rule),) if waits and not strict else ()
    return EditionFound(edition, tuple(said.values()), unsure)
