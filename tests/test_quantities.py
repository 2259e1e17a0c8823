"""Measured text: everything the job file's contract says a figure may look like, and what is refused."""

import math
import re
import subprocess
import sys
import time
from fractions import Fraction

import pytest

from engine import quantities
from engine.dimensions import SPELLINGS
from engine.errors import QuantityError
from engine.quantities import (
    Dimension,
    Units,
    format_angle,
    format_area,
    format_fall,
    format_length,
    format_load,
    format_mass,
    format_quantity,
    format_share,
    format_volume,
    has_unit,
    parse,
    round_down,
    round_up,
)

INCH, MM = Units.INCH, Units.MM
LENGTH, FALL, ANGLE, MASS = Dimension.LENGTH, Dimension.FALL, Dimension.ANGLE, Dimension.MASS
VOLUME, SHARE, LOAD, NUMBER = Dimension.VOLUME, Dimension.SHARE, Dimension.LOAD, Dimension.NUMBER


class TestLengths:
    @pytest.mark.parametrize(
        "text",
        [
            "40 1/2 in", "40-1/2", '40 1/2"', "40 1/2", "3' 4 1/2\"", "3'-4 1/2\"", "3' - 4 1/2\"", "3'4 1/2",
            "3 ft 4.5 in", "3ft 4,5in", "3 FT. 4.5 IN.", "3 feet 4 1/2 inches", "1028.7 mm", "1028,7 mm", "102,87 cm",
            "1.0287 m", "1 m 2.87 cm", "40\N{VULGAR FRACTION ONE HALF}", "40 \N{VULGAR FRACTION ONE HALF} in",
            "3\N{PRIME} 4\N{VULGAR FRACTION ONE HALF}\N{DOUBLE PRIME}", "3\N{RIGHT SINGLE QUOTATION MARK} 4.5''",
            "40\N{NO-BREAK SPACE}1/2\N{NO-BREAK SPACE}in", "40\N{EN DASH}1/2", "40 1\N{FRACTION SLASH}2", "81/2",
            "+40 1/2", "  40.5  ", "40.50 inch", 40.5, "4\N{FULLWIDTH DIGIT ZERO}.5",
        ],
    )  # fmt: skip
    def test_one_length_in_many_dresses(self, text):
        assert parse(text, LENGTH, INCH) == 1028.7  # 40.5 x 25.4

    @pytest.mark.parametrize(
        ("text", "mm"),
        [
            ("40 1/2", 40.5), ("1200", 1200.0), (1200, 1200.0), ("3' 4", 40 * 25.4), ("3 ft", 914.4), (".5", 0.5),
            ("5.", 5.0), ("5,", 5.0), ("1,234", 1.234), ("2 yd", 1828.8), ("0", 0.0), ("5/8 in", 15.875),
            ("13/8 in", 41.275), ("-3 1/2 in", -88.9), ("-3' 4\"", -1016.0), ("\N{MINUS SIGN}5", -5.0), (-5, -5.0),
            ("0040", 40.0),
        ],
    )  # fmt: skip
    def test_in_a_mm_job(self, text, mm):
        assert parse(text, LENGTH, MM) == mm

    def test_a_number_and_its_text_are_the_same_length(self):
        assert all(
            parse(x / 10, LENGTH, INCH) == parse(str(x / 10), LENGTH, INCH) == float(Fraction(x, 10) * Fraction("25.4"))
            for x in range(1000)
        )

    def test_minus_nothing_is_nothing(self):
        assert math.copysign(1, parse("-0", LENGTH, INCH)) == 1


