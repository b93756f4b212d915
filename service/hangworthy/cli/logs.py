"""The service's log: one JSON object a line on standard error, with request ids and without a work's facts."""

import logging
from typing import TextIO

import msgspec

_ACCESS = "hangworthy.access"


class JsonLines(logging.Formatter):
    """Writes a record as one line of JSON. An access line is JSON already; a trace is left out, since its text may hold facts."""

    default_msec_format = None

    def format(self, record: logging.LogRecord) -> str:
        """Return the line of a record."""
        if record.name == _ACCESS:
            return record.getMessage()
        moment = self.formatTime(record, "%Y-%m-%dT%H:%M:%S%z")
        line = {"time": moment, "level": record.levelname.lower(), "logger": record.name, "message": record.getMessage()}
        return msgspec.json.encode(line).decode()


def log_to(stream: TextIO, level: str) -> None:
    """Send the service's and the server's log lines to a stream, from this level up."""
    handler = logging.StreamHandler(stream)
    handler.setFormatter(JsonLines())
    for name in ("hangworthy", "uvicorn"):
        logger = logging.getLogger(name)
        logger.handlers, logger.propagate = [handler], False
        logger.setLevel(level.upper() if name == "hangworthy" else "WARNING")
