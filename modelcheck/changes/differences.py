"""What differs between two checks as wholes: code, settings, schedule, models, program."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from modelcheck.model.change import Results

_NO_MATTER = ("units", "strict", "pulling", "makeup_m", "boxes_at_hand_m", "accepted")
_IN_EACH_ROW = ("code", "edition")
_LONGEST = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """One setting that differs."""

    text: str
    name: str = ""  # of the one box or conduit that it is about
    check: str = ""  # the only check that it bears on; empty: any


def settings_differences(old: Mapping[str, Any], new: Mapping[str, Any]) -> tuple[Difference, ...]:
    """Settings that differ and bear on findings; code and edition stand in each row.

    Parameters
    ----------
    old, new : mapping
        Summaries of two checks.
    """
    before, after = (dict(_leaves(each.get("settings") or {})) for each in (old, new))
    return tuple(
        _difference(keys, before.get(keys), after.get(keys))
        for keys in sorted(before.keys() | after.keys())
        if before.get(keys) != after.get(keys)
        and keys[0] not in (*_NO_MATTER, *_IN_EACH_ROW)
        and keys != ("limits", "pull_point_bends_deg")
    )


def notes_of(old: Results, new: Results) -> tuple[str, ...]:
    """Sentences on what differs of two checks as wholes."""
    before, after = old.summary, new.summary
    return (
        *_rules(before, after),
        *(f"Setting {each.text}." for each in settings_differences(before, after)),
        *_schedule(before, after),
        *_models(before, after),
    )


def schedule_differs(old: Mapping[str, Any], new: Mapping[str, Any]) -> bool:
    """Whether the pull schedules of two summaries are other ones; False if it isn't known."""
    if "pulls" not in old or "pulls" not in new:
        return False
    first, second = ((each["pulls"] or {}).get("sha256") for each in (old, new))
    return bool(first != second)


def _rules(before: Mapping[str, Any], after: Mapping[str, Any]) -> Iterator[str]:
    rules = [f"{each.get('code', '')} {each.get('edition', '')}" for each in (before, after)]
    if rules[0] != rules[1]:
        yield f"Checked by {rules[1]}, before by {rules[0]}."
    versions = [(each.get("program") or {}).get("version", "") for each in (before, after)]
    if versions[0] != versions[1]:
        yield f"Checked with version {versions[1]} of the program, before with {versions[0]}."


def _schedule(before: Mapping[str, Any], after: Mapping[str, Any]) -> Iterator[str]:
    if schedule_differs(before, after):
        first, second = ((each["pulls"] or {}).get("name", "none") for each in (before, after))
        if first == second:
            yield f"The pull schedule {first} was changed."
        else:
            yield f"The pull schedule is {second}, before {first}."


def _models(before: Mapping[str, Any], after: Mapping[str, Any]) -> Iterator[str]:
    old, new = (
        {each["name"]: each["sha256"] for each in every["inputs"]} for every in (before, after)
    )
    came = {sha256: name for name, sha256 in new.items() if name not in old}
    for name, sha256 in sorted(old.items()):
        if name in new:
            if new[name] != sha256:
                yield f"{name} was changed."
        elif sha256 in came:
            yield f"{name} is now called {came.pop(sha256)}; nothing in it was changed."
        else:
            yield f"{name} was not given any more."
    for name in sorted(came.values()):
        yield f"{name} is new."


def _leaves(
    value: Any,  # noqa: ANN401 - as JSON has it
    keys: tuple[str, ...] = (),
) -> Iterator[tuple[tuple[str, ...], Any]]:
    """Settings one by one; those of a box or conduit by its name, amendments by check and code."""
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from _leaves(inner, (*keys, key))
        return
    match keys, value:
        case (("boxes" | "conduits" as kind,), [*named]):
            for name, inner in named:
                yield from _leaves(inner, (kind, name))
        case (("amendments",), [*amendments]):
            for each in amendments:
                yield ("amendments", each["check"], each["code"]), each.get("value")
        case _:
            yield keys, value


def _difference(keys: tuple[str, ...], old: object, new: object) -> Difference:
    of_one = keys[0] in ("boxes", "conduits")
    check = keys[1] if keys[0] == "amendments" else ""
    if keys == ("limits", "run_length_m"):
        check = "run-length"
    return Difference(
        text=f"{'.'.join(keys)} is {_shown(new)}, before {_shown(old)}",
        name=keys[1] if of_one else "",
        check=check,
    )


def _shown(value: object) -> str:
    if value in (None, "", [], ()):
        return "not set"
    text = value if isinstance(value, str) else json.dumps(value, ensure_ascii=False)
    return text if len(text) <= _LONGEST else f"{text[: _LONGEST - 3]}..."
