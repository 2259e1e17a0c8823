"""What can be measured, how people write it, and the fixed figures between their units and those inside.

Inside are mm, ratios, degrees, kg, mm3 and kPa.
"""

from __future__ import annotations

from enum import StrEnum

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


class Dimension(StrEnum):
    """What kind of figure a text stands for; the value says it in words."""

    LENGTH = "length"
    FALL = "fall"
    ANGLE = "angle"
    MASS = "mass"
    VOLUME = "volume"
    SHARE = "share"
    LOAD = "load"
    NUMBER = "number"

    @property
    def one(self) -> str:
        """One of them, in words: "a length", "an angle"."""
        return f"an {self}" if self is Dimension.ANGLE else f"a {self}"


# What a figure of each kind looks like, for the remedies.
LIKE = {
    Dimension.LENGTH: "40 1/2 in, 3' 4 1/2\" or 1028 mm",
    Dimension.FALL: "1/4 in/ft, 2 % or 1:48",
    Dimension.ANGLE: "90 deg",
    Dimension.MASS: "60 lb or 25 kg",
    Dimension.VOLUME: "0.45 ft^3 or 12.5 L",
    Dimension.SHARE: "10 %",
    Dimension.LOAD: "10 psf or 0.48 kPa",
    Dimension.NUMBER: "5",
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
    "percent": ("%", "percent", "pct"),
}
