"""The rulebooks' figures, each once against what its source says.

S: the source's own words were read; S2: a secondary source describing it; M: from memory; P: practice, no source.
"""

from __future__ import annotations

import pytest

from engine.job.model import RulebookName
from engine.job.rule_figures import figure_of
from engine.limits.findings import Level
from engine.limits.rulebook import Figure, Measured, Origin, Sure, default_fall, rulebook

INCH, FOOT, POUND = 25.4, 304.8, 0.45359237
PSF = 0.45359237 * 9.80665 / 0.3048**2 / 1000  # kPa
US = RulebookName.US_MODEL
HELD = "within 1500 mm of the shower rose; here held to over the whole floor"
STOP, CAUTION = Level.STOP, Level.CAUTION

# what the source says: (figure, value, source, sure, level)
US_QUOTED = {
    '"at least 1/4 in per 12 in, at most 1/2 in per 12 in, uniformly toward the drain"': [
        ("fall-least", 1 / 4 / 12, "IRC 2021 P2709.1", "S", STOP),
        ("fall-most", 1 / 2 / 12, "IRC 2021 P2709.1", "S", STOP),
    ],
    '"mortar bed 1/4 in per ft to the drain"': [
        ("bed-fall-least", 1 / 4 / 12, "ANSI A108.1A-2.3.4; TCNA B415, B421", "S2", STOP),
    ],
    '"liner pitched 1/4 in per ft to the weep holes, on a smooth, solid base"': [
        ("liner-fall-least", 1 / 4 / 12, "UPC 408.7; IPC 417.5.2", "S", STOP),
    ],
    '"curb tops and ledges fall toward the drain, 1/4 in per ft practice"': [
        ("curb-top-fall", 1 / 4 / 12, "ANSI A108.01-3.6.4", "S2", CAUTION),
    ],
    '"top of curb 2 to 9 in above the top of the drain; at least 1 in below the lining at sides and back"': [
        ("curb-least", 2 * INCH, "IRC 2021 P2709.1", "S", STOP),
        ("curb-most", 9 * INCH, "IRC 2021 P2709.1", "S", STOP),
        ("lining-over-curb", 1 * INCH, "IRC 2021 P2709.1", "S", STOP),
    ],
    '"liner up the wall at least 3 in above the finished threshold (UPC); at least 2 in (IPC): a true difference"': [
        ("lining-over-threshold-upc", 3 * INCH, "UPC 408.7", "S", STOP),
        ("lining-over-threshold-ipc", 2 * INCH, "IPC 417.5.2", "S", STOP),
    ],
    '"floor at least 900 sq in and a 30 in circle (IRC) / 1024 sq in and a 30 in circle (UPC 2024 408.7)"': [
        ("area-least", 900 * INCH**2, "IRC 2021 P2709.1", "S2", STOP),
        ("area-least-upc", 1024 * INCH**2, "UPC 2024 408.7", "S", STOP),
        ("circle-least", 30 * INCH, "IRC 2021 P2709.1; UPC 2024 408.7", "S2/S", STOP),
    ],
    '"outlet at least 1 1/2 in (IPC 417.3); 2 in is the usual shower outlet (UPC)", the second from memory': [
        ("outlet-least", 1.5 * INCH, "IPC 417.3", "S", STOP),
        ("outlet-usual", 2 * INCH, "UPC", "M", CAUTION),
    ],
    '"large shared rooms: drains at most 16 ft apart, 8 ft from side walls"': [
        ("drains-apart-most", 16 * FOOT, "CPC 2016 408.8", "S", STOP),
        ("drain-to-wall-most", 8 * FOOT, "CPC 2016 408.8", "S", STOP),
    ],
    '"unbonded bed 1 1/4 in least, 2 in most unless the specifier calls for more"': [
        ("unbonded-least", 1.25 * INCH, "TCNA F103B", "S2", STOP),
        ("unbonded-most", 2 * INCH, "TCNA F103B", "S2", STOP),
    ],
    '"bed over a liner at least 1 1/2 in; wire fabric where the pan is over 65 sq ft"': [
        ("upper-bed-least", 1.5 * INCH, "ANSI A108.1A-2017", "S2", STOP),
        ("wire-fabric-area", 65 * FOOT**2, "ANSI A108.1A-2017", "S2", STOP),
    ],
    '"bonded bed: may run thin; 3/4 in named as the thin end of good practice"': [
        ("bonded-least", 0.75 * INCH, "NTCA Reference Manual 2024-25", "S", CAUTION),
    ],
    '"at the drain 1 1/4 in is usual"': [
        ("drain-depth-usual", 1.25 * INCH, "common practice", "P", CAUTION),
    ],
    '"mix 1 : 4 to 1 : 6 cement to sand by volume; richer than 1 : 3 curls"': [
        ("sand-least", 4, "NTCA; the trade", "S/S2", CAUTION),
        ("sand-most", 6, "NTCA; the trade", "S/S2", CAUTION),
        ("sand-curls", 3, "NTCA; the trade", "S/S2", CAUTION),
    ],
    '"weight 12 lb per sq ft per inch"': [
        ("bed-load-an-inch", 12 * PSF, "TileLetter", "S2", CAUTION),
    ],
    '"cure at least 24 h at 70 F before dry-set mortar; keep above 50 F for 7 days"': [
        ("cure-least", 24, "setting-materials bulletin; generic specification (at 70 F)", "S", CAUTION),
        (
            "warm-least",
            7 * 24,
            "setting-materials bulletin; generic specification (above 50 F for 7 days)",
            "S",
            CAUTION,
        ),
    ],
    '"tile on it: 1/4 in in 10 ft; for an edge 15 in or longer 1/8 in in 10 ft and 1/16 in in 2 ft"': [
        ("large-format-edge", 15 * INCH, "ANSI A108.02", "S2/S", STOP),
        ("out-of-flat-in-10-ft", INCH / 4, "ANSI A108.02", "S2/S", STOP),
        ("large-format-out-of-flat-in-10-ft", INCH / 8, "ANSI A108.02", "S2/S", STOP),
        ("large-format-out-of-flat-in-2-ft", INCH / 16, "ANSI A108.02", "S2/S", STOP),
    ],
    '"tiles 6 x 6 in and larger show lippage on a cone-shaped floor; mosaic means under 9 sq in"': [
        ("cone-tile-edge", 6 * INCH, "TCNA Handbook via TileLetter", "S2", CAUTION),
        ("mosaic-area", 9 * INCH**2, "TCNA Handbook via TileLetter", "S2", CAUTION),
    ],
    '"mud on wood: moisture barrier and metal lath, stapled"': [
        ("wood-barrier", 1, "TCNA F145; JLC quoting ANSI", "S2", STOP),
        ("wood-lath", 1, "TCNA F145; JLC quoting ANSI", "S2", STOP),
    ],
    '"laps 2 in, fasteners 6 in apart", from memory': [
        ("lath-lap", 2 * INCH, "the trade", "M", CAUTION),
        ("lath-fastener-spacing", 6 * INCH, "ASTM C847 and the trade", "M", CAUTION),
    ],
    '"cleavage membrane laps at least 4 in"': [
        ("cleavage-lap", 4 * INCH, "ANSI A108.1A (reads like)", "S2", STOP),
    ],
    '"stiffness L/360 for ceramic, L/720 for stone"': [
        ("stiffness-ceramic", 360, "joist makers quoting TCNA", "S2", STOP),
        ("stiffness-stone", 720, "joist makers quoting MIA", "S2", STOP),
    ],
    '"live load 40 psf; dead load allowance often only 10 psf"': [
        ("live-load", 40 * PSF, "IRC 2021 Table R301.5", "S/S2", STOP),
        ("dead-load-usual", 10 * PSF, "IRC 2021 Table R301.5; the trade", "S/S2", CAUTION),
    ],
    '"fill to 2 in at the threshold for at least 15 min"': [
        ("pan-test-depth", 2 * INCH, "IPC 312.9", "S", STOP),
        ("pan-test-time", 15 / 60, "IPC 312.9", "S", STOP),
    ],
    '"flood 24 to 72 h, head at most 4 in, wait 24 h after the membrane (48 h under 50 F), slope at most 2 %"': [
        ("flood-time-least", 24, "ASTM D5957 (written for plaza decks; by analogy)", "S/S2", CAUTION),
        ("flood-time-most", 72, "ASTM D5957 (written for plaza decks; by analogy)", "S/S2", CAUTION),
        ("flood-head-most", 4 * INCH, "ASTM D5957 (written for plaza decks; by analogy)", "S/S2", CAUTION),
        ("flood-fall-most", 0.02, "ASTM D5957 (written for plaza decks; by analogy)", "S/S2", CAUTION),
        ("flood-wait", 24, "ASTM D5957 (written for plaza decks; by analogy)", "S/S2", CAUTION),
        (
            "flood-wait-cold",
            48,
            "ASTM D5957 (under 50 F; written for plaza decks; by analogy)",
            "S/S2",
            CAUTION,
        ),
    ],
    '"water 5.19 psf per inch of depth"': [
        ("water-load-an-inch", 5.19 * PSF, "ASTM D5957 note 1", "S", CAUTION),
    ],
    '"40/60/80 lb -> 0.30/0.45/0.60 cu ft (133.3 lb dry per cu ft)"': [
        ("dry-in-place", 133.3 * POUND / FOOT**3, "data sheets of bagged deck mud, generic", "S", CAUTION),
    ],
    '"cement 94 lb per cu ft (one bag), damp loose sand 80 lb dry per cu ft", from memory': [
        ("cement-loose", 94 * POUND / FOOT**3, "ASTM C270", "M", CAUTION),
        ("sand-loose", 80 * POUND / FOOT**3, "ASTM C270", "M", CAUTION),
    ],
    '"lath sheets 27 x 96 in = 18 sq ft"': [
        ("lath-sheet-width", 27 * INCH, "ASTM C847", "S", CAUTION),
        ("lath-sheet-length", 96 * INCH, "ASTM C847", "S", CAUTION),
    ],
    '"Lifting: NIOSH 51 lb; a 94 lb bag is over it"': [
        ("lift-most", 51 * POUND, "NIOSH", "S", CAUTION),
    ],
}