class TestOtherFigures:
    @pytest.mark.parametrize(
        "text",
        [
            "1/4 in/ft", "1/4 in / ft", "1/4 in per ft", "1/4 in per foot", "1/4 in per 12 in", '1/4"/ft',
            "1/4\" / 1'",
            "1/4 in/12 in", ".25 in/ft", "0,25 in/ft", "1:48", "1 : 48", "1/4:12", "1 in 48", "1/48 m/m",
            "1/4 in over 1 ft",
            "1\N{RATIO}48", "\N{VULGAR FRACTION ONE QUARTER} in/ft", "2 1/12 %",
        ],
    )  # fmt: skip
    def test_a_quarter_inch_a_foot_is_exactly_1_in_48(self, text):
        assert parse(text, FALL, INCH) == parse(text, FALL, MM) == float(Fraction(1, 48))

    def test_two_percent_is_not_a_quarter_inch_a_foot(self):
        assert parse("2 %", FALL, INCH) == 0.02 < parse("1/4 in/ft", FALL, INCH)

    @pytest.mark.parametrize(
        ("text", "dimension", "value"),
        [
            ("2,5%", FALL, 0.025), ("20 mm/m", FALL, 0.02), ("2 cm/m", FALL, 0.02), ("1:80", FALL, 0.0125),
            ("90 deg", ANGLE, 90.0), ("90\N{DEGREE SIGN}", ANGLE, 90.0), ("90", ANGLE, 90.0), (90, ANGLE, 90.0),
            ("-45 degrees", ANGLE, -45.0), ("135 1/2 deg", ANGLE, 135.5),
            ("60 lb", MASS, 60 * 0.45359237), ("60 lbs.", MASS, 60 * 0.45359237), ("25 kg", MASS, 25.0),
            ("25000 g", MASS, 25.0), ("16 oz", MASS, 0.45359237),
            ("0.45 ft^3", VOLUME, 0.45 * 304.8**3), ("0.45 cu ft", VOLUME, 0.45 * 304.8**3),
            ("0.45 cu. ft.", VOLUME, 0.45 * 304.8**3), ("0.45 ft3", VOLUME, 0.45 * 304.8**3),
            ("0.45 ft\N{SUPERSCRIPT THREE}", VOLUME, 0.45 * 304.8**3), ("0.45 cubic feet", VOLUME, 0.45 * 304.8**3),
            ("0.0125 m3", VOLUME, 12.5e6), ("0.0125 m^3", VOLUME, 12.5e6), ("12.5 L", VOLUME, 12.5e6),
            ("12,5 l", VOLUME, 12.5e6),
            ("100 cu in", VOLUME, 100 * 25.4**3),
            ("10 psf", LOAD, 10 * quantities.PSF), ("10 lb/ft^2", LOAD, 10 * quantities.PSF),
            ("10 lb per sq ft", LOAD, 10 * quantities.PSF), ("0.48 kPa", LOAD, 0.48), ("0.48 kN/m2", LOAD, 0.48),
            ("480 Pa", LOAD, 0.48), ("100 kg/m2", LOAD, 0.980665),
            ("10 %", SHARE, 0.1), ("10%", SHARE, 0.1), ("12.5 percent", SHARE, 0.125),
            (5, NUMBER, 5.0), ("5", NUMBER, 5.0), ("5.5", NUMBER, 5.5), ("4 1/2", NUMBER, 4.5),
        ],
    )  # fmt: skip
    def test_reads(self, text, dimension, value):
        assert parse(text, dimension, INCH) == pytest.approx(value, rel=1e-15)


class TestRefusals:
    @pytest.mark.parametrize(
        ("text", "dimension", "fault"),
        [
            ("", LENGTH, "nothing is written"), ("   ", LENGTH, "nothing is written"),
            ("-", LENGTH, "nothing is written"),
            ("nan", LENGTH, "no number"), ("inf", LENGTH, "no number"), ("wide", LENGTH, "no number"),
            ("1e999", LENGTH, "exponent"), ("1E3 mm", LENGTH, "exponent"),
            (math.inf, LENGTH, "not finite"), (math.nan, LENGTH, "not finite"), (-math.inf, NUMBER, "not finite"),
            (10**400, LENGTH, "1000 m"), (1e300, NUMBER, "cannot be meant"), (True, LENGTH, "true is not a length"),
            ("5 kg", LENGTH, "'kg' is not a unit of length"), ("5 mm", MASS, "'mm' is not a unit of mass"),
            ("90 deg", LENGTH, "'deg' is not a unit of length"), ("5 in", ANGLE, "not a unit of angle"),
            ("5 mm", VOLUME, "not a unit of volume"), ("5 kg", LOAD, "not a unit of load"),
            ("2 deg", FALL, "not a unit of fall"),
            ("5 in", NUMBER, "no unit"), ("5 furlong", LENGTH, "'furlong' is not a unit that is known"),
            ("5 inchs", LENGTH, "not a unit that is known"),
            ("40 20", LENGTH, "two numbers"), ("3 4 in", LENGTH, "two numbers"), ("1 234 mm", LENGTH, "two numbers"),
            ("40 1/2 1/4", LENGTH, "two numbers"), ("5 in 3", LENGTH, "cannot be read"),
            ("1/0", LENGTH, "divided by 0"), ("1 1/0 in", LENGTH, "divided by 0"), ("1:0", FALL, "divided by 0"),
            ("1 in/0 ft", FALL, "divided by 0"),
            ("1,234.5", LENGTH, "more than one comma"), ("1.234,5", LENGTH, "more than one comma"),
            ("1,234,567 mm", LENGTH, "more than one comma"),
            ("99999999 m", LENGTH, "more than 1000 m"), ("9" * 79, LENGTH, "more than 1000 m"),
            ("9" * 10_000, LENGTH, "10000 characters"), ("0.0000000001 mm", LENGTH, "too small"),
            ("21 15/8", LENGTH, "not less than 1"), ("3' 14", LENGTH, "as large as"),
            ("4 in 3 ft", LENGTH, "as large as"),
            ("40 1/", LENGTH, "not finished"), ("--3", LENGTH, "cannot be read"), ("3-4", LENGTH, "cannot be read"),
            ("5/8/2", LENGTH, "cannot be read"), ("[red]5[/red]", LENGTH, "cannot be read"),
            ("1_000", LENGTH, "cannot be read"),
            ("2", FALL, "no unit"), ("1/4", FALL, "no unit"), ("0.02", FALL, "no unit"), (0.02, FALL, "no unit"),
            ("1/4 in", FALL, "not a unit of fall"), ("1/4 in per 12", FALL, "'12' has no unit"),
            ("1/4 in/ft/ft", FALL, "cannot be read"), ("1/4 / ft", FALL, "no unit|cannot be read|not a unit"),
            ("60", MASS, "no unit"), (60, MASS, "no unit"), ("10", SHARE, "no unit"), ("0.45", VOLUME, "no unit"),
            ("-2 %", FALL, "cannot be negative"), ("-60 lb", MASS, "cannot be negative"),
            (-5, NUMBER, "cannot be negative"),
            ("5 lb lb", MASS, "not a unit"), ("5 lb/in", MASS, "not a unit of mass"),
            ("\x1b[31m5", LENGTH, "cannot be read"),
        ],
    )  # fmt: skip
    def test_says_what_is_wrong_and_what_to_write(self, text, dimension, fault):
        with pytest.raises(QuantityError, match=fault) as caught:
            parse(text, dimension, INCH)
        assert caught.value.remedy
        assert "\n" not in str(caught.value)
        assert len(str(caught.value)) < 200

    def test_names_the_unit_that_was_probably_meant(self):
        with pytest.raises(QuantityError, match=re.escape("did you mean inches?")):
            parse("5 inchs", LENGTH, INCH)

    def test_of_a_length_no_other_unit_is_thought_to_be_meant(self):
        with pytest.raises(QuantityError, match="write a length"):
            parse("54o", LENGTH, INCH)

    @pytest.mark.parametrize(
        "text", ["1 " * 5000, "1/" * 39, "1 1" * 26, "9" * 80, "1," * 40, "'" * 80, "1'" * 40, "a" * 80]
    )
    def test_no_text_takes_long(self, text):
        for dimension in Dimension:
            start = time.perf_counter()
            with pytest.raises(QuantityError):
                parse(text, dimension, INCH)
            assert time.perf_counter() - start < 0.5, dimension


