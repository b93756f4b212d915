"""hangworthy check: works from anywhere, asked here or of a service, answered in whatever form is wanted."""

import argparse
import json
import sys
import tomllib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path

import msgspec

from hangworthy.cli.commands import BAD, NOT_FIT, OK, CommandError, catalogue_of, complain, console_of
from hangworthy.cli.inputs import FileFault, InputError, Reading, Submission, read_all
from hangworthy.contract.effect import Outcome, Stage
from hangworthy.contract.finding import Evaluation, WorkAnswer
from hangworthy.contract.languages import DEFAULT_LANGUAGE
from hangworthy.engine.languages import choices_of, titles_of, with_languages
from hangworthy.settings import Settings

MANY = 25  # submissions from which on a terminal is shown how far it is


def check(arguments: argparse.Namespace, settings: Settings) -> int:
    """Evaluate works from files, folders or standard input; here, or at a service."""
    catalogue = catalogue_of(settings)
    if arguments.lang not in (None, DEFAULT_LANGUAGE):
        catalogue = with_languages(catalogue, tolerate=settings.on_fault == "report")
    how = Reading(
        settings.max_body_bytes, arguments.input, _renamed(arguments.map), arguments.sheet, complain, lambda: titles_of(catalogue),
        lambda: choices_of(catalogue),
    )  # fmt: skip
    try:
        submissions = read_all(arguments.files, catalogue.schema, sys.stdin.buffer, how)
        stage = Stage(arguments.stage) if arguments.stage else None
        address = arguments.server or settings.server
        if address:
            from hangworthy.cli.remote import Remote

            remote = Remote(address, arguments.key or settings.key)
            evaluations = remote.evaluate_all(submissions, stage, arguments.venue, arguments.lang, record=arguments.record)
        else:
            from hangworthy.cli.submissions import Checker

            evaluations = Checker(catalogue, settings, arguments.venue).evaluate_all(submissions, stage, arguments.lang)
        return _shown(arguments, submissions, evaluations)
    except InputError as bad:
        _complain_of(bad.faults, arguments.format)
        return BAD


def _shown(arguments: argparse.Namespace, submissions: Sequence[Submission], evaluations: Iterable[Evaluation]) -> int:
    """Write every evaluation as it comes; return whether all works are fit."""
    fit = True

    def results() -> Iterator[tuple[Submission, Evaluation]]:
        nonlocal fit
        for pair in zip(submissions, _watched(evaluations, len(submissions)), strict=True):
            fit = fit and not fails(pair[1], arguments.fail_on)
            yield pair

    if arguments.format == "text":
        from hangworthy.cli.report import show_evaluation

        screen = console_of(arguments)
        for submission, one in results():
            heading = submission.file if len(submissions) > 1 else ""
            show_evaluation(screen, one, [work.title for work in submission.request.works], heading)
    elif arguments.format == "json":  # what the other forms need takes longer to import than to check a file
        for _, one in results():
            sys.stdout.write(msgspec.json.encode(one).decode() + "\n")
    else:
        from hangworthy.cli.outputs import WRITERS

        WRITERS[arguments.format](sys.stdout, results(), lambda work: fails(work, arguments.fail_on))
    return OK if fit else NOT_FIT


def _watched(evaluations: Iterable[Evaluation], count: int) -> Iterable[Evaluation]:
    """Return the same, with a bar on the terminal that says how far it is; none for few, and none where nobody looks."""
    if count < MANY or not sys.stderr.isatty() or sys.stdout.isatty():
        return evaluations
    return _with_bar(evaluations, count)


def _with_bar(evaluations: Iterable[Evaluation], count: int) -> Iterator[Evaluation]:
    from rich.console import Console
    from rich.progress import Progress

    # Redirected, what is written to standard output would go where the bar is, and not into the file.
    with Progress(console=Console(stderr=True), transient=True, redirect_stdout=False, redirect_stderr=False) as bar:
        yield from bar.track(evaluations, total=count, description="Checking")


def fails(answer: Evaluation | WorkAnswer, fail_on: str) -> bool:
    """Return whether an answer is not good enough; ``unsettled`` also wants every question answered."""
    if fail_on == "unsettled":
        return not answer.settled or answer.outcome.rank >= Outcome.REPAIR.rank
    return answer.outcome.rank >= Outcome(fail_on).rank


def _complain_of(faults: Sequence[FileFault], form: str) -> None:
    if form in ("junit", "github"):
        from hangworthy.cli.outputs import faults_written

        sys.stdout.write(faults_written(form, faults))
    complain("\n".join(map(str, faults)))


def _renamed(given: Sequence[str]) -> Mapping[str, str]:
    """Return the names of columns and their facts: from NAME=FACT, or from a JSON or TOML file of such pairs. Raises CommandError."""
    made: dict[str, str] = {}
    for one in given:
        name, is_pair, fact = one.rpartition("=")
        made |= {name: fact.strip()} if is_pair else _map_file(one)
    return made


def _map_file(file: str) -> dict[str, str]:
    try:
        text = Path(file).read_text(encoding="utf-8-sig")
        found = tomllib.loads(text) if file.lower().endswith(".toml") else json.loads(text)
    except (OSError, ValueError) as error:
        raise CommandError(f"--map {file}: this is neither NAME=FACT nor a JSON or TOML file of such pairs ({error}).") from None
    if not isinstance(found, dict) or not all(isinstance(fact, str) for fact in found.values()):
        raise CommandError(f"--map {file}: write one column's name and its fact as texts for each pair.")
    return found
