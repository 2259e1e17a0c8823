"""Bending: how a strip is brought to a curved wall."""

import math

from ..quantities import INCH, Units
from ..records import record
from ..survey.sides import Arc

_WEB = Units.pair(INCH / 8, 3.0)  # [mm] what a kerf leaves uncut (common practice, no source)
_OFF = Units.pair(INCH / 8, 3.0)  # [mm] how far a straight piece may stand off (common practice, no source)
_NEAR = Units.pair(INCH / 32, 1.0)  # [mm] how near a bent strip keeps (common practice)
_NOISE = 1e-9


@record
class Kerfs:
    """Saw kerfs across a strip: how many, how far apart from middle to middle, how deep [mm].

    is_wall_side: in the face towards the wall; always the hollow one, which shortens.
    """

    count: int
    spacing: float
    depth: float
    is_wall_side: bool


@record
class Pieces:
    """Straight pieces along a curve: how many, the length of each one's outer face [mm], and its joints.

    saw: how far off square a joint's ends are cut [deg]; off: the most between outer face and wall [mm].
    """

    count: int
    length: float
    saw: float
    off: float


@record
class Bending:
    """A strip on a curve: the wall's radius, and the length of board that is bent [mm].

    kerfs: None where the bend is too tight or the saw's kerf is nothing: then it is in pieces.
    """

    radius: float
    length: float
    kerfs: Kerfs | None
    pieces: Pieces


def bending(arc: Arc, thickness: float, kerf: float, units: Units) -> Bending:
    """How a strip `thickness` thick is brought to a curved wall, with a saw that cuts `kerf`; all in [mm].

    A kerf of width k and depth d, its mouth closed, turns the strip by at most 2 atan(k / (2 d)). The uncut web keeps
    its length: at the radius R round a wall that bows out, at R + thickness round one that bows in. Kerfs stand at most
    that turn times the web's radius apart, about k R / d, and so near that the straights between keep within 1 mm or
    1/32 in of the curve.

    Pieces that turn by 2 a touch a wall that bows out at their ends, R (1 - cos a) off it in the middle, and one that
    bows in at their middle, R (1 / cos a - 1) off it at the ends.
    """
    radius, angle = abs(arc.radius), abs(2 * arc.half)
    bows_out = arc.rise > 0
    length = angle * (radius if bows_out else radius + thickness)
    depth = max(thickness - _WEB[units], thickness / 2)
    near = 2 * math.acos(max(1 - _NEAR[units] / (length / angle), -1.0))
    turn = min(2 * math.atan(kerf / (2 * depth)), near)
    count = max(1, math.ceil(angle / max(turn, _NOISE) - _NOISE))
    fits = kerf > 0 and length / count >= 2 * kerf
    return Bending(
        radius,
        length,
        Kerfs(count, length / count, depth, is_wall_side=not bows_out) if fits else None,
        _pieces(radius, angle, _OFF[units], bows_out=bows_out),
    )


def _pieces(radius: float, angle: float, off: float, *, bows_out: bool) -> Pieces:
    near = 1 - off / radius if bows_out else 1 / (1 + off / radius)
    count = math.ceil(angle / (2 * math.acos(max(near, -1.0))) - _NOISE)
    half = angle / (2 * count)
    if bows_out:
        return Pieces(count, 2 * radius * math.sin(half), math.degrees(half), radius * (1 - math.cos(half)))
    return Pieces(count, 2 * radius * math.tan(half), math.degrees(half), radius * (1 / math.cos(half) - 1))
