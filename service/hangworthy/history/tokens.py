"""The text of an API key, ``hw_<id>_<secret>``, and what is kept of it: the id in the open, the secret as a digest only.

The secret has 256 random bits, so a plain digest cannot be searched through; a slow one would only cost every request time.
"""

import hashlib
import hmac
import secrets

_START = "hw"


def new_key() -> tuple[str, str, bytes]:
    """Return a new key's id, its text to be shown once, and the hash of its secret."""
    id, secret = secrets.token_hex(6), secrets.token_urlsafe(32)
    return id, f"{_START}_{id}_{secret}", secret_hash(secret)


def parts(text: str) -> tuple[str, str] | None:
    """Return id and secret of a key's text, or None when it is no such text."""
    start, _, rest = text.partition("_")
    id, _, secret = rest.partition("_")
    return (id, secret) if start == _START and id and secret else None


def secret_hash(secret: str) -> bytes:
    """Return what is kept of a secret."""
    return hashlib.sha256(secret.encode("utf-8", "surrogateescape")).digest()


def matches(secret: str, kept: bytes) -> bool:
    """Return whether a secret is the one whose hash is kept, in a time that does not depend on where they differ."""
    return hmac.compare_digest(secret_hash(secret), kept)
