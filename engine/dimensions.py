"""What can be measured, how people write it, and the fixed figures between their units and those inside.

Inside are mm, ratios, degrees, kg, mm3, kPa, mm2, h and kg/mm3.
"""

from __future__ import annotations

from enum import StrEnum

from engine.phrases import phrase

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


class Dimension(StrEnum):
    """What kind of figure a text stands for."""

    LENGTH = "length"
    FALL = "fall"
    ANGLE = "angle"
    MASS = "mass"
    VOLUME = "volume"
    SHARE = "share"
    LOAD = "load"
    NUMBER = "number"
    AREA = "area"
    TIME = "time"
    DENSITY = "density"

    @property
    def one(self) -> str:
        """One of them, in words: "a length", "an angle"."""
        return _ONE[self]

    @property
    def words(self) -> str:
        """The kind in words: "length", "angle"."""
        return _KIND[self]


_KIND: dict[Dimension, str] = {
    Dimension.LENGTH: phrase("length"),
    Dimension.FALL: phrase("fall"),
    Dimension.ANGLE: phrase("angle"),
    Dimension.MASS: phrase("mass"),
    Dimension.VOLUME: phrase("volume"),
    Dimension.SHARE: phrase("share"),
    Dimension.LOAD: phrase("load"),
    Dimension.NUMBER: phrase("number"),
    Dimension.AREA: phrase("area"),
    Dimension.TIME: phrase("time"),
    Dimension.DENSITY: phrase("density"),
}
_ONE: dict[Dimension, str] = {
    Dimension.LENGTH: phrase("a length"),
    Dimension.FALL: phrase("a fall"),
    Dimension.ANGLE: phrase("an angle"),
    Dimension.MASS: phrase("a mass"),
    Dimension.VOLUME: phrase("a volume"),
    Dimension.SHARE: phrase("a share"),
    Dimension.LOAD: phrase("a load"),
    Dimension.NUMBER: phrase("a number"),
    Dimension.AREA: phrase("an area"),
    Dimension.TIME: phrase("a time"),
    Dimension.DENSITY: phrase("a density"),
}

# What a figure of each kind looks like, for the remedies.
LIKE = {
    Dimension.LENGTH: phrase("40 1/2 in, 3' 4 1/2\" or 1028 mm"),
    Dimension.FALL: phrase("1/4 in/ft, 2 % or 1:48"),
    Dimension.ANGLE: "90 deg",
    Dimension.MASS: phrase("60 lb or 25 kg"),
    Dimension.VOLUME: phrase("0.45 ft^3 or 12.5 L"),
    Dimension.SHARE: "10 %",
    Dimension.LOAD: phrase("10 psf or 0.48 kPa"),
    Dimension.NUMBER: "5",
    Dimension.AREA: phrase("900 sq in, 6.25 sq ft or 0.58 m2"),
    Dimension.TIME: phrase("24 h, 15 min or 3 days"),
    Dimension.DENSITY: phrase("94 lb per cu ft or 1500 kg/m3"),
}
# The most that can be meant on a site, inside and in words.
MOST = {
    Dimension.LENGTH: (1e6, "1000 m"),
    Dimension.FALL: (100.0, "100:1"),
    Dimension.ANGLE: (360.0, "360 deg"),
    Dimension.MASS: (1e5, "100000 kg"),
    Dimension.VOLUME: (1e12, "1000 m3"),
    Dimension.SHARE: (100.0, "10000 %"),
    Dimension.LOAD: (1e4, "10000 kPa"),
    Dimension.NUMBER: (1e6, "1000000"),
    Dimension.AREA: (1e12, "1000000 m2"),
    Dimension.TIME: (1e5, "100000 h"),
    Dimension.DENSITY: (1e-4, "100000 kg/m3"),
}

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
    "millimetre": ("mm", "millimetre", "millimetres", "millimeter", "millimeters"),
    "centimetre": ("cm", "centimetre", "centimetres", "centimeter", "centimeters"),
    "metre": ("m", "metre", "metres", "meter", "meters"),
    "inch": ('"', "in", "inch", "inches", "ins"),
    "foot": ("'", "ft", "foot", "feet"),
    "yard": ("yd", "yard", "yards"),
    "kilogram": ("kg", "kgs", "kilo", "kilogram", "kilograms"),
    "gram": ("g", "gram", "grams"),
    "tonne": ("t", "tonne", "tonnes"),
    "pound": ("lb", "lbs", "pound", "pounds"),
    "ounce": ("oz", "ounce", "ounces"),
    "litre": ("l", "litre", "litres", "liter", "liters"),
    "millilitre": ("ml",),
    "gallon": ("gal", "gallon", "gallons"),
    "psf": ("psf",),
    "kilopascal": ("kpa",),
    "pascal": ("pa",),
    "newton": ("n",),
    "kilonewton": ("kn",),
    "degree": ("deg", "degs", "degree", "degrees", "°"),
    "hour": ("h", "hr", "hrs", "hour", "hours"),
    "minute": ("min", "mins", "minute", "minutes"),
    "day": ("d", "day", "days"),
    "percent": ("%", "percent", "pct"),
}

