"""Corners and walls by their letters: A, B ... Z, AA ..., and A-B from a corner to the next."""

import re

from ..errors import JobError
from ..phrases import joined, phrase
from .model import Outline

MOST_CORNERS = 702  # A to ZZ
_CORNER = re.compile(r"[A-Z]{1,2}")
_WALL = re.compile(r"([A-Z]{1,2})-([A-Z]{1,2})")
_LOOSE_WALL = re.compile(r"\s*([A-Za-z]{1,2})\s*(?:-|\bto\b|\s)\s*([A-Za-z]{1,2})\s*|([A-Za-z])([A-Za-z])")
_MANY = 12  # beyond so many, names are given as a span


def corner_name(index: int) -> str:
    """The letters of corner number `index`, counted from 0."""
    head, tail = divmod(index, 26)
    return (corner_name(head - 1) if head else "") + chr(ord("A") + tail)


def corner_index(name: str) -> int:
    """The number of the corner with these letters, counted from 0."""
    index = 0
    for letter in name:
        index = index * 26 + ord(letter) - ord("A") + 1
    return index - 1


def wall_name(index: int, count: int) -> str:
    """The name of the wall from corner number `index` of `count`."""
    return f"{corner_name(index)}-{corner_name((index + 1) % count)}"


def corner_count(outline: Outline) -> int | None:
    """How many corners the outline has; None while it is not given."""
    given = outline.walls or outline.corners
    if given:
        return len(given)
    return 4 if outline.rectangle or outline.half_rectangle else None


def may_mean_wall(name: str) -> bool:
    """Whether this is a wall's name, or one written otherwise ("a-b", "A to B", "AB")."""
    return _LOOSE_WALL.fullmatch(name) is not None


def check_corner(name: str, count: int | None, key: str) -> None:
    """Raises JobError at `key` if no corner can have this name; count None: unknown."""
    if not _CORNER.fullmatch(name):
        near = name.strip().upper()
        hint = phrase("write {near}", near=near) if _CORNER.fullmatch(near) else phrase("name a corner such as B")
        raise JobError(key, name, phrase("corners are named by capital letters"), hint)
    if count is not None and corner_index(name) >= count:
        raise JobError(
            key, name, phrase("there is no such corner"), phrase("the corners are {corners}", corners=_corners(count))
        )


def check_wall(name: str, count: int | None, key: str, value: object = None) -> None:
    """Raises JobError at `key`, where `value` or the name stands, if no wall can have it; count None: unknown."""
    value = name if value is None else value
    match = _WALL.fullmatch(name)
    if match is None:
        raise JobError(key, value, phrase("walls are named by their two corners"), _near_wall(name, count))
    if count is None:
        return
    start, end = corner_index(match[1]), corner_index(match[2])
    if start >= count or end != (start + 1) % count:
        raise JobError(key, value, phrase("there is no such wall"), _near_wall(name, count))


def _near_wall(name: str, count: int | None) -> str:
    match = _LOOSE_WALL.fullmatch(name)
    ends = [part.upper() for part in match.groups() if part] if match else []
    if count is None and not ends:
        return phrase("write a wall such as A-B")
    if count is None:
        return phrase("write {first}-{second}", first=ends[0], second=ends[1])
    walls = {wall_name(i, count) for i in range(count)}
    for wall in ("-".join(ends), "-".join(reversed(ends))):
        if wall in walls:
            return phrase("write {wall}, as it is walked", wall=wall)
    return phrase("the walls are {walls}", walls=_walls(count))


def _corners(count: int) -> str:
    if count > _MANY:
        return phrase("A to {last}", last=corner_name(count - 1))
    return joined(", ", (corner_name(i) for i in range(count)))


def _walls(count: int) -> str:
    if count > _MANY:
        return phrase("{first} to {last}", first=wall_name(0, count), last=wall_name(count - 1, count))
    return joined(", ", (wall_name(i, count) for i in range(count)))
