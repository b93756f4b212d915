"""Wording: every sentence of every case rendered, for a person to read and for the kit to check."""

import re
from collections.abc import Iterator
from typing import NamedTuple

from hangworthy.contract import Finding, RulePack, State
from hangworthy.testing.cases import Case, cases_of
from hangworthy.testing.runner import findings_of

MOST_WORDS = 24
# A full stop inside "2.5 mm" ends nothing: a sentence ends where a space follows, or the text stops.
_END = re.compile(r"(?<=[.!?])[”\"’)]?\s+")
_ARTIST_READS = frozenset(("artist", "remedy", "caution"))


class Sentence(NamedTuple):
    """One text as it is shown: of which rule, in which state, to whom (artist, remedy, caution or coordinator)."""

    code: str
    state: State
    audience: str
    sentence: str


def sentences_of(finding: Finding) -> Iterator[Sentence]:
    """Yield the texts of a finding."""
    texts = [("artist", finding.artist), ("remedy", finding.remedy), ("coordinator", finding.coordinator)]
    texts += [("caution", caution) for caution in finding.cautions]
    for audience, text in texts:
        if text or audience in ("artist", "coordinator"):
            yield Sentence(finding.rule, finding.state, audience, text)


def render_sentences(pack: RulePack, cases: list[Case] | None = None) -> list[Sentence]:
    """Return every text that the pack's cases bring about, each once, sorted: for reading aloud."""
    found = {
        sentence
        for case in (cases_of(pack) if cases is None else cases)
        for finding in findings_of(pack, case)
        for sentence in sentences_of(finding)
    }
    return sorted(found)


def split(text: str) -> list[str]:
    """Return the sentences of a text, split where . ! or ? ends one."""
    return [part for part in _END.split(text.strip()) if part]


def faults_of(sentence: Sentence) -> list[str]:
    """Return what is wrong with a text: empty, a brace left over, no end, or a sentence that is too long to be read in passing."""
    where, text = f"{sentence.code} ({sentence.state}, {sentence.audience})", sentence.sentence
    if not text.strip():
        return [f"{where}: the sentence is empty"]
    wrong = [f"{where}: a brace is left over in “{text}”"] if "{" in text or "}" in text else []
    if sentence.audience not in _ARTIST_READS:
        return wrong
    if not text.rstrip('”"’)').endswith((".", "!", "?")):
        wrong.append(f"{where}: “{text}” does not end as a sentence")
    for part in split(text):
        if (count := len(part.split())) > MOST_WORDS:
            wrong.append(f"{where}: {count} words, at most {MOST_WORDS}: “{part}”")
    return wrong
