"""Answers for other programs: JSON Lines, CSV, JUnit XML and GitHub's annotations."""

import csv
import io
import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import UTC, datetime
from typing import Any, TextIO
from xml.sax.saxutils import escape, quoteattr

import msgspec

from hangworthy.cli.acting import safe_first
from hangworthy.cli.inputs import WHOLE, FileFault, Submission
from hangworthy.cli.words import words_in
from hangworthy.contract.effect import TO_ACT_ON
from hangworthy.contract.finding import Evaluation, Finding, WorkAnswer
from hangworthy.contract.languages import DEFAULT_LANGUAGE

Fails = Callable[[WorkAnswer], bool]
Result = tuple[Submission, Evaluation]
_NOT_XML = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")  # XML 1.0, 2.2
_STEERS_A_SHEET = ("=", "+", "-", "@", "\t", "\r")  # a spreadsheet would run what begins so


class One(msgspec.Struct, frozen=True):
    """One work's answer, with where it was found."""

    file: str
    line: int | None
    title: str
    answer: WorkAnswer
    evaluation: Evaluation

    @property
    def to_act_on(self) -> list[Finding]:
        """The findings that somebody has to act on, worst first."""
        found = [one for one in self.answer.findings if one.state in TO_ACT_ON and one.due is None]
        return sorted(found, key=lambda one: (-one.effect.rank, one.rule, one.by))

    def told(self, line: Callable[[Finding], str]) -> list[str]:
        """Return a line for each finding to act on, in the order of acting: hazards first, then what waits until the work is cleared."""
        now, later = safe_first(self.to_act_on, self.answer)
        waits = [f"{words_in(self.evaluation.language or DEFAULT_LANGUAGE)('waits')}:"] if now and later else []
        return [text for text in (*map(line, now), *waits, *map(line, later)) if text]

    @property
    def summary(self) -> str:
        """The outcome, and what it could become."""
        worst = self.answer.at_worst.value
        return self.answer.outcome.value + (f", at worst {worst}" if self.answer.at_worst is not self.answer.outcome else "")


def each_work(results: Iterable[Result]) -> Iterator[One]:
    """Yield every work of every evaluation."""
    for submission, evaluation in results:
        lines: Sequence[int | None] = submission.lines or (None,) * len(evaluation.works)
        for work, line, answer in zip(submission.request.works, lines, evaluation.works, strict=True):
            yield One(submission.file, line, work.title or "", answer, evaluation)


def write_jsonl(into: TextIO, results: Iterable[Result], fails: Fails) -> None:
    """Write one work to a line: where it stands, the stage and venue, and the whole answer."""
    for one in each_work(results):
        place = {"file": one.file, "line": one.line, "stage": one.evaluation.stage, "venue": one.evaluation.venue.name}
        into.write(msgspec.json.encode({**place, "fails": fails(one.answer), "work": one.answer}).decode() + "\n")


HEADER = (
    "file",
    "line",
    "ref",
    "title",
    "stage",
    "venue",
    "outcome",
    "at_worst",
    "settled",
    "fails",
    "rules",
    "found",
    "to_do",
    "to_answer",
)


def write_csv(into: TextIO, results: Iterable[Result], fails: Fails) -> None:
    """Write one work to a row. What a spreadsheet would run is made a text by an apostrophe before it."""
    writer = csv.writer(into, lineterminator="\r\n")  # RFC 4180
    writer.writerow(HEADER)
    for one in each_work(results):
        row = [
            one.file, one.line, one.answer.ref, one.title, one.evaluation.stage.value, one.evaluation.venue.name, one.answer.outcome.value,
            one.answer.at_worst.value, one.answer.settled, fails(one.answer), "; ".join(act.rule for act in one.to_act_on),
            " ".join(act.artist for act in one.to_act_on), " ".join(dict.fromkeys(one.told(lambda act: act.remedy))),
            "; ".join(question.fact for question in one.answer.questions),
        ]  # fmt: skip
        writer.writerow([_tame(cell) for cell in row])


def _tame(cell: Any) -> Any:
    if isinstance(cell, bool):
        return "true" if cell else "false"
    return "'" + cell if isinstance(cell, str) and cell.startswith(_STEERS_A_SHEET) else cell


