"""What is asked of the program, and the inputs of it that are read at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

from modelcheck.model.report import OtherInput
from modelcheck.model.settings import Options, Settings
from modelcheck.read.pulls import Schedule, read_pulls
from modelcheck.read.settings import read_settings
from modelcheck.rules.catalogue import RuleBook, rulebook
from modelcheck.write.output_dir import digest


@dataclass(frozen=True, slots=True, kw_only=True)
class Request:
    """What is to be checked, and how."""

    models: Sequence[Path]
    options: Options = field(default_factory=Options)
    pulls: Path | None = None
    settings: Path | None = None
    size_all_boxes: bool = False  # propose sizes for boxes that pass too

    @property
    def inputs(self) -> tuple[Path, ...]:
        """Every file that is read."""
        return tuple(path for path in (*self.models, self.pulls, self.settings) if path)


@dataclass(frozen=True, slots=True, kw_only=True)
class Terms:
    """Inputs other than models: read first, as they are read quickly."""

    settings: Settings
    rulebook: RuleBook
    schedule: Schedule | None
    pulls: OtherInput | None = None
    settings_file: OtherInput | None = None

    @classmethod
    def of(cls, request: Request) -> Terms:
        """Read them.

        Raises
        ------
        ModelcheckError
            If one can't be used.
        """
        settings = read_settings(request.settings, request.options)
        return cls(
            settings=settings,
            rulebook=rulebook(settings),
            schedule=read_pulls(request.pulls) if request.pulls else None,
            pulls=_other_input(request.pulls),
            settings_file=_other_input(request.settings),
        )


def _other_input(path: Path | None) -> OtherInput | None:
    """Say which file was read; None if there is none."""
    return None if path is None else OtherInput(path=str(path.absolute()), sha256=digest(path))
