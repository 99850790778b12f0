"""Rows of worked_examples.csv on pulling tension, put to the public functions."""

from modelcheck.rules.conductors import conductor_size
from modelcheck.rules.pulling import (
    bend_multiplier,
    conductor_tension_lbf,
    least_radius,
    longest_straight,
    most_by_sidewall,
    pulling_figure,
)


def multiplier(row):
    given = row.inputs
    factor = bend_multiplier(given["angle"], friction=given["mu"])
    if "T_in" in given:
        return [round(given["T_in"] * factor)]
    return [round(factor, len(row.published.partition(".")[2]))]


def on_conductors(row):
    """Most tension on the conductors, and on the device where the row names one."""
    size = conductor_size(row.inputs["size"].split(" Cu")[0])
    pull = conductor_tension_lbf(row.inputs["conductors"], size.area_kcmil, "copper")
    device = row.inputs.get("attachment", "").replace(" ", "-")
    return [round(pull), *([pulling_figure(device).value] if device else [])]


BY_ID = {
    "PT-15": lambda row: [least_radius(row.inputs["T"], row.inputs["limit_lb_per_ft"])],
    "PT-16": on_conductors,
    "PT-17": on_conductors,
    "PT-18": lambda row: [
        longest_straight(row.inputs["T_max"], weight=row.inputs["w"], friction=row.inputs["mu"])
    ],
    "PT-19": lambda row: [most_by_sidewall(pulling_figure("sidewall").value, row.inputs["R_ft"])],
}
