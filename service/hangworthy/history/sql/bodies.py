"""Works taken out of stored bodies; what stays is kept to the byte where it does not speak of them."""

import re
from collections.abc import Collection
from typing import Any

import msgspec

from hangworthy.history.canonical import digest

ERASED = "(erased)"


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
    """Return an answer whose remaining findings no longer name the erased works they were compared with."""
    if not any(msgspec.json.encode(ref)[1:-1] in answer for ref in refs):
        return answer
    content = msgspec.json.decode(answer)
    works = content.get("works", []) if isinstance(content, dict) else []
    findings = [finding for work in works if isinstance(work, dict) for finding in work.get("findings", ()) if isinstance(finding, dict)]
    changed = [_rid(finding, refs) for finding in findings]
    return msgspec.json.encode(content) if any(changed) else answer


def _rid(finding: dict[str, Any], refs: Collection[str]) -> bool:
    """Take the refs out of one finding: out of its list of others, and out of the sentences that name them."""
    before = dict(finding)
    if others := finding.get("others"):
        finding["others"] = [ref for ref in others if ref not in refs]
    for name in ("artist", "coordinator", "remedy"):
        for ref in refs:
            if isinstance(finding.get(name), str) and ((others and ref in others) or f"“{ref}”" in finding[name]):
                finding[name] = re.sub(rf"(?<![\w-]){re.escape(ref)}(?![\w-])", ERASED, finding[name])
    return finding != before
