"""Whether a venue that a key is made for is there: keys may come before their venue, but a mistyped name would never be of any use."""

import tomllib
from collections.abc import Iterator, Sequence

from hangworthy.engine.reading import nearest
from hangworthy.settings import Settings


def venues_in_files(settings: Settings) -> Iterator[str]:
    """Yield the venues' names in the files of the settings, or the built-in one's; nothing else in the files is looked at."""
    if not settings.venues:
        yield "default"
    for path in settings.venues:
        try:
            name = tomllib.loads(path.read_text("utf-8-sig")).get("name")
        except (OSError, ValueError):  # serve says what is wrong with it
            continue
        if isinstance(name, str):
            yield name


def unknown_venues(asked: Sequence[str], known: set[str]) -> Iterator[str]:
    """Yield a sentence for each venue that is not known yet."""
    for name in asked:
        if name not in known:
            hint = nearest(name, sorted(known))
            yield (
                f"There is no venue “{name[:80]}” yet, neither in the database nor in HANGWORTHY_VENUES; the key opens it once it is there."
                f"{hint and hint + ' Then revoke this key and make another.'}"
            )