OTHER_QUOTED = {
    '"accessible floors: no steeper than 1:48"; least and most are the same figure': [
        ("us-accessible", "fall-least", 1 / 48, "IRC 2021 P2709.1", "S", STOP),
        (
            "us-accessible",
            "fall-most",
            1 / 48,
            "ADA 2010 Standards 305.2, 404.2.4.4 read across to 608",
            "M+S2",
            STOP,
        ),
    ],
    '"roll-in threshold at most 1/2 in; transfer type at most 2 in in alterations"': [
        ("us-accessible", "threshold-most", INCH / 2, "ADA 2010 Standards 608.7 (roll-in)", "S", STOP),
        ("us-accessible", "threshold-most-transfer", 2 * INCH, "ADA 2010 Standards 608.7", "S", STOP),
    ],
    '"1:80 least, 1:50 most, measured square from the wall to the waste, not along the diagonal"': [
        ("au-ncc", "fall-least", 1 / 80, "NCC 2022", "S2", STOP),
        ("au-ncc", "fall-most", 1 / 50, "NCC 2022", "S2", STOP),
    ],
    '"1:50 least within 1500 mm of the shower rose"': [
        ("nz-e3", "fall-least", 1 / 50, f"NZ E3/AS1 3.3.2.3 ({HELD})", "S2", STOP),
        ("nz-e3", "rose-reach", 1500, "NZ E3/AS1 3.3.2.3", "S2", STOP),
    ],
    '"1:80 to 1:35", as reported (the figures were garbled in print)': [
        ("uk-bs5385", "fall-least", 1 / 80, "BS 5385-3:2024", "S2, inferred", STOP),
        ("uk-bs5385", "fall-most", 1 / 35, "BS 5385-3:2024", "S2, inferred", STOP),
    ],
    '"about 2 %, sunk at most 20 mm", guidance to the standard': [
        ("de-din18040", "fall-least", 0.02, "DIN 18040 guidance (about 2 %)", "S2", CAUTION),
        ("de-din18040", "sunk-most", 20, "DIN 18040 guidance", "S2", CAUTION),
    ],
}
US_FIGURES = [row for rows in US_QUOTED.values() for row in rows]
OTHER_FIGURES = [row for rows in OTHER_QUOTED.values() for row in rows]


