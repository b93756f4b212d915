"""Works taken out of stored bodies; what stays is kept to the byte where it does not speak of them."""

from collections.abc import Collection
from typing import Any

import msgspec

from hangworthy.history.canonical import digest

ERASED = "(erased)"
_SENTENCES = ("artist", "coordinator", "remedy")
_FIGURES = ("measured", "at_least", "at_most", "share", "standard_uncertainty", "probability")


class _Named(msgspec.Struct):
    ref: str = ""


def without(request: bytes, answer: bytes, refs: Collection[str]) -> tuple[bytes, bytes, tuple[str, ...]]:
    """Return request and answer without the works of these refs, and the digests of the works as they were asked about."""
    left, gone = _cut(request, refs)
    answered, _ = _cut(answer, refs)
    return left, _unnamed(answered, refs), tuple(digest(one).hex() for one in gone)


def _cut(body: bytes, refs: Collection[str]) -> tuple[bytes, list[bytes]]:
    """Return a body without some of its works, and those works. A body that is none of ours goes as a whole."""
    try:
        top = msgspec.json.decode(body, type=dict[str, msgspec.Raw])
        works = msgspec.json.decode(top.get("works", b"[]"), type=list[msgspec.Raw])
        named = [(bytes(work), msgspec.json.decode(work, type=_Named).ref) for work in works]
    except (msgspec.DecodeError, UnicodeDecodeError):
        return b"null", [body]
    stay = [work for work, ref in named if ref not in refs]
    gone = [work for work, ref in named if ref in refs]
    if not gone:
        return body, []
    parts = {name: bytes(raw) for name, raw in top.items()} | {"works": b"[" + b",".join(stay) + b"]"}
    return b"{" + b",".join(msgspec.json.encode(name) + b":" + part for name, part in parts.items()) + b"}", gone


def _unnamed(answer: bytes, refs: Collection[str]) -> bytes:
    """Return an answer whose remaining findings no longer tell anything of the erased works they were compared with."""
    if not any(msgspec.json.encode(ref)[1:-1] in answer for ref in refs):
        return answer
    content = msgspec.json.decode(answer)
    works = content.get("works", []) if isinstance(content, dict) else []
    findings = [finding for work in works if isinstance(work, dict) for finding in work.get("findings", ()) if isinstance(finding, dict)]
    changed = [_rid(finding, refs) for finding in findings]
    return msgspec.json.encode(content) if any(changed) else answer


def _rid(finding: dict[str, Any], refs: Collection[str]) -> bool:
    """Take what one finding tells of erased works out of it, if it compares works and names one; its rule, state and effect stay.

    Sentences go as a whole, and so does what was measured: beside a ref they may hold a price or a number of the erased work. How and in
    which language a work is named is the pack's; where a figure only looks like a ref, a sentence too many goes.
    """
    others = finding.get("others", ())
    told = [finding[name] for name in _SENTENCES if isinstance(finding.get(name), str)]
    named = any(ref in others or any(ref in sentence for sentence in told) for ref in refs)
    if not named or not (others or finding.get("compared")):
        return False
    if others:
        finding["others"] = [ref for ref in others if ref not in refs]
    finding.update(dict.fromkeys((name for name in _SENTENCES if finding.get(name)), ERASED))
    for name in _FIGURES:
        finding.pop(name, None)
    return True
