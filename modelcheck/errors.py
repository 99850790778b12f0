"""The errors a user can cause: each text is one sentence that says what, where and what helps.

::

    ModelcheckError
        InputFileError        a model, schedule, settings or box file; carries path and line
            AmbiguousReferenceError  a name that fits nothing or several; carries candidates
        OutputError           the folder for the results
        RuleInputError        a rule asked with something it can't work on
        TableError            a row of a table that ships with the program
        WorkerError           a process that shared the work ended before it was done
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path


class ModelcheckError(Exception):
    """Anything that ends the program with one plain sentence and exit status 2."""


class InputFileError(ModelcheckError):
    """A file that can't be used as it is."""

    def __init__(self, message: str, *, path: Path | str, line: int | None = None) -> None:
        self.path = str(path)
        self.line = line
        where = self.path if line is None else f"{self.path}:{line}"
        super().__init__(f"{where}: {message}")


class AmbiguousReferenceError(InputFileError):
    """A reference that matches nothing, or more than one thing."""

    def __init__(
        self, message: str, *, path: Path | str, line: int, candidates: Sequence[str]
    ) -> None:
        self.candidates = tuple(candidates)
        super().__init__(message, path=path, line=line)


class OutputError(ModelcheckError):
    """The results can't be written where they were asked for."""


class RuleInputError(ModelcheckError):
    """A rule was asked with something it can't work on."""


class TableError(ModelcheckError):
    """A table that ships with the program has a row that can't be read."""


class WorkerError(ModelcheckError):
    """A process that shared the work ended before it was done."""
