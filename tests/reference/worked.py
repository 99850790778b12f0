"""Rows of worked_examples.csv and how each is put to the public functions."""

import csv
import json
import re
from dataclasses import dataclass, replace
from pathlib import Path

from modelcheck.rules.box_fill import (
    FillItem,
    fill_terms,
    find_listed_box,
    listed_boxes,
)
from modelcheck.rules.catalogue import rulebook
from modelcheck.rules.raceways import designations
from tests.box_cases import (
    CEC,
    NEC,
    box,
    case,
    contents,
    entry,
    findings,
    one,
    pull,
    run,
    run_findings,
    run_pull,
    spare,
)

WALLS = {"left": "-x", "right": "+x", "bottom": "-y", "top": "+y", "back": "-z"}
WALLS |= {"side": "-x", "a": "-x", "b": "-y"}
ACROSS = {"left": "bottom", "bottom": "left", "top": "left", "right": "bottom"}


@dataclass(frozen=True)
class Row:
    id: str
    topic: str
    edition: str
    inputs: dict
    published: str
    recomputed: str
    flag: str
    note: str

    @property
    def is_published(self):
        told = ("answer not visible", "not published", "formula ")
        return not self.published.startswith(told)

    @property
    def settings(self):
        """Settings of the row's code, on the basis of the sizes it names."""
        is_cec = self.inputs.get("code") == "CEC" or self.edition == "CEC"
        metric = self.inputs.get("unit", "mm" if is_cec else "in") == "mm"
        basis, units = ("metric", "mm") if metric else ("inch", "in")
        return replace(CEC if is_cec else NEC, basis=basis, units=units)


def rows():
    text = (Path(__file__).parent / "worked_examples.csv").read_text(encoding="utf-8")
    return [
        Row(
            id=line["id"],
            topic=line["topic"],
            edition=line["edition"],
            inputs=json.loads(line["inputs"]),
            published=line["published_answer"],
            recomputed=line["our_recomputed_answer"],
            flag=line["flag"],
            note=line["note"],
        )
        for line in csv.DictReader(text.splitlines())
    ]


def numbers(text):
    """Numbers of a text; those of units such as in3 and parts of trade sizes left out."""
    text = re.sub(r"\b(in|mm|cm)[23]\b", "", text)
    return [float(each) for each in re.findall(r"(?<![\d/.-])\d+(?:\.\d+)?(?![\d/]*\d*-\d)", text)]


def named(trade_or_designator):
    """Trade size of a number such as 2.5 or 53."""
    for each in designations():
        if trade_or_designator in (each.inches, each.metric_designator):
            return each.trade_size_in
    raise LookupError(trade_or_designator)


def box_of(row, *, conductor="4 AWG", insulation="RW90", settings_cover=("+z",), **more):
    """The row's box: its entries by wall, its pairs as pulls, other entries as spares."""
    walls = row.inputs["walls"]
    entries, place = [], {}
    for wall, sizes in walls.items():
        for number, (size, at) in enumerate(placed(sizes)):
            place[f"{wall}:{number}"] = len(entries)
            entries.append(entry(f"{wall}:{number}", WALLS[wall], named(size), at))
    pairs = row.inputs.get("pairs") or by_number(place, walls)
    pulls = [
        pull(
            f"F{number}", *(place[end] for end in pair), conductor=conductor, insulation=insulation
        )
        for number, pair in enumerate(pairs, start=1)
    ]
    used = {end for pair in pairs for end in pair}
    pulls += [spare(where) for name, where in place.items() if name not in used]
    enclosure = box(inside_mm_of(row), cover=settings_cover, **more)
    return case(enclosure, *entries, pulls=tuple(pulls))


def inside_mm_of(row):
    inside_in = row.inputs.get("box")
    return tuple(25.4 * side for side in inside_in) if inside_in else (None, None, None)


def placed(sizes):
    """Sizes with their centres: each row at its own height, none above one of another row."""
    if isinstance(sizes, dict):
        return [
            (size, (200.0 * n + 100.0 * height, 300.0 * height))
            for height, row in enumerate(sizes.values())
            for n, size in enumerate(row)
        ]
    return [(size, (200.0 * n, 0.0)) for n, size in enumerate(sizes)]


def by_number(place, walls):
    """Pairs of equal number on two walls; a lone wall is spliced, each raceway by itself."""
    sides = [wall for wall in walls if walls[wall]]
    if len(sides) > 1:
        return [[f"{sides[0]}:{n}", f"{sides[1]}:{n}"] for n in range(len(placed(walls[sides[0]])))]
    return [[name] for name in place]


def required(row, check, wall=None, *, settings=None, **how):
    """What the check asks of the row's box, on `wall` where it asks of several."""
    the_box = lone_wall(row) if is_lone(row) else box_of(row, **how)
    found = findings(the_box, settings or row.settings, check)
    if wall is not None:
        found = [each for each in found if each.elements[0].name.startswith(f"{wall}:")]
    (finding,) = found
    return finding.required


def is_lone(row):
    walls = [sizes for sizes in row.inputs["walls"].values() if sizes]
    return len(walls) == 1 and sum(len(placed(sizes)) for sizes in walls) == 1


def lone_wall(row):
    """One entry alone makes no pull: its partner stands round the corner."""
    ((wall, sizes),) = ((w, s) for w, s in row.inputs["walls"].items() if s)
    both = {wall: sizes, ACROSS[wall]: sizes}
    partner = replace(row, inputs={**row.inputs, "walls": both})
    return box_of(partner)


def spacings(row):
    return [each.required for each in findings(box_of(row), row.settings, "entry-spacing")]


