"""Languages: which there are, and where the texts of one are kept.

English is what facts, rules and limits are written in. A file ``texts.<language>.toml`` beside them holds the same sentences in another
language; what it leaves out stays English, sentence by sentence.
"""

from collections.abc import Mapping
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:  # importing it would cost every pack and script 14 ms
    from importlib.resources.abc import Traversable

DEFAULT_LANGUAGE = "en"
LANGUAGES = (DEFAULT_LANGUAGE, "de")
LanguageCode = Literal["en", "de"]


def file_of(language: str) -> str:
    """Return the name of the file that holds a language's texts."""
    return f"texts.{language}.toml"


def written_in(texts: "Traversable | Mapping[str, str]", language: str) -> str:
    """Return what is written in a language: of the file in a folder, or by language for a pack in one file; nothing where there is none."""
    if isinstance(texts, Mapping):
        return texts.get(language, "")
    file = texts / file_of(language)
    return file.read_text("utf-8") if file.is_file() else ""


def own_texts(package: str, language: str) -> str:
    """Return the texts that one of the host's own packages keeps beside what they translate; the package itself is not imported.

    Raises FileNotFoundError for a language that it does not speak.
    """
    from importlib.util import find_spec

    spec = find_spec(package)
    if spec is None or spec.origin is None:
        raise FileNotFoundError(f"there is no package {package}")
    content: bytes = spec.loader.get_data(spec.origin.removesuffix("__init__.py") + file_of(language))  # type: ignore[union-attr]
    return content.decode("utf-8")