@pytest.mark.parametrize("row", [("us-model", *row) for row in US_FIGURES] + OTHER_FIGURES, ids=lambda row: row[1])
def test_a_figure_is_what_its_source_says(row):
    book, figure, value, source, sure, level = row
    limit = rulebook(RulebookName(book)).find(figure_of(figure))
    assert limit.value == pytest.approx(value, rel=1e-12)
    assert (limit.source, limit.sure, limit.level) == (source, Sure(sure), level)


def test_every_figure_of_the_us_book_is_checked_here():
    assert {figure_of(row[0]) for row in US_FIGURES} == rulebook(US).entries.keys()


@pytest.mark.parametrize("name", [name for name in RulebookName if name not in (US, "us-accessible")])
def test_other_books_have_only_their_own_figures_and_borrow_the_rest(name):
    own = {key for key, entry in rulebook(name).entries.items() if entry["from"] is not Origin.BORROWED}
    assert own == {figure_of(row[1]) for row in OTHER_FIGURES if row[0] == name}


def test_a_quarter_inch_a_foot_is_exactly_1_in_48_and_steeper_than_2_percent():
    least = rulebook(US).least_fall.value
    assert least == rulebook(RulebookName.US_ACCESSIBLE).most_fall.value == 1 / 48
    assert least > 0.02


