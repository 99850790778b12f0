"""What stands in a box and takes volume: the schedule's small conductors and what inputs name."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from modelcheck.checks.box_view import BoxView
from modelcheck.checks.pulls import has_schedule, is_large, unnamed_places
from modelcheck.checks.seen_entry import only_small_raceways
from modelcheck.model.pull import BoxPull, Conductors
from modelcheck.rules.box_fill import FillItem
from modelcheck.rules.conductors import conductor_size


@dataclass(frozen=True, slots=True, kw_only=True)
class BoxItems:
    """Items of one box, and what is not known of them."""

    items: tuple[FillItem, ...]
    places: tuple[int, ...]  # entries whose conductors count or may count
    missing: tuple[str, ...]  # what must be told before the sum is known
    may_grow: tuple[str, ...]  # what could only add to it
    notes: tuple[str, ...]


def items_in(box: BoxView) -> BoxItems | None:
    """Gather the items of a box, or None if it holds no conductor smaller than 4 AWG."""
    named = box.box.contents.conductors
    small_box = only_small_raceways(box.entries, box.book)
    if named:
        return _from_contents(box)
    if not has_schedule(box.case):
        reason = "give its conductors: all its raceways are too small for 4 AWG"
        places = tuple(entry.place for entry in box.entries)
        return _unknown(places, reason) if small_box else None
    pulls = [
        pull
        for pull in box.case.pulls or ()
        if not pull.is_spare and not box.leaves_out(pull.system)
    ]
    lines = [(pull, each) for pull in pulls for each in _counted(pull, box, small_box=small_box)]
    bare = [pull for pull in pulls if not pull.conductors and small_box]
    unnamed = unnamed_places(box.case)
    if not lines and not bare and not (unnamed and small_box):
        return None
    return _from_schedule(box, lines, bare, unnamed)


def _unknown(places: tuple[int, ...], reason: str) -> BoxItems:
    return BoxItems(items=(), places=places, missing=(reason,), may_grow=(), notes=())


def _from_contents(box: BoxView) -> BoxItems | None:
    contents = box.box.contents
    sizes = {text: conductor_size(text) for text, _ in contents.conductors}
    small = [
        FillItem(item="conductor", count=count, size=size.size)
        for text, count in contents.conductors
        if (size := sizes[text]) is not None and not is_large(size, box.book)
    ]
    unread = [text for text, size in sizes.items() if size is None]
    if not small and not unread:
        return None
    return BoxItems(
        items=(*small, *_fixed(box, grounds=())),
        places=tuple(entry.place for entry in box.entries),
        missing=tuple(f"name the conductor size {text!r} as 12 AWG is named" for text in unread),
        may_grow=(),
        notes=(
            "conductors as properties or settings name them, in place of those of a schedule",
            *_notes(box),
        ),
    )


def _from_schedule(
    box: BoxView,
    lines: list[tuple[BoxPull, Conductors]],
    bare: list[BoxPull],
    unnamed: tuple[int, ...],
) -> BoxItems:
    missing = [f"give the conductors of pull {pull.name}" for pull in bare]
    conductors, grounds = Counter[str](), Counter[str]()
    for pull, each in lines:
        size = conductor_size(each.size)
        if size is None or each.count is None:
            missing.append(f"give number and size of the conductors of pull {pull.name}")
        elif _is_ground(each, box):
            grounds[size.size] += each.count
        else:
            conductors[size.size] += each.count * _times(pull)
    counting = {place for pull, _ in lines for place in pull.entries}
    counting |= {place for pull in bare for place in pull.entries} | set(unnamed)
    items = [FillItem(item="conductor", count=n, size=size) for size, n in conductors.items()]
    return BoxItems(
        items=(*items, *_fixed(box, grounds=tuple(grounds.items()))),
        places=tuple(sorted(counting)),
        missing=tuple(dict.fromkeys(missing)),
        may_grow=tuple(
            f"give the conductors that {box.entries[place].label} carries" for place in unnamed
        ),
        notes=(*_notes(box), *_note_on_large(box)),
    )


def _counted(pull: BoxPull, box: BoxView, *, small_box: bool) -> list[Conductors]:
    """Conductors of a pull that are smaller than 4 AWG, or must be in such small raceways."""
    return [
        each
        for each in pull.conductors
        if (
            small_box
            if (size := conductor_size(each.size)) is None
            else not is_large(size, box.book)
        )
    ]


def _is_ground(each: Conductors, box: BoxView) -> bool:
    """A bonding conductor; an insulated one is no ground where the code doesn't count bare ones."""
    rule = box.book.box_fill.counts["ground"]
    is_bare = each.insulation.lower() in ("", "bare")
    return each.role == "bonding" and (is_bare or rule.allowances(1) > 0)


def _times(pull: BoxPull) -> int:
    """How often each conductor counts: once, or once at every entry where it is spliced."""
    return len(set(pull.entries)) if pull.spliced else 1


def _fixed(box: BoxView, *, grounds: tuple[tuple[str, int], ...]) -> list[FillItem]:
    contents = box.box.contents
    all_grounds = contents.grounds or grounds
    sizes = [size for text, _ in all_grounds if (size := conductor_size(text)) is not None]
    largest = max(sizes, key=lambda size: size.area_kcmil, default=None)
    return [
        FillItem(
            item="ground",
            count=sum(count for _, count in all_grounds),
            size=largest.size if largest is not None else "",
        ),
        FillItem(item="clamp", count=contents.clamps or 0, size=""),
        FillItem(item="stud", count=contents.studs or 0, size=""),
        FillItem(item="hickey", count=contents.hickeys or 0, size=""),
        FillItem(item="connector", count=contents.connectors or 0, size=""),
        *(
            FillItem(item="device", count=1, size=size, depth_cm=depth_cm)
            for size, depth_cm in contents.devices
        ),
    ]


def _notes(box: BoxView) -> tuple[str, ...]:
    return (*_note_on_unnamed(box), *_note_on_odd_connector(box))


def _note_on_odd_connector(box: BoxView) -> tuple[str, ...]:
    per = box.book.box_fill.counts["connector"].per
    is_odd = bool((box.box.contents.connectors or 0) % per)
    return ("a connector without its pair counts nothing (D10)",) * is_odd


def _note_on_unnamed(box: BoxView) -> tuple[str, ...]:
    contents, counts = box.box.contents, box.book.box_fill.counts
    given = {
        "clamp": contents.clamps is not None,
        "stud": contents.studs is not None,
        "hickey": contents.hickeys is not None,
        "device": bool(contents.devices),
        "ground": bool(contents.grounds) or _schedules_bonding(box),
        "connector": contents.connectors is not None,
    }
    names = {"ground": f"{box.book.words.bonding} conductor"}
    unnamed = [
        f"{names.get(item, item)}s"
        for item, is_given in given.items()
        if not is_given
        and (rule := counts.get(item, counts.get("stud or hickey"))) is not None
        and rule.allowances(2) > 0
    ]
    return (f"no input names {', '.join(unnamed)}: counted as none",) if unnamed else ()


def _schedules_bonding(box: BoxView) -> bool:
    return any(each.role == "bonding" for pull in box.case.pulls or () for each in pull.conductors)


def _note_on_large(box: BoxView) -> tuple[str, ...]:
    if not box.groups:
        return ()
    threshold = box.book.threshold.conductor_size
    return (f"conductors of {threshold} and larger are under the distances (D9), not counted here",)
