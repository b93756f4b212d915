"""Canonical bytes, digests, and how bodies are packed: compressed, with a dictionary where one is known.

A packed body says by its first byte how to unpack it, so that old rows stay readable whatever is chosen for new ones.
"""

import hashlib
import threading
from collections.abc import Mapping
from typing import Any

import msgspec
import zstandard

_PLAIN, _WITH_DICTIONARY = 1, 2
_LEVEL = 2  # with a sample of answers beside it, the fastest on answers of this service, and a third smaller than level 1
MOST_DICTIONARY = 1 << 19

_encode = msgspec.json.Encoder(order="sorted").encode


def canonical(content: Any) -> bytes:
    """Return the one spelling of some content as JSON: keys sorted, no spaces."""
    return _encode(content)


def digest(content: bytes) -> bytes:
    """Return the SHA-256 of some bytes."""
    return hashlib.sha256(content).digest()


class Codec:
    """Packs and unpacks pairs of bodies. ``dictionaries`` are all that old rows may need, by number; ``current`` is used for new ones."""

    def __init__(self, dictionaries: Mapping[int, bytes] | None = None, current: int | None = None) -> None:
        """Prepare the compressors. Raises KeyError when ``current`` is none of the dictionaries."""
        self._dictionaries = {number: _dictionary(content) for number, content in (dictionaries or {}).items()}
        self._one_at_a_time = threading.Lock()  # a compressor works on one text at a time
        self._packer = zstandard.ZstdCompressor(level=_LEVEL)
        self._prefix = bytes([_PLAIN])
        if current is not None:
            known = self._dictionaries[current]
            known.precompute_compress(level=_LEVEL)
            self._packer = zstandard.ZstdCompressor(dict_data=known)
            self._prefix = bytes([_WITH_DICTIONARY]) + current.to_bytes(4, "big")

    def pack(self, request: bytes, answer: bytes) -> bytes:
        """Return both bodies as one compressed text: an answer repeats much of what was asked."""
        with self._one_at_a_time:
            return self._prefix + self._packer.compress(len(request).to_bytes(4, "big") + request + answer)

    def unpack(self, packed: bytes) -> tuple[bytes, bytes]:
        """Return request and answer. Raises ValueError when the bytes are no packed body."""
        try:
            content = self._unpacked(packed)
        except (zstandard.ZstdError, KeyError, IndexError) as error:
            raise ValueError(f"a stored body cannot be unpacked: {error}") from None
        end = 4 + int.from_bytes(content[:4], "big")
        return content[4:end], content[end:]

    def _unpacked(self, packed: bytes) -> bytes:
        if packed[0] == _PLAIN:
            return zstandard.ZstdDecompressor().decompress(packed[1:])
        if packed[0] != _WITH_DICTIONARY:
            raise ValueError(f"a stored body was packed in the way {packed[0]}, which this version does not know")
        known = self._dictionaries[int.from_bytes(packed[1:5], "big")]
        return zstandard.ZstdDecompressor(dict_data=known).decompress(packed[5:])


def _dictionary(content: bytes) -> zstandard.ZstdCompressionDict:
    return zstandard.ZstdCompressionDict(content[-MOST_DICTIONARY:], dict_type=zstandard.DICT_TYPE_RAWCONTENT)
