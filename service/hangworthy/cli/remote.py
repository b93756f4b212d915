"""Asking a service instead of the packs on this computer: lines out, lines in, both at once, over one connection."""

import http.client
import json
import threading
import time
from collections.abc import Generator, Iterator, Sequence
from contextlib import ExitStack, closing, suppress
from typing import Any
from urllib.parse import urlencode, urlsplit

import msgspec

from hangworthy.cli.commands import CommandError
from hangworthy.cli.inputs import InputError, Submission
from hangworthy.contract.effect import Stage
from hangworthy.contract.finding import Evaluation
from hangworthy.intake import InputFault

SILENCE = 90.0  # seconds without a byte after which a service counts as gone
TRIES = 5  # when it says that it is asked too often
LONGEST_WAIT = 60
PATH = "/evaluations/batch"


class _Problem(msgspec.Struct):
    title: str = "The line could not be answered"
    detail: str = ""
    status: int = 0
    errors: list[InputFault] = []


class _Answer(msgspec.Struct):
    line: int
    evaluation: Evaluation | None = None
    problem: _Problem | None = None


class Remote:
    """A service at an address, with the key to it."""

    def __init__(self, address: str, key: str) -> None:
        """Take the address, such as https://works.example:8470. Raises CommandError for one that is none."""
        parts = urlsplit(address if "://" in address else f"http://{address}")
        if parts.scheme not in ("http", "https") or not parts.hostname:
            raise CommandError(f"--server {address}: give an address such as http://127.0.0.1:8470.")
        try:
            self.port = parts.port
        except ValueError:
            raise CommandError(f"--server {address}: the port must be a number up to 65535.") from None
        if not (key.isascii() and key.isprintable()):
            raise CommandError("--key: a key is a word that begins with hw_, without spaces and accents.")
        self.host, self.secure, self.path, self.key = parts.hostname, parts.scheme == "https", parts.path.rstrip("/"), key
        self.shown = f"{parts.scheme}://{parts.netloc.rpartition('@')[2]}"

    def evaluate_all(
        self, submissions: Sequence[Submission], stage: Stage | None, venue: str | None, language: str | None, *, record: bool
    ) -> Iterator[Evaluation]:
        """Yield the evaluations in order, as they come. Raises InputError for what the service refuses, CommandError if it is away."""
        faults: list[Any] = []
        with closing(self._answers([_line(one, stage, venue, language) for one in submissions], record)) as answers:
            for one, answer in zip(submissions, answers, strict=False):
                if answer.problem is not None:
                    if not answer.problem.errors and answer.problem.status not in (400, 413, 422):
                        raise CommandError(f"{self.shown}: {answer.problem.title}. {answer.problem.detail}")
                    faults += one.located(answer.problem.errors or [InputFault("", answer.problem.detail)])
                elif answer.evaluation is not None and not faults:
                    yield answer.evaluation
        if faults:
            raise InputError(faults)

    def _answers(self, lines: Sequence[bytes], record: bool) -> Generator[_Answer, None, None]:
        count, decode = 0, msgspec.json.Decoder(_Answer).decode
        try:
            with ExitStack() as open_things:
                response = self._asked(lines, record, open_things)
                while line := response.readline():
                    answer = decode(line)
                    if answer.line != count + 1:
                        raise CommandError(f"{self.shown}: the answers are not in order; is there something else at this address?")
                    count += 1
                    yield answer
        except (OSError, http.client.HTTPException) as error:
            raise CommandError(f"{self.shown}: {_why(error)}; {count} of {len(lines)} were answered.") from None
        except msgspec.MsgspecError:
            raise CommandError(f"{self.shown}: the answer is not one of hangworthy; is there something else at this address?") from None
        if count < len(lines):
            raise CommandError(f"{self.shown}: the answer ended early; {count} of {len(lines)} were answered. Try again.")

    def _asked(self, lines: Sequence[bytes], record: bool, open_things: ExitStack) -> http.client.HTTPResponse:
        """Send the lines on a thread of its own and return the answer as soon as it begins. Waits when it is asked too often."""
        for tries in range(1, TRIES + 1):
            made = http.client.HTTPSConnection if self.secure else http.client.HTTPConnection
            connection = made(self.host, self.port, timeout=SILENCE)
            connection.putrequest("POST", f"{self.path}{PATH}?{urlencode({'record': 'true' if record else 'false'})}")
            connection.putheader("Content-Type", "application/jsonl")
            connection.putheader("Transfer-Encoding", "chunked")
            if self.key:
                connection.putheader("Authorization", f"Bearer {self.key}")
            open_things.callback(connection.close)
            connection.endheaders()
            connection.auto_open = 0  # what is still to be sent after the answer ended must not open another connection
            sender = threading.Thread(target=_send, args=(connection, lines), daemon=True)
            sender.start()
            response = open_things.enter_context(connection.getresponse())
            if response.status == 200:
                return response
            problem = _problem_of(response)
            connection.close()
            wait = response.headers.get("Retry-After", "")
            if response.status in (429, 503) and tries < TRIES and wait.isdigit():
                time.sleep(min(int(wait), LONGEST_WAIT))
                continue
            raise CommandError(f"{self.shown}: {problem}")
        raise AssertionError("the last try returns or raises")


def _line(one: Submission, stage: Stage | None, venue: str | None, language: str | None) -> bytes:
    request = one.request
    changes = {name: value for name, value in (("stage", stage), ("venue", venue), ("language", language)) if value is not None}
    return msgspec.json.encode(msgspec.structs.replace(request, **changes) if changes else request) + b"\n"


def _send(connection: http.client.HTTPConnection, lines: Sequence[bytes]) -> None:
    with suppress(OSError, http.client.NotConnected):  # whoever reads the answer learns of it there
        for line in lines:
            connection.send(b"%x\r\n%s\r\n" % (len(line), line))
        connection.send(b"0\r\n\r\n")


def _problem_of(response: http.client.HTTPResponse) -> str:
    """Return what a service says of a request that it does not answer."""
    try:
        told = json.loads(response.read(100_000))
        said = f"{told['title']}. {told['detail']}"
    except (ValueError, KeyError, TypeError, OSError, http.client.HTTPException):
        return f"it answered with {response.status} and not as hangworthy does; is there something else at this address?"
    hint = {401: " Give the key with --key or HANGWORTHY_KEY.", 404: " Is the service older than this command?"}
    return said + hint.get(response.status, "")


def _why(error: Exception) -> str:
    if isinstance(error, TimeoutError):
        return f"nothing came for {SILENCE:.0f} seconds"
    if isinstance(error, ConnectionRefusedError):
        return "nobody answers at this address; is the service running"
    return f"the connection failed ({getattr(error, 'strerror', None) or type(error).__name__})".lower()