class TestUnits:
    @pytest.mark.parametrize(("dimension", "unit"), sorted(quantities._FACTORS))
    def test_factors_at_hand_are_what_the_library_makes_of_the_definitions(self, dimension, unit):
        assert Fraction(*quantities._FACTORS[dimension, unit]) == Fraction(*quantities._pint_factor(unit, dimension))

    def test_every_spelling_is_of_some_dimension(self):
        for spelling in " ".join(SPELLINGS.values()).split():
            found = []
            for dimension in Dimension:
                if dimension is NUMBER:
                    continue
                try:
                    found.append(parse(f"3 {spelling}", dimension, INCH))
                except QuantityError:
                    continue
            assert found or spelling in ("n", "kn"), spelling

    def test_usual_units_cost_no_import(self):
        code = (
            "import sys; from engine.quantities import *\n"
            "for text, kind in [('40 1/2 in', 'length'), ('1.2 m', 'length'), ('1/4 in/ft', 'fall'), ('2 %', 'fall'),"
            " ('60 lb', 'mass'), ('0.45 ft^3', 'volume'), ('10 psf', 'load'), ('10 %', 'share'),"
            " ('90 deg', 'angle')]:\n"
            "    parse(text, Dimension(kind), Units.INCH)\n"
            "sys.exit('pint' in sys.modules or 'numpy' in sys.modules)"
        )
        assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0

    def test_a_keystroke_does_not_wait(self):
        texts = [f"{i} {i % 16}/16 in" for i in range(500)]
        best = math.inf
        for _ in range(5):
            start = time.perf_counter()
            for text in texts:
                parse(text, LENGTH, INCH)
            best = min(best, (time.perf_counter() - start) / len(texts))
        assert best < 20e-6

    @pytest.mark.parametrize("text", ["5 in", '5"', "3'", "3\N{PRIME}", "1:48", "2%", "90\N{DEGREE SIGN}", "5mm"])
    def test_sees_a_unit(self, text):
        assert has_unit(text)

    @pytest.mark.parametrize("text", ["5", "40 1/2", "40-1/2", "40\N{VULGAR FRACTION ONE HALF}", "-5,5", "", 5, 5.5])
    def test_sees_no_unit(self, text):
        assert not has_unit(text)


