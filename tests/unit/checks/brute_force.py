"""Second method for the pairings: every one is listed, and each row worked with plain numbers."""

from itertools import chain, combinations, product
from math import dist

from modelcheck.geometry.walls import circle_gap_m, mouth
from modelcheck.model.element import axis_of, opposite

TOLERANCE_M = 0.0001 + 1e-9


def subsets(items):
    items = list(items)
    return chain.from_iterable(combinations(items, n) for n in range(len(items) + 1))


def pairings_of_all(count):
    """Every set of edges in which each entry has at least one."""
    everyone = set(range(count))
    for edges in subsets(combinations(range(count), 2)):
        if {place for pair in edges for place in pair} == everyone:
            yield set(edges)


def pairings_of_scheduled(count, pulls, unnamed):
    """The scheduled edges, and anything at all for the entries that no pull names."""
    choices = [stars(pull) for pull in pulls]
    loose = [pair for pair in combinations(range(count), 2) if set(pair) & set(unnamed)]
    loose += [(place, place) for place in unnamed]
    for chosen in product(*choices):
        for extra in subsets(loose):
            yield set(chain(*chosen)) | set(extra)


def stars(pull):
    """Ways to share the conductors of one pull, given as (places, sizes)."""
    places, sizes = pull
    if len(places) == 1:
        return [{(places[0], places[0])}]
    most = max(sizes[place] for place in places)
    hubs = [place for place in places if sizes[place] == most]
    return [{tuple(sorted((hub, other))) for other in places if other != hub} for hub in hubs]


class PlainBox:
    """Walls, sizes, centres and inside of a box as plain numbers, worked by one code."""

    def __init__(self, entries, inside_m, *, sizes, diameters_m, by_row, back=None):
        self.walls = [each.wall for each in entries]
        self.at = [(each.u_m, each.v_m) for each in entries]
        self.inside_m, self.sizes, self.diameters_m = inside_m, sizes, diameters_m
        self.by_row, self.back = by_row, back
        self.gaps_m, self.sums = {}, {}

    def rows(self, edges, unit_m):
        """Outcome of every row that one pairing makes: True if it passes."""
        found = {}
        for first, second in edges:
            a, b = self.walls[first], self.walls[second]
            if first != second and b == opposite(a):
                needed = 8 * max(self.sizes[first], self.sizes[second]) * unit_m
                key = ("straight-pull-length", "xyz"[axis_of(a)])
                found[key] = found.get(key, True) and self.has(a, needed)
                continue
            for place in {first, second}:
                wall = self.walls[place]
                if wall != self.back:
                    key = ("angle-pull-distance", wall)
                    needed = self.angle(place) * unit_m
                    found[key] = found.get(key, True) and self.has(wall, needed)
            if first != second:
                needed = 6 * max(self.sizes[first], self.sizes[second]) * unit_m
                key = ("entry-spacing", first, second)
                found[key] = self.gap_m(first, second) + TOLERANCE_M >= needed
        return found

    def has(self, wall, needed_m):
        return self.inside_m[axis_of(wall)] + TOLERANCE_M >= needed_m

    def angle(self, place):
        if place not in self.sums:
            self.sums[place] = self.largest_sum(place)
        return self.sums[place]

    def largest_sum(self, place):
        wall = [n for n, each in enumerate(self.walls) if each == self.walls[place]]
        groups = [wall]
        if self.by_row:
            groups = [self.linked(place, wall, across) for across in (0, 1)]
        return max(
            5 * max(self.sizes[n] for n in group) + sum(self.sizes[n] for n in group)
            for group in groups
        )

    def linked(self, place, wall, across):
        row = {place}
        for _ in wall:
            row |= {
                n
                for n in wall
                for m in row
                if abs(self.at[n][across] - self.at[m][across])
                <= min(self.diameters_m[n], self.diameters_m[m]) / 2 + 1e-9
            }
        return row

    def gap_m(self, first, second):
        if (first, second) not in self.gaps_m:
            self.gaps_m[first, second] = self.measured_gap_m(first, second)
        return self.gaps_m[first, second]

    def measured_gap_m(self, first, second):
        ends = [
            mouth(
                self.walls[n],
                u_m=self.at[n][0],
                v_m=self.at[n][1],
                radius_m=self.diameters_m[n] / 2,
                inside_m=self.inside_m,
            )
            for n in (first, second)
        ]
        if self.walls[first] == self.walls[second]:
            reach = sum(end.radius_m for end in ends)
            return max(0.0, dist(ends[0].centre, ends[1].centre) - reach)
        return circle_gap_m(*ends)


def verdicts(plain, pairings, unit_m):
    """What all pairings together say: pass, fail or needs-input by row; left out if only some."""
    worked = [plain.rows(edges, unit_m) for edges in pairings]
    verdict = {}
    for key in set().union(*worked):
        passes = [rows[key] for rows in worked if key in rows]
        everywhere = len(passes) == len(worked)
        if all(passes):
            if everywhere:
                verdict[key] = "pass"
        elif everywhere and not any(passes):
            verdict[key] = "fail"
        else:
            verdict[key] = "needs-input"
    return verdict
