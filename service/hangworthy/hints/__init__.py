"""The script that puts hints into a form that is there already, as it is served."""

import re
from importlib.resources import files

_NEEDLESS = re.compile(r"(?<=[{;,])\n")


def hints_script() -> bytes:
    """Return the script: plain JavaScript in UTF-8, under 10 KiB, without the indents, breaks and comments that only its authors need."""
    first, *rest = (files(__package__) / "hints.js").read_text("utf-8").splitlines()
    lines = (f" {line.strip()}".partition(" // ")[0].strip() for line in rest)
    content = "\n".join(line for line in lines if line).replace(" => ", "=>").replace(") {", "){")
    return f"{first}\n{_NEEDLESS.sub('', content)}\n".encode()
