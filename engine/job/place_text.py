"""Places and pairs in one text, as a person types them into a field.

A place: "B" · "A-B 18 in" · "A-B 18 in off 6 in" · "A-B 12 in, B-C 8 in" · "x 12 in, y 8 in".
A pair: "60 in x 36 in" · "60 in, 36 in" · "x 60 in, y 36 in".
"""

import re
from typing import Any

from .model import AtCorner, AtOffsets, AtPoint, AtWall, Corner, Place

_LONGEST = 300  # characters; a longer text is no place
_WALL = re.compile(r"\s*([A-Z]{1,2}-[A-Z]{1,2})\b(?:\s*:)?\s*")
_OFF = re.compile(r"\s+off\s+", re.IGNORECASE)
_POINT = re.compile(r"\s*x\b\s*[:=]?\s*(.+?)(?:\s*[;,]\s*|\s+)y\b\s*[:=]?\s*(.+)", re.IGNORECASE | re.DOTALL)
_PAIR = re.compile(r"\s*(.+?)(?:\s*;\s*|\s*,\s+|\s+(?:x|by)\s+)(.+)", re.IGNORECASE | re.DOTALL)


def place_text(place: Place) -> str:
    """The place as one text, with its lengths as typed."""
    match place:
        case AtCorner(corner):
            return corner
        case AtWall(wall, along, off):
            return f"{wall} {along.text}" + ("" if off is None else f" off {off.text}")
        case AtOffsets(first_wall, first, second_wall, second):
            return f"{first_wall} {first.text}, {second_wall} {second.text}"
        case AtPoint(x, y):
            return f"x {x.text}, y {y.text}"


def raw_place(text: str) -> str | dict[str, Any]:
    """The text as a job file would have it; what is no place as it is, to be refused there."""
    text = text.strip()
    point = _POINT.fullmatch(text) if len(text) <= _LONGEST else None
    if point is not None:
        return {"x": point[1], "y": point[2]}
    parts = _WALL.split(text)[1:] if len(text) <= _LONGEST and _WALL.match(text) else []
    if len(parts) == 4:
        return {parts[0]: parts[1].rstrip(" ,;"), parts[2]: parts[3]}
    if len(parts) == 2:
        along, *off = _OFF.split(parts[1], maxsplit=1)
        return {"wall": parts[0], "along": along} | ({"off": off[0]} if off else {})
    return text


def pair_text(pair: Corner) -> str:
    """Two lengths as one text, as typed."""
    return f"{pair[0].text}, {pair[1].text}"


def raw_pair(text: str) -> list[str]:
    """The two lengths of a text, to be read; a list of another length where there are not two."""
    match = (_POINT.fullmatch(text) or _PAIR.fullmatch(text)) if len(text) <= _LONGEST else None
    return [match[1].strip(), match[2].strip()] if match else [text]
