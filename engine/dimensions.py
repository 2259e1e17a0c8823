"""What can be measured, how people write it, and the fixed figures between their units and those inside.

Inside are mm, ratios, degrees, kg, mm3, kPa, mm2, h and kg/mm3.
"""

from __future__ import annotations

from enum import StrEnum
from typing import Any, Self, TypeVar

from .phrases import phrase

_T = TypeVar("_T")
INCH = 25.4  # [mm]
FOOT = 304.8  # [mm]
POUND = 0.45359237  # [kg]
CUBIC_FOOT = FOOT**3  # [mm3]
LITRE = 1e6  # [mm3]
PSF = 0.45359237 * 9.80665 / 0.3048**2 / 1000  # [kPa] pound-force per square foot


class Units(StrEnum):
    """The units of a job's bare numbers and of what is shown."""

    INCH = "in"
    MM = "mm"

    @property
    def other(self) -> Units:
        """The other of the two."""
        return Units.MM if self is Units.INCH else Units.INCH

    @staticmethod
    def pair(inch: _T, mm: _T) -> dict[Units, _T]:
        """What holds in an inch job, and what in a mm job."""
        return {Units.INCH: inch, Units.MM: mm}


class Dimension(StrEnum):
    """What kind of figure a text stands for.

    words, one: the kind in words, "length", "a length"; like: an example, for the remedies; most: the most that can be
    meant on a site, inside and in words.
    """

    words: str
    one: str
    like: str
    most: tuple[float, str]

    def __new__(cls, name: str, *told: Any) -> Self:
        """A dimension by its name."""
        dimension = str.__new__(cls, name)
        dimension._value_, (dimension.words, dimension.one, dimension.like, dimension.most) = name, told
        return dimension

    LENGTH = "length", phrase("length"), phrase("a length"), phrase("40 1/2 in, 3' 4 1/2\" or 1028 mm"), (1e6, "1000 m")
    FALL = "fall", phrase("fall"), phrase("a fall"), phrase("1/4 in/ft, 2 % or 1:48"), (100.0, "100:1")
    ANGLE = "angle", phrase("angle"), phrase("an angle"), "90 deg", (360.0, "360 deg")
    MASS = "mass", phrase("mass"), phrase("a mass"), phrase("60 lb or 25 kg"), (1e5, "100000 kg")
    VOLUME = "volume", phrase("volume"), phrase("a volume"), phrase("0.45 ft^3 or 12.5 L"), (1e12, "1000 m3")
    SHARE = "share", phrase("share"), phrase("a share"), "10 %", (100.0, "10000 %")
    LOAD = "load", phrase("load"), phrase("a load"), phrase("10 psf or 0.48 kPa"), (1e4, "10000 kPa")
    NUMBER = "number", phrase("number"), phrase("a number"), "5", (1e6, "1000000")
    AREA = "area", phrase("area"), phrase("an area"), phrase("900 sq in, 6.25 sq ft or 0.58 m2"), (1e12, "1000000 m2")
    TIME = "time", phrase("time"), phrase("a time"), phrase("24 h, 15 min or 3 days"), (1e5, "100000 h")
    DENSITY = (
        "density",
        phrase("density"),
        phrase("a density"),
        phrase("94 lb per cu ft or 1500 kg/m3"),
        (1e-4, "100000 kg/m3"),
    )


# The units, each in terms of those before it; the figures are the exact legal ones.
DEFINITIONS = """
millimetre = [length]
centimetre = 10 * millimetre
metre = 1000 * millimetre
inch = 25.4 * millimetre
foot = 12 * inch
yard = 3 * foot
kilogram = [mass]
gram = 0.001 * kilogram
tonne = 1000 * kilogram
pound = 0.45359237 * kilogram
ounce = 0.0625 * pound
litre = 1000 * centimetre ** 3
millilitre = centimetre ** 3
gallon = 231 * inch ** 3
kilopascal = [pressure]
pascal = 0.001 * kilopascal
newton = pascal * metre ** 2
kilonewton = 1000 * newton
kilogram_force = 9.80665 * newton
pound_force = 4.4482216152605 * newton
psf = pound_force / foot ** 2
degree = [angle]
hour = [time]
minute = hour / 60
day = 24 * hour
percent = 0.01
"""

# How people write them.
SPELLINGS = {
    "millimetre": "mm millimetre millimetres millimeter millimeters",
    "centimetre": "cm centimetre centimetres centimeter centimeters",
    "metre": "m metre metres meter meters",
    "inch": '" in inch inches ins',
    "foot": "' ft foot feet",
    "yard": "yd yard yards",
    "kilogram": "kg kgs kilo kilogram kilograms",
    "gram": "g gram grams",
    "tonne": "t tonne tonnes",
    "pound": "lb lbs pound pounds",
    "ounce": "oz ounce ounces",
    "litre": "l litre litres liter liters",
    "millilitre": "ml",
    "gallon": "gal gallon gallons",
    "psf": "psf",
    "kilopascal": "kpa",
    "pascal": "pa",
    "newton": "n",
    "kilonewton": "kn",
    "degree": "deg degs degree degrees °",
    "hour": "h hr hrs hour hours",
    "minute": "min mins minute minutes",
    "day": "d day days",
    "percent": "% percent pct",
}

# pint costs a fifth of a second to import, so the units of nearly every job are at hand; a test holds each of
# them to what pint makes of the definitions above.
FACTORS: dict[Dimension, dict[str, tuple[int, int]]] = {
    Dimension.LENGTH: {
        "mm": (1, 1),
        "cm": (10, 1),
        "m": (1000, 1),
        "in": (127, 5),
        '"': (127, 5),
        "inch": (127, 5),
        "inches": (127, 5),
        "ft": (1524, 5),
        "feet": (1524, 5),
        "foot": (1524, 5),
        "'": (1524, 5),
    },
    Dimension.FALL: {"%": (1, 100)},
    Dimension.SHARE: {"%": (1, 100)},
    Dimension.ANGLE: {"deg": (1, 1), "°": (1, 1)},
    Dimension.MASS: {"kg": (1, 1), "lb": (45359237, 10**8)},
    Dimension.VOLUME: {
        "m3": (10**9, 1),
        "m^3": (10**9, 1),
        "l": (10**6, 1),
        "ft^3": (1524**3, 125),
        "cu ft": (1524**3, 125),
    },
    Dimension.LOAD: {"kpa": (1, 1), "psf": (8896443230521, 185806080000000)},
    Dimension.AREA: {"m2": (10**6, 1), "sq in": (16129, 25), "sq ft": (2322576, 25)},
    Dimension.TIME: {
        "h": (1, 1),
        "hours": (1, 1),
        "hour": (1, 1),
        "days": (24, 1),
        "day": (24, 1),
        "d": (24, 1),
        "min": (1, 60),
    },
    Dimension.DENSITY: {
        "kg/m3": (1, 10**9),
        "lb/ft3": (45359237 * 125, 10**8 * 1524**3),
        "lb per cu ft": (45359237 * 125, 10**8 * 1524**3),
    },
}