@pytest.mark.parametrize("name", RulebookName)
def test_fall_is_measured_square_in_one_book_only(name):
    square = name is RulebookName.AU_NCC
    assert rulebook(name).measured is (Measured.SQUARE if square else Measured.LINE)


@pytest.mark.parametrize("name", RulebookName)
def test_the_fall_taken_when_none_is_asked_for_is_the_books_least(name):
    assert default_fall(rulebook(name)) == rulebook(name).find(Figure.FALL_LEAST).value


def test_no_figure_from_memory_stops_or_hides_that_it_is():
    for name in RulebookName:
        book = rulebook(name)
        for figure in book.entries:
            limit = book.find(figure)
            if limit.sure in (Sure.MEMORY, Sure.MEMORY_AND_CITED):
                assert "from memory" in limit.cited
            if limit.sure in (Sure.MEMORY, Sure.PRACTICE):
                assert limit.level is CAUTION


@pytest.mark.parametrize(
    ("book", "figure", "words"),
    [
        ("us-model", "fall-least", "IRC 2021 P2709.1"),
        ("us-model", "unbonded-least", "TCNA F103B, as cited by others"),
        ("us-model", "outlet-usual", "UPC, from memory"),
        ("us-model", "drain-depth-usual", "common practice, no source"),
        (
            "us-accessible",
            "fall-most",
            "ADA 2010 Standards 305.2, 404.2.4.4 read across to 608, from memory and as cited by others",
        ),
        (
            "au-ncc",
            "unbonded-least",
            (
                "common practice borrowed from TCNA F103B, as cited by others; "
                "the rulebook (NCC 2022) has no figure of its own"
            ),
        ),
        ("uk-bs5385", "fall-most", "BS 5385-3:2024, inferred from a garbled report of it"),
        ("nz-e3", "drain-depth-usual", "common practice, no source"),
    ],
)
def test_how_sure_a_figure_is_stands_in_words(book, figure, words):
    assert rulebook(RulebookName(book)).find(figure_of(figure)).cited == words


def test_us_accessible_takes_the_model_codes_but_for_the_curb():
    book = rulebook(RulebookName.US_ACCESSIBLE)
    assert book.find(Figure.UNBONDED_LEAST).level is STOP
    assert book.find(Figure.AREA_LEAST).value == rulebook(US).find(Figure.AREA_LEAST).value
    assert book.find(Figure.CURB_LEAST) is None
    assert book.find(Figure.CURB_MOST) is None


def test_a_book_is_read_once():
    assert rulebook(US) is rulebook(US)
    assert rulebook(US).least_fall is rulebook(US).least_fall
