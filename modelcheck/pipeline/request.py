"""What is asked of the program, and the inputs of it that are read at once."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass, field
from datetime import date, datetime
from hashlib import sha256
from pathlib import Path

from modelcheck import __version__
from modelcheck.model.change import Results
from modelcheck.model.report import OtherInput
from modelcheck.model.settings import Options, Settings
from modelcheck.model.wanted import EVERY_TIME, Wanted
from modelcheck.read.pulls import Schedule, read_pulls
from modelcheck.read.results_folder import read_results
from modelcheck.read.settings import read_settings
from modelcheck.rules.catalogue import RuleBook, rulebook
from modelcheck.write.output_dir import SUMMARY, digest

Progress = Callable[[str], None]  # told what is being done

_APART = (
    "models",
    "pulls",
    "settings",
    "since",
    "on",
    "workers",
)  # inputs, and what changes no result


@dataclass(frozen=True, slots=True, kw_only=True)
class Request:
    """What is to be checked, and how."""

    models: Sequence[Path]
    options: Options = field(default_factory=Options)
    pulls: Path | None = None
    settings: Path | None = None
    size_all_boxes: bool = False  # propose sizes for boxes that pass too
    wanted: Wanted = EVERY_TIME
    since: Path | None = None  # folder of earlier results
    on: date | None = None  # on which acceptances are asked to hold; None: today
    workers: int = 1  # processes that share the work

    @property
    def day(self) -> date:
        """Day on which acceptances are asked to hold: the only thing that hangs on today."""
        return self.on or datetime.now().astimezone().date()

    @property
    def inputs(self) -> tuple[Path, ...]:
        """Every file that is read."""
        since = self.since / SUMMARY if self.since else None  # has the hashes of the others
        return tuple(path for path in (*self.models, self.pulls, self.settings, since) if path)

    def key(self, digests: Sequence[str]) -> str:
        """Hash of all that the results hang on: names and content of inputs, options, version.

        Parameters
        ----------
        digests : sequence of str
            SHA-256 of each of `inputs`.
        """
        inputs = [[path.name, each] for path, each in zip(self.inputs, digests, strict=True)]
        options = {name: value for name, value in asdict(self).items() if name not in _APART}
        may_end = self.settings is not None and b"accepted" in self.settings.read_bytes()
        asked = [__version__, inputs, self.pulls is not None, options, may_end and self.day]
        return sha256(json.dumps(asked, sort_keys=True, default=str).encode()).hexdigest()


@dataclass(frozen=True, slots=True, kw_only=True)
class Terms:
    """Inputs other than models: read first, as they are read quickly."""

    settings: Settings
    rulebook: RuleBook
    schedule: Schedule | None
    pulls: OtherInput | None = None
    settings_file: OtherInput | None = None
    earlier: Results | None = None
    since: OtherInput | None = None  # summary of the earlier results

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
            earlier=read_results(request.since) if request.since else None,
            since=_other_input(request.since / SUMMARY if request.since else None),
        )


def _other_input(path: Path | None) -> OtherInput | None:
    """Say which file was read; None if there is none."""
    return None if path is None else OtherInput(path=str(path.absolute()), sha256=digest(path))
