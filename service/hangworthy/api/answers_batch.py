"""The answers of a batch, one to a line."""

import msgspec

from hangworthy.api.problems import Problem
from hangworthy.contract.finding import Evaluation


class BatchProblem(msgspec.Struct, frozen=True):
    """A line that could not be answered: its number in the file, counted from 1, and why."""

    line: int
    problem: Problem


class BatchAnswer(msgspec.Struct, frozen=True):
    """A line that was answered: its number in the file, counted from 1, and its evaluation."""

    line: int
    evaluation: Evaluation
