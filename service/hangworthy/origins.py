"""Origins of pages, as browsers state them."""

from urllib.parse import urlsplit

_DEFAULT_PORTS = {"http": 80, "https": 443}


def origin(text: str) -> str:
    """Return an origin as browsers state it (RFC 6454, 6.2). Raises ValueError with what would be right."""
    try:
        parsed = urlsplit(text)
        port = parsed.port
        host = (parsed.hostname or "").encode("idna").decode()
    except ValueError:  # a port that is none, or a name that no host can have
        raise ValueError(f"“{text[:80]}” is no origin; write https://form.example") from None
    if parsed.scheme not in _DEFAULT_PORTS or not host or not all(sign.isalnum() or sign in ".-:_" for sign in host):
        raise ValueError(f"“{text[:80]}” is no origin; write it with http:// or https://, such as https://form.example")
    shown = f"[{host}]" if ":" in host else host
    made = f"{parsed.scheme}://{shown}" + ("" if port in (None, _DEFAULT_PORTS[parsed.scheme]) else f":{port}")
    if parsed.path not in ("", "/") or parsed.query or parsed.fragment or "@" in parsed.netloc:
        raise ValueError(f"an origin has no path and no name in it; write {made}")
    return made