def write_github(into: TextIO, results: Iterable[Result], fails: Fails) -> None:
    """Write an annotation for each work that has something to act on: an error if it fails, else a warning."""
    for one in each_work(results):
        if not one.to_act_on and not fails(one.answer):
            continue
        text = "\n".join([one.summary, *one.told(lambda act: f"{act.rule}: {act.artist} {act.remedy}".strip())])
        into.write(
            _annotation("error" if fails(one.answer) else "warning", one.file, one.line, f"{one.answer.ref} {one.title}".strip(), text)
        )


def github_faults(into: TextIO, faults: Iterable[FileFault]) -> None:
    """Write an annotation for each fault of an input."""
    for one in faults:
        into.write(_annotation("error", one.file, one.line, one.pointer or WHOLE, one.sentence))


def _annotation(kind: str, file: str, line: int | None, title: str, text: str) -> str:
    """Return a workflow command; data and properties are escaped as GitHub's own toolkit does it."""
    data = text.replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")
    named = {"file": file, "line": line, "title": title}
    shown = ",".join(f"{name}={_property(value)}" for name, value in named.items() if value is not None)
    return f"::{kind} {shown}::{data}\n"


def _property(value: object) -> str:
    text = str(value).replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")
    return text.replace(":", "%3A").replace(",", "%2C")


def write_junit(into: TextIO, results: Iterable[Result], fails: Fails, faults: Sequence[FileFault] = ()) -> None:
    """Write a suite for each file and a case for each work, in the form of Ant's JUnit task that system tools read."""
    suites: dict[str, list[tuple[str, str, str]]] = {}
    for one in each_work(results):
        suites.setdefault(one.file, []).append(_case(one, fails))
    for fault in faults:
        said = f"{fault.pointer or WHOLE}: {fault.sentence}"
        inside = f"<error type={_attribute('input')} message={_attribute(said)}>{_xml(said)}</error>"
        suites.setdefault(fault.file, []).append((fault.pointer or WHOLE, "errors", inside))
    stamp = datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%S")
    into.write('<?xml version="1.0" encoding="UTF-8"?>\n<testsuites>\n')
    for place, (file, cases) in enumerate(suites.items()):
        counted = {kind: sum(case[1] == kind for case in cases) for kind in ("failures", "errors")}
        numbers = "".join(f' {kind}="{count}"' for kind, count in counted.items())
        name = _attribute(file)
        into.write(f'  <testsuite id="{place}" package="hangworthy" name={name} timestamp="{stamp}" hostname="localhost"')
        into.write(f' tests="{len(cases)}"{numbers} time="0">\n    <properties/>\n')
        for ref, _, inside in cases:
            into.write(f'    <testcase classname={name} name={_attribute(ref)} time="0">{inside}</testcase>\n')
        into.write("    <system-out/>\n    <system-err/>\n  </testsuite>\n")
    into.write("</testsuites>\n")


def _case(one: One, fails: Fails) -> tuple[str, str, str]:
    if not fails(one.answer):
        return one.answer.ref, "", ""
    text = "\n".join(one.told(lambda act: f"{act.rule}: {act.coordinator} {act.remedy}".strip()))
    asked = "".join(f"\nStill to answer: {question.prompt} ({question.fact})" for question in one.answer.questions)
    kind = one.answer.outcome.value
    return one.answer.ref, "failures", f"<failure type={_attribute(kind)} message={_attribute(one.summary)}>{_xml(text + asked)}</failure>"


def _xml(text: str) -> str:
    return escape(_NOT_XML.sub("\N{REPLACEMENT CHARACTER}", text))


def _attribute(text: str) -> str:
    """Return a quoted attribute; a token has no line breaks or double spaces (XML Schema 1.0 part 2, 3.3.2)."""
    return quoteattr(" ".join(_NOT_XML.sub("\N{REPLACEMENT CHARACTER}", text).split()) or "-")


WRITERS: dict[str, Callable[[TextIO, Iterable[Result], Fails], None]] = {
    "jsonl": write_jsonl,
    "csv": write_csv,
    "junit": write_junit,
    "github": write_github,
}


def faults_written(form: str, faults: Sequence[FileFault]) -> str:
    """Return faults of the input as annotations (github) or as cases in error (junit)."""
    into = io.StringIO()
    if form == "github":
        github_faults(into, faults)
    else:
        write_junit(into, (), lambda work: False, faults)
    return into.getvalue()
