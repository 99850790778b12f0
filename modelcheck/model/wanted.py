"""Which results of a check are written, and how."""

from __future__ import annotations

from dataclasses import dataclass

BCF_VERSIONS = ("2.1", "3.0")


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What can be chosen of the results."""

    bcf: str = "2.1"  # one of BCF_VERSIONS
    bcf_undecided: bool = False  # topics of what needs input too
    pdf: bool = False  # report.pdf


EVERY_TIME = Wanted()  # what is written if nothing is chosen