# pint costs a fifth of a second to import, so the units that stand in nearly every job are at hand; a test
# holds each of them to what pint makes of the definitions above.
FACTORS: dict[tuple[Dimension, str], tuple[int, int]] = {
    (Dimension.LENGTH, "mm"): (1, 1),
    (Dimension.LENGTH, "cm"): (10, 1),
    (Dimension.LENGTH, "m"): (1000, 1),
    (Dimension.LENGTH, "in"): (127, 5),
    (Dimension.LENGTH, '"'): (127, 5),
    (Dimension.LENGTH, "inch"): (127, 5),
    (Dimension.LENGTH, "inches"): (127, 5),
    (Dimension.LENGTH, "ft"): (1524, 5),
    (Dimension.LENGTH, "feet"): (1524, 5),
    (Dimension.LENGTH, "foot"): (1524, 5),
    (Dimension.LENGTH, "'"): (1524, 5),
    (Dimension.FALL, "%"): (1, 100),
    (Dimension.SHARE, "%"): (1, 100),
    (Dimension.ANGLE, "deg"): (1, 1),
    (Dimension.ANGLE, "°"): (1, 1),
    (Dimension.MASS, "kg"): (1, 1),
    (Dimension.MASS, "lb"): (45359237, 10**8),
    (Dimension.VOLUME, "m3"): (10**9, 1),
    (Dimension.VOLUME, "m^3"): (10**9, 1),
    (Dimension.VOLUME, "l"): (10**6, 1),
    (Dimension.VOLUME, "ft^3"): (1524**3, 125),
    (Dimension.VOLUME, "cu ft"): (1524**3, 125),
    (Dimension.LOAD, "kpa"): (1, 1),
    (Dimension.LOAD, "psf"): (8896443230521, 185806080000000),
    (Dimension.AREA, "m2"): (10**6, 1),
    (Dimension.AREA, "sq in"): (16129, 25),
    (Dimension.AREA, "sq ft"): (2322576, 25),
    (Dimension.TIME, "h"): (1, 1),
    (Dimension.TIME, "hours"): (1, 1),
    (Dimension.TIME, "hour"): (1, 1),
    (Dimension.TIME, "days"): (24, 1),
    (Dimension.TIME, "day"): (24, 1),
    (Dimension.TIME, "d"): (24, 1),
    (Dimension.TIME, "min"): (1, 60),
    (Dimension.DENSITY, "kg/m3"): (1, 10**9),
    (Dimension.DENSITY, "lb/ft3"): (45359237 * 125, 10**8 * 1524**3),
    (Dimension.DENSITY, "lb per cu ft"): (45359237 * 125, 10**8 * 1524**3),
}
