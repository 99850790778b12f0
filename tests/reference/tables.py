"""Every table of the rules with its rows, for the tests that go row by row."""

from modelcheck.rules import (
    bends,
    box_fill,
    conductors,
    conduit_fill,
    knockouts,
    limits,
    locknuts,
    pull_box,
    pulling,
    raceways,
    standard_boxes,
)

TABLES = {
    "bend_limits.csv": bends.bend_limits,
    "bend_radii.csv": bends.bend_radii,
    "bending_spaces.csv": pull_box.bending_spaces,
    "box_fill_allowances.csv": box_fill.fill_allowances,
    "box_fill_counts.csv": box_fill.fill_counts,
    "clauses.csv": limits.check_clauses,
    "conductor_sizes.csv": conductors.conductor_sizes,
    "conductors.csv": conductors.conductors,
    "editions.csv": limits.editions,
    "fill_percents.csv": conduit_fill.fill_percents,
    "knockouts.csv": knockouts.knockouts,
    "limits.csv": limits.limits,
    "listed_boxes.csv": box_fill.listed_boxes,
    "locknut_clearance.csv": locknuts.locknuts,
    "outside_diameters.csv": raceways.outside_diameters,
    "pull_box_factors.csv": pull_box.pull_box_factors,
    "pulling_figures.csv": pulling.pulling_figures,
    "raceway_areas.csv": conduit_fill.raceway_areas,
    "size_thresholds.csv": pull_box.size_thresholds,
    "standard_boxes.csv": standard_boxes.standard_boxes,
    "standard_elbows.csv": bends.standard_elbows,
    "trade_sizes.csv": raceways.designations,
}


def name_of(row):
    """What tells a row from the others of its table."""
    own = [
        str(getattr(row, field))
        for field in row.__dataclass_fields__
        if field not in ("clause", "source", "how", "note")
    ]
    return " | ".join(own)
