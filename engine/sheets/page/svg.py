"""Drawings as SVG: a unit is 1 mm of paper, text is inert, each drawing says what it shows."""

from collections.abc import Iterable
from typing import NamedTuple
from xml.etree.ElementTree import Element, SubElement, tostring

import numpy as np

from ...errors import harmless
from ...types import Array

_MIDDLE = 0.35  # of a letter's size: from a line's middle down to its foot
_NOISE = 1e-6  # [deg]
# name: the cell's sides [mm], and its lines as path data, or dots as (x, y, radius)
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


class Drawing(NamedTuple):
    """A drawing, and the title the page prints over it."""

    title: str
    root: Element


def picture(name: str, size: tuple[float, float], title: str, says: str) -> Element:
    """A drawing so wide and tall [mm of paper], with what it shows for who cannot see it."""
    width, height = (number(side) for side in size)
    root = Element(
        "svg",
        {
            "class": f"drawing {name}",
            "width": f"{width}mm",
            "height": f"{height}mm",
            "viewBox": f"0 0 {width} {height}",
            "role": "img",
            "aria-labelledby": f"{name}-title {name}-says",
        },
    )
    add(root, "title", title, id=f"{name}-title")
    add(root, "desc", says, id=f"{name}-says")
    return root


def cut_off(root: Element, height: float) -> None:
    """Ends a drawing at a height [mm of paper]."""
    wide = root.get("viewBox", "").split()[2]
    root.set("height", f"{number(height)}mm")
    root.set("viewBox", f"0 0 {wide} {number(height)}")


def add(parent: Element, tag: str, text: str = "", /, **attributes: str | float) -> Element:
    """A new element in another; `class_` stands for class, `font_size` for font-size; text is harmless."""
    named = {
        key.rstrip("_").replace("_", "-"): value if isinstance(value, str) else number(value)
        for key, value in attributes.items()
    }
    made = SubElement(parent, tag, named)
    if text:
        made.text = harmless(text)
    return made


def written(root: Element) -> str:
    """The drawing as text to put into a page."""
    return tostring(root, encoding="unicode")


def number(value: float) -> str:
    """A length on paper [mm], to a thousandth, without idle zeros."""
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def line(parent: Element, start: Array, end: Array, class_: str) -> Element:
    """A straight line between two places (2,) on paper [mm]."""
    (x1, y1), (x2, y2) = start.tolist(), end.tolist()
    return add(parent, "line", x1=x1, y1=y1, x2=x2, y2=y2, class_=class_)


def path(parent: Element, lines: Iterable[Array], class_: str, *, closed: bool = False) -> Element:
    """One path of several lines (k, 2) on paper [mm]."""
    ways = (" L".join(f"{number(x)} {number(y)}" for x, y in way.tolist()) for way in lines)
    return add(parent, "path", d=" ".join(f"M{way}{'Z' if closed else ''}" for way in ways), class_=class_)


class Face(NamedTuple):
    """How a kind of words is set: letters so tall [mm], and its name in the stylesheet."""

    size: float
    name: str = ""


def words(parent: Element, text: str, at: Array, face: Face, turned: float = 0.0) -> Element:
    """A line of text whose middle height lies at a place (2,), turned by degrees."""
    x, y = at.tolist()
    turn = f"translate({number(x)} {number(y)})" + (f" rotate({number(turned)})" if turned else "")
    made = add(parent, "text", text, transform=turn, y=_MIDDLE * face.size, font_size=face.size)
    if face.name:
        made.set("class", face.name)
    return made


def upright(direction: Array) -> float:
    """The turn of text along a direction (2,), read from below or the right [deg]."""
    angle = float(np.degrees(np.arctan2(direction[1], direction[0])))
    return (angle + 90.0 + _NOISE) % 180.0 - 90.0 - _NOISE


def patterns(root: Element, *names: str) -> None:
    """Puts fillings at a drawing's head; the stylesheet fills with them as `fill-` names."""
    head = add(root, "defs")
    for name in names:
        (across, down), drawn = _LINES[name] if name in _LINES else _DOTS[name]
        cell = add(head, "pattern", id=f"fill-{name}", width=across, height=down, patternUnits="userSpaceOnUse")
        if isinstance(drawn, str):
            add(cell, "path", d=drawn, class_=f"filling-{name}")
        else:
            for x, y, radius in drawn:
                add(cell, "circle", cx=x, cy=y, r=radius)
