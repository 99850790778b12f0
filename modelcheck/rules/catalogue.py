"""The rules of one edition of one code, local amendments applied."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

from modelcheck.errors import RuleInputError
from modelcheck.model.settings import Amendment, Settings
from modelcheck.rules.bends import BendLimit, BendRadius, bend_limits, bend_radii
from modelcheck.rules.box_fill import FillRules, fill_allowances, fill_counts, listed_boxes
from modelcheck.rules.conduit_fill import FillPercent, fill_percents
from modelcheck.rules.limits import CheckClause, Limit, check_clauses, editions, limits
from modelcheck.rules.pull_box import (
    BendingSpace,
    PullBoxFactor,
    SizeThreshold,
    bending_spaces,
    pull_box_factors,
    size_thresholds,
)
from modelcheck.rules.tables import CodedT, KeyT, in_force

AMENDABLE = (
    "straight-pull-length",
    "angle-pull-distance",
    "entry-spacing",
    "cover-depth",
    "bends-between-pull-points",
    "conduit-fill",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """What a code calls the same things."""

    clause: str  # Rule or Section
    pull_point: str
    bonding: str


WORDS = {
    "cec": Words(clause="Rule", pull_point="draw-in point", bonding="bonding"),
    "nec": Words(clause="Section", pull_point="pull point", bonding="grounding"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleBook:
    """Every table row that one edition of one code has."""

    code: str
    edition: str
    words: Words
    factors: Mapping[tuple[str, str], PullBoxFactor]  # by check and enclosure
    threshold: SizeThreshold
    bending_spaces: tuple[BendingSpace, ...]
    bend_limits: Mapping[str, BendLimit]  # by raceway type
    bend_radii: Mapping[tuple[str, str], BendRadius]  # by bender and trade size
    box_fill: FillRules
    fill_percents: tuple[FillPercent, ...]
    limits: Mapping[str, Limit]
    clauses: Mapping[str, CheckClause]
    amendments: tuple[Amendment, ...]

    def factor(self, check: str, *, wireway: bool = False) -> PullBoxFactor | None:
        """Multiplier of `check`, or None where this code has none."""
        return self.factors.get((check, "wireway" if wireway else "box"))

    def bend_limit(self, raceway_types: tuple[str, ...]) -> BendLimit:
        """Limit for a run of one of these types, or the general one for several or none."""
        kinds = set(raceway_types)
        return self.bend_limits.get(kinds.pop() if len(kinds) == 1 else "", self.bend_limits[""])

    def named(self, clause: str) -> str:
        """`clause` as this code's reader says it: ``Rule 12-3036 2)b)``."""
        return f"{self.words.clause} {clause}" if clause[:1].isdigit() else clause

    def amendment_notes(self, check: str) -> tuple[str, ...]:
        """What the local amendments of `check` change, for its findings."""
        return tuple(
            f"local amendment {amendment.clause}: {amendment.value:g} in place of"
            f" {code_value:g}, adopted by {amendment.adopted_by} ({amendment.source})"
            + (", laxer than the code" if _is_laxer(amendment, code_value) else "")
            for amendment in self.amendments
            if amendment.check == check
            for code_value in [_code_value(amendment, self.edition)]
        )


def rulebook(settings: Settings) -> RuleBook:
    """Rules of the edition that `settings` choose.

    Raises
    ------
    RuleInputError
        If there is no such code or edition, or an amendment is to something that can't be amended.
    """
    book = code_rulebook(settings.code, settings.edition)
    for amendment in settings.amendments:
        if amendment.check not in AMENDABLE:
            raise RuleInputError(
                f"the amendment {amendment.clause} is to {amendment.check!r}; only"
                f" {', '.join(AMENDABLE)} can be amended"
            )
    own = tuple(row for row in settings.amendments if row.code == settings.code)
    for amendment in own:
        book = _amended(book, amendment)
    return replace(book, amendments=own)


