"""Time and memory against size, with the yardstick's line."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import matplotlib as mpl

mpl.use("svg")

from matplotlib import pyplot as plt

_LINES = (("yardstick", "open and write", "--"), ("check", "check", "-"))
_PANELS = (("wall_s", "time [s]"), ("peak_mb", "memory [MB]"))


def draw_chart(sizes: Sequence[dict[str, Any]], path: Path) -> None:
    """Write the chart of all sizes as SVG."""
    with mpl.rc_context({"svg.hashsalt": "modelcheck", "svg.fonttype": "none"}):
        figure, panels = plt.subplots(1, len(_PANELS), figsize=(10, 4), layout="constrained")
        elements = [each["elements"] for each in sizes]
        for panel, (key, label) in zip(panels, _PANELS, strict=True):
            for which, name, style in _LINES:
                told = [each[which][key] for each in sizes]
                middle = [each["median"] for each in told]
                panel.plot(elements, middle, style, marker="o", label=name)
                panel.fill_between(
                    elements,
                    [each["least"] for each in told],
                    [each["most"] for each in told],
                    alpha=0.2,
                )
            panel.set(xscale="log", yscale="log", xlabel="elements", ylabel=label)
            panel.grid(visible=True, which="both", alpha=0.3)
            panel.legend()
        figure.savefig(path, format="svg", metadata={"Date": None})
        plt.close(figure)
