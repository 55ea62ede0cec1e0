"""What goes wrong, said for a judge or coach; this module imports nothing of ours."""

from __future__ import annotations

from judgekit.core.values import dataclass


class JudgekitError(Exception):
    """The base of every error that judgekit raises on purpose."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """One thing wrong in one file.

    `file` is the path as the user gave it, `line` starts at 1, `what` says what is
    wrong and `right` what would be right (empty only where `what` says it all).
    Advice never stops anything.
    """

    file: str
    line: int
    what: str
    right: str = ""
    advice: bool = False

    def __str__(self) -> str:
        tail = f"; {self.right}" if self.right else ""
        return f"{self.file}:{self.line}: {self.what}{tail}"


class InputError(JudgekitError):
    """Input that cannot be used; holds every problem found, never only the first."""

    def __init__(self, problems: tuple[Problem, ...] | list[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(str(problem) for problem in self.problems))


class BookError(JudgekitError):
    """A book that cannot be opened, read, trusted or written."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Refusal:
    """A press that changes nothing, and the words that say why."""

    says: str