class TestFormats:
    @pytest.mark.parametrize(
        ("mm", "inches", "metric"),
        [
            (0.0, "0 in", "0 mm"), (33.3375, "1 5/16 in", "33.3 mm"), (25.4, "1 in", "25.4 mm"), (34.0, "1 11/32 in",
            "34 mm"),
            (1028.7, "40 1/2 in", "1028.7 mm"), (-9.525, "-3/8 in", "-9.5 mm"), (-35.0, "-1 3/8 in", "-35 mm"),
            (0.01, "0 in", "0 mm"), (-0.01, "0 in", "0 mm"), (25.4 * 31.99, "32 in", "812.5 mm"),
        ],
    )  # fmt: skip
    def test_lengths(self, mm, inches, metric):
        assert format_length(mm, INCH) == inches
        assert format_length(mm, MM) == metric

    @pytest.mark.parametrize(
        ("mm", "units", "step", "text"),
        [
            (33.5, INCH, 25.4 / 16, "1 5/16 in"), (33.5, INCH, 25.4 / 8, "1 3/8 in"), (33.5, INCH, 25.4, "1 in"),
            (33.5, INCH, 2.54, "1.3 in"), (33.5, INCH, 25.4 / 64, "1 5/16 in"), (33.5, MM, 1.0, "34 mm"),
            (33.4, MM, 5.0, "35 mm"),
            (33.34, MM, 0.01, "33.34 mm"), (33.3375, MM, 25.4 / 16, "33.3375 mm"), (914.4, INCH, 50.8, "36 in"),
        ],
    )  # fmt: skip
    def test_lengths_to_a_step(self, mm, units, step, text):
        assert format_length(mm, units, step) == text

    @pytest.mark.parametrize(
        ("ratio", "inches", "metric"),
        [
            (1 / 48, "1/4 in/ft", "2.08 %"), (0.02, "0.24 in/ft", "2 %"), (1 / 24, "1/2 in/ft", "4.17 %"),
            (1 / 80, "0.15 in/ft", "1.25 %"),
            (0.271 / 12, "0.271 in/ft", "2.26 %"), (1 / 50.001, "0.23999 in/ft|0.24000 in/ft", "2.0000 %"),
            (0.0, "0 in/ft", "0 %"),
            (1 / 48.001, "0.24999 in/ft|0.250 in/ft|0.25000 in/ft", "2.08 %"), (1.0, "12 in/ft", "100 %"),
            (1.25 / 12, "1 1/4 in/ft", "10.42 %"),
        ],
    )  # fmt: skip
    def test_falls_never_look_rounder_than_they_are(self, ratio, inches, metric):
        assert format_fall(ratio, INCH) in inches.split("|")
        assert format_fall(ratio, MM) == metric

    def test_the_rest(self):
        assert format_area(15 * 304.8**2, INCH) == "15 sq ft"
        assert format_area(1.4151e6, MM) == "1.42 m2"
        assert format_volume(1.25 * 304.8**3, INCH) == "1.25 cu ft"
        assert format_volume(35.4e6, MM) == "35.4 L"
        assert format_mass(60 * 0.45359237, INCH) == "60 lb"
        assert format_mass(25, MM) == "25 kg"
        assert format_angle(87.5, MM) == "87.5 deg"
        assert format_load(10 * quantities.PSF, INCH) == "10 psf"
        assert format_load(0.48, MM) == "0.48 kPa"
        assert format_share(0.1, MM) == "10 %"
        assert format_quantity(5.0, NUMBER, INCH) == "5"
        assert format_quantity(1 / 48, FALL, INCH) == "1/4 in/ft"


class TestRounding:
    def test_up_keeps_the_promise_and_forgives_noise(self):
        sixteenth = 25.4 / 16
        assert round_up(25.4, sixteenth) == 25.4
        assert round_up(25.4 + 1e-9, sixteenth) == 25.4
        assert round_up(25.4 + 1e-6, sixteenth) == pytest.approx(17 * sixteenth)
        assert round_up(0.1 + 0.2, 0.1) == pytest.approx(0.3)
        assert round_up(-0.4, 1.0) == 0

    def test_down_keeps_the_promise_and_forgives_noise(self):
        sixteenth = 25.4 / 16
        assert round_down(25.4, sixteenth) == 25.4
        assert round_down(25.4 - 1e-9, sixteenth) == 25.4
        assert round_down(25.4 - 1e-6, sixteenth) == pytest.approx(15 * sixteenth)

    def test_every_sixteenth_stays_where_it_is(self):
        sixteenth = 25.4 / 16
        for n in range(2000):
            mm = parse(f"{n}/16 in", LENGTH, INCH)
            assert round_up(mm, sixteenth) == pytest.approx(n * sixteenth, abs=1e-9)
            assert round_down(mm, sixteenth) == pytest.approx(n * sixteenth, abs=1e-9)