def straight(row):
    is_wireway = "376.23" in row.edition
    return [required(row, "straight-pull-length", is_wireway=is_wireway)]


def angle(row):
    walls = row.inputs["walls"]
    if any(" x " in text for text in (row.published, row.recomputed)):
        return [required(row, "angle-pull-distance", wall) for wall in walls if walls[wall]]
    first = next(wall for wall in walls if walls[wall])
    return [required(row, "angle-pull-distance", first)]


def mixed(row):
    straight_, left = (
        required(row, "straight-pull-length"),
        required(row, "angle-pull-distance", "left"),
    )
    return [straight_, left, max(straight_, left)]


def depth(row):
    walls = {wall: sizes for wall, sizes in row.inputs["walls"].items() if wall == "back"}
    sizes = [2 if size == "?" else size for size in walls["back"]]
    row = replace(row, inputs={**row.inputs, "walls": {"back": sizes}, "pairs": None})
    size, _, insulation = (
        row.inputs["conductor"].replace(",", "").partition(" (")[0].partition(" RW90")
    )
    name = size.replace(" THHN", "")
    return one(
        box_of(row, conductor=name, insulation="RW90" if insulation or "RW90" in size else "THHN"),
        "cover-depth",
        row.settings,
    )


def fill_items(row):
    """Items of a box-fill row, its fixture wires among the conductors."""
    given, items = row.inputs, []
    for key, count in given.items():
        if match := re.fullmatch(r"(?:awg|fixture_wires)(\d+)", key):
            items.append(("conductor", int(str(count).split(" ")[0]), f"{match[1]} AWG"))
        elif match := re.fullmatch(r"grounds(\d+)", key):
            items.append(("ground", count, f"{match[1]} AWG"))
    for key, item in (
        ("stud", "stud"),
        ("hickey", "hickey"),
        ("clamps", "clamp"),
        ("wire_connectors", "connector"),
        ("caps", "connector"),
    ):
        items.append((item, given.get(key, 0), ""))
    items += [("device", 1, "")] * (given.get("device", 0) + given.get("devices", 0))
    return [FillItem(item=item, count=count, size=size) for item, count, size in items]


def fill_settings(row, edition=None):
    base = CEC if row.inputs.get("code") == "CEC" or row.edition.startswith("CEC") else NEC
    years = [year for year in ("2017", "2020", "2023", "2024", "2026") if year in row.edition]
    default = "2024" if base is CEC else "2017" if "1999" in row.edition else "2023"
    return replace(base, edition=edition or (years[0] if years else default))


def fill_volume(row, edition=None):
    book = rulebook(fill_settings(row, edition))
    return sum(t.number * t.volume for t in fill_terms(fill_items(row), book.box_fill))


def fill_count(row):
    book = rulebook(fill_settings(row))
    return sum(term.number for term in fill_terms(fill_items(row), book.box_fill))


def smallest_listed(volume, kind):
    fitting = [b for b in listed_boxes() if b.code == "nec" and kind in b.kinds.split("/")]
    return min((b for b in fitting if b.volume >= volume), key=lambda b: b.volume).size


def most_in_listed(name, awg):
    """Largest number of conductors that the check of the box passes."""
    count = 0
    while True:
        held = contents(standard_box=name, conductors=((f"{awg} AWG", count + 1),))
        found = one(case(box(contents=held), entry("A", "-x", "1")), "box-volume", NEC)
        if found.outcome.value != "pass":
            return count
        count += 1


def listed_volume(name):
    return find_listed_box(name, rulebook(NEC).box_fill.listed_boxes).volume


def volume_verdict(row):
    """Verdict of the check on a box of a marked volume."""
    given = row.inputs
    held = contents(
        volume_cm3=given["box_in3"] * 16.387064,
        conductors=(("14 AWG", given["awg14"]),),
        grounds=(("14 AWG", given["grounds14"]),),
        devices=(("14 AWG", None),) * (given.get("devices", 0) + given.get("device", 0)),
        connectors=given.get("caps", 0),
    )
    settings = fill_settings(row)
    return one(case(box(contents=held), entry("A", "-x", "1")), "box-volume", settings)


def smallest_raceway(row):
    """Trade size of the smallest raceway that the check of the run passes, and the area filled."""
    lines = [
        (f"{name.split()[0]} AWG", name.split()[1], count)
        for name, count in row.inputs["conductors"].items()
    ]
    for each in designations():
        found = run_findings(
            run(trade_size_in=each.trade_size_in, raceway_types=(row.inputs["raceway"],)),
            NEC,
            "conduit-fill",
            (run_pull(*lines),),
        )
        if found and found[0].outcome.value == "pass":
            area = float(re.search(r"= ([\d.]+) in2", found[0].working)[1])
            return each.trade_size_in, area
    raise LookupError(row.id)


def most_in_raceway(raceway_type, trade_size_in, size, insulation, settings=NEC):
    """Largest number of conductors that the check of the run passes."""
    best = 0
    for count in range(1, 60):
        (found,) = run_findings(
            run(trade_size_in=trade_size_in, raceway_types=(raceway_type,)),
            settings,
            "conduit-fill",
            (run_pull((size, insulation, count)),),
        )
        if found.outcome.value == "pass":
            best = count
    return best


def bends(angles, settings=NEC, **how):
    (found,) = run_findings(run(*angles, **how), settings, "bends-between-pull-points")
    return found


def most_quarter_bends(settings):
    count = 0
    while bends([90.0] * (count + 1), settings).outcome.value == "pass":
        count += 1
    return count


def spelled_bends(row):
    return " ".join(
        f"{found.provided:g} {found.outcome.value}"
        for found in [bends([float(each) for each in row.inputs["bends"]])]
    )
