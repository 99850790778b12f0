"""A model whose names are made to break what is written of them, and what they must not do."""

from __future__ import annotations

from pathlib import Path

import ifcopenshell

from tests.builders.habits import TIDY
from tests.builders.plant import AtBox, AtPoint, Box, Plant, Route
from tests.builders.space import Frame
from tests.builders.write_ifc import write

MARK = "hostile"
NAMES = {
    "formula": f'=HYPERLINK("http://example.invalid/","{MARK}")',
    "minus": f"-2+3+cmd|' /C {MARK}'!A0",
    "html": f'<script>window.{MARK}=1</script><img src=x onerror="window.{MARK}=1">',
    "attribute": f'" onmouseover="window.{MARK}=1" x=\'{MARK}\'',
    "script-end": f"</script></style></textarea>]]><script>window.{MARK}=1</script><!--",
    "url": f"javascript:window.{MARK}=1",
    "entity": f'&lt;b&gt; &{MARK}; <!DOCTYPE x [<!ENTITY e SYSTEM "file:///etc/passwd">]>&e;',
    "terminal": f"\x1b]0;{MARK}\x07\x1b[2J\x1b[31m{MARK}\x9b31m\x90{MARK}",
    "controls": f"\x01\x07\x08{MARK}\x0b\x0c\x7f\x85\x00",
    "bidi": f"\u202e{MARK}\u2066\u200f\u061c\u2069\ufeff\u200b",
    "lines": f"{MARK}\r\nnext\nline\u2028par\u2029end",
    "separators": f"{MARK};a,b\t\"c\"|'d'\\",
    "path": f"../../../{MARK}/../C:\\{MARK}\\..\\NUL",
    "markup": f"{{{{7*7}}}}{{%raw%}}${{7*7}}%s%n{{0}}\\P\\U+0041;%%d [bold]{MARK}[/bold]",
    "step": f"');#1=IFCWALL('{MARK}",
    "long": MARK * 14_286,  # 100,002 letters
    "astral": f"{MARK} \U0001f600\U000e0041\ufffe\uffff",
}
BOX = Box(id="PB-1", inside_m=(0.3, 0.3, 0.2), frame=Frame.turned((0.0, 0.0, 0.0)))
PLANT = Plant(
    name="Hostile",
    boxes=(BOX,),
    routes=tuple(
        Route(
            id=run,
            trade_size_in="2",
            start=AtBox("PB-1", wall),
            end=AtPoint((at_m, 0.0, 0.0), cap=run == "R1"),
        )
        for run, wall, at_m in (("R1", "-x", -2.0), ("R2", "+x", 2.0))
    ),
)  # the box fails, run R2 ends open


def write_hostile(path: Path, *names: str) -> None:
    """Write the plant with these names in turn on everything, as Tag and GlobalId too."""
    write(PLANT, TIDY, path)
    file = ifcopenshell.open(path)
    for number, each in enumerate(file.by_type("IfcRoot")):
        name = names[number % len(names)]
        each.Name = each.Description = name
        if each.is_a("IfcElement"):
            each.Tag = each.ObjectType = name
            each.GlobalId = f"{name[:200]}{number}"
    (project,) = file.by_type("IfcProject")
    project.LongName = names[0]
    file.write(str(path))