def code_rulebook(code: str, edition: str) -> RuleBook:
    """Rules of this edition without amendments.

    Raises
    ------
    RuleInputError
        If there is no such code or edition.
    """
    allowed = [row.edition for row in editions() if row.code == code]
    if not allowed:
        raise RuleInputError(f"there is no code {code!r}; it must be one of {', '.join(WORDS)}")
    if edition not in allowed:
        raise RuleInputError(
            f"there is no edition {edition!r} of {code}; it must be one of {', '.join(allowed)}"
        )
    held = _Held(code, edition)
    return RuleBook(
        code=code,
        edition=edition,
        words=WORDS[code],
        factors=held(pull_box_factors(), lambda row: (row.check, row.enclosure)),
        threshold=held(size_thresholds(), lambda row: row.code)[code],
        bending_spaces=tuple(held(bending_spaces(), lambda row: row.size_from).values()),
        bend_limits=held(bend_limits(), lambda row: row.raceway_type),
        bend_radii=held(bend_radii(), lambda row: (row.bender, row.trade_size_in)),
        box_fill=_fill_rules(held),
        fill_percents=tuple(
            held(fill_percents(), lambda row: (row.place, row.conductors_from)).values()
        ),
        limits=held(limits(), lambda row: row.name),
        clauses=held(check_clauses(), lambda row: row.check),
        amendments=(),
    )


@dataclass(frozen=True, slots=True)
class _Held:
    """Picks the rows that one edition has."""

    code: str
    edition: str

    def __call__(self, rows: Sequence[CodedT], key: Callable[[CodedT], KeyT]) -> dict[KeyT, CodedT]:
        return in_force(rows, code=self.code, edition=self.edition, key=key)


def _fill_rules(held: _Held) -> FillRules:
    named = held(limits(), lambda row: row.name)
    depth, volume = named.get("deep-device"), named.get("deep-device-volume")
    return FillRules(
        counts=held(fill_counts(), lambda row: row.item),
        allowances=held(fill_allowances(), lambda row: row.size),
        listed_boxes=tuple(held(listed_boxes(), lambda row: (row.kinds, row.size)).values()),
        deep_device_cm=None if depth is None else depth.value,
        deep_device_volume=None if volume is None else volume.value,
        deep_device_row=volume,
    )


def _amended(book: RuleBook, amendment: Amendment) -> RuleBook:
    """Put the amendment's value into every row that it replaces."""
    if amendment.check == "bends-between-pull-points":
        limits_now = {
            kind: replace(_renamed(row, amendment), limit_deg=amendment.value)
            for kind, row in book.bend_limits.items()
        }
        return replace(book, bend_limits=limits_now)
    if amendment.check == "conduit-fill":
        shares = tuple(
            replace(_renamed(row, amendment), percent=amendment.value)
            if _is_general_fill(row)
            else row
            for row in book.fill_percents
        )
        return replace(book, fill_percents=shares)
    if book.factor(amendment.check) is None:
        raise RuleInputError(
            f"the amendment {amendment.clause} is to {amendment.check}, for which"
            f" {book.code} {book.edition} has a table and no factor"
        )
    factors = {
        key: replace(_renamed(row, amendment), factor=amendment.value)
        if row.check == amendment.check
        else row
        for key, row in book.factors.items()
    }
    return replace(book, factors=factors)


def _renamed(row: CodedT, amendment: Amendment) -> CodedT:
    return replace(row, clause=amendment.clause, source=amendment.source, how="seen")


def _is_general_fill(row: FillPercent) -> bool:
    return row.place == "raceway" and row.conductors_to is None


def _code_value(amendment: Amendment, edition: str) -> float:
    book = code_rulebook(amendment.code, edition)
    if amendment.check == "bends-between-pull-points":
        return book.bend_limits[""].limit_deg
    if amendment.check == "conduit-fill":
        return next(row.percent for row in book.fill_percents if _is_general_fill(row))
    row = book.factor(amendment.check)
    return amendment.value if row is None else row.factor


def _is_laxer(amendment: Amendment, code_value: float) -> bool:
    if amendment.check in ("bends-between-pull-points", "conduit-fill"):
        return amendment.value > code_value
    return amendment.value < code_value
