"""Fillings that are told apart in black and white, also on a photocopy."""

from __future__ import annotations

from typing import TYPE_CHECKING

from engine.sheets.page.svg import add

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

# name: the cell's sides [mm], and what is drawn in it: lines as path data, or dots as (x, y, radius)
_LINES = {
    "ground": ((2.0, 2.0), "M-0.5 0.5L0.5 -0.5M0 2L2 0M1.5 2.5L2.5 1.5"),
    "tile": ((0.8, 0.8), "M0.4 0V0.8"),
    "spare": ((1.6, 1.6), "M-0.4 1.2L0.4 2M0 0L1.6 1.6M1.2 -0.4L2 0.4"),
    "post": ((1.2, 1.2), "M0 1.2L1.2 0M0 0L1.2 1.2"),
    "high": ((2.4, 2.4), "M0.6 1.2H1.8M1.2 0.6V1.8"),
    "low": ((1.8, 1.2), "M0 0.6H1.1"),
    "water": ((2.4, 1.4), "M0 0.7Q0.6 0.1 1.2 0.7T2.4 0.7"),
}
_DOTS = {"mud": ((2.2, 1.6), ((0.5, 0.4, 0.17), (1.6, 1.2, 0.13), (1.3, 0.5, 0.1)))}


def patterns(root: Element, *names: str) -> None:
    """Puts the fillings of those names at a drawing's head; the stylesheet fills with them under `fill-` names."""
    head = add(root, "defs")
    for name in names:
        (across, down), drawn = _LINES[name] if name in _LINES else _DOTS[name]
        cell = add(head, "pattern", id=f"fill-{name}", width=across, height=down, patternUnits="userSpaceOnUse")
        if isinstance(drawn, str):
            add(cell, "path", d=drawn, class_=f"filling-{name}")
        else:
            for x, y, radius in drawn:
                add(cell, "circle", cx=x, cy=y, r=radius)
