"""What holds for every job and every figure: nothing is lost between a job and its file, or a figure and its text."""

import datetime as dt
import string
from dataclasses import replace
from decimal import Decimal

from hypothesis import given, settings
from hypothesis import strategies as st

from engine.errors import FileError, JobError, QuantityError
from engine.job import model
from engine.job.comments import find_comments
from engine.job.edit import entry_text, with_entry, with_units
from engine.job.lettering import corner_index, corner_name, wall_name
from engine.job.model import AtCorner, AtOffsets, AtPoint, AtWall, Job, Typed
from engine.job.place_text import place_text, raw_place
from engine.job.rule_figures import Need
from engine.job.toml_file import dump_job, parse_job
from engine.quantities import Dimension, Units, format_fall, format_length, format_quantity, parse

CORNERS = 6
UNITS = st.sampled_from(Units)
TEXT = st.text(max_size=30)

MIXED = st.builds(
    lambda a, b, c: f"{a} {min(b, c - 1)}/{c}", st.integers(1, 99), st.integers(1, 15), st.integers(2, 16)
)
FEET = st.builds(lambda a, b: f"{a}' {b}\"", st.integers(1, 8), st.integers(0, 11))
WITH_UNIT = st.builds(lambda a, b: f"{a} {b}", st.integers(1, 99), st.sampled_from(["in", "mm", "cm", '"']))
DECIMAL = st.decimals("0.01", 99, places=2).map(str)
NUMBERS = st.one_of(st.integers(1, 99), st.floats(0.01, 99))


CENTS = st.decimals(0, 1000, places=2)
PRICE = st.one_of(
    CENTS.map(lambda each: model.Priced(str(each), each)),
    CENTS.map(lambda each: model.Priced(str(each).replace(".", ","), each)),
    st.integers(0, 1000).map(lambda each: model.Priced(each, Decimal(each))),
    CENTS.map(lambda each: model.Priced(float(each), Decimal(repr(float(each))))),
)


def lengths(units):
    written = st.one_of(MIXED, FEET, WITH_UNIT, DECIMAL, DECIMAL.map(lambda x: x.replace(".", ",")), NUMBERS)
    return written.map(lambda text: Typed(text, parse(text, Dimension.LENGTH, units)))


def figure(dimension, texts):
    return st.sampled_from(texts).map(lambda text: Typed(text, parse(text, dimension, Units.INCH)))


def places(units):
    length = lengths(units)
    corner = st.integers(0, CORNERS - 1)
    wall = corner.map(lambda i: wall_name(i, CORNERS))
    two = st.lists(wall, min_size=2, max_size=2, unique=True)
    return st.one_of(
        corner.map(corner_name).map(AtCorner),
        st.builds(AtWall, wall, length, st.none() | length),
        st.builds(lambda w, a, b: AtOffsets(w[0], a, w[1], b), two, length, length),
        st.builds(AtPoint, length, length),
    )


@st.composite
def own_figures(draw, length):
    """Figures of the rulebook that are the user's own, in any order, each once."""
    kinds = {
        "drains_apart_most": length,
        "curb_least": figure(Dimension.LENGTH, ["50 mm", "1 1/2 in"]),
        "fall_most": figure(Dimension.FALL, ["4 %", "1:20"]),
        "area_least": figure(Dimension.AREA, ["900 sq in", "0,8 m2"]),
        "flood_time_least": figure(Dimension.TIME, ["48 h", "3 days"]),
        "sand_loose": figure(Dimension.DENSITY, ["80 lb per cu ft", "1400 kg/m3"]),
        "sand_most": figure(Dimension.NUMBER, [5, "5 1/2"]),
        "wood_lath": st.sampled_from(Need),
    }
    names = draw(st.lists(st.sampled_from(sorted(kinds)), unique=True, max_size=4))
    return tuple((name, draw(kinds[name])) for name in names)


@st.composite
def prices(draw):
    """Prices in any of their dresses, and the currency."""
    kinds = dict.fromkeys(("deck_mud", "tile", "leveller"), PRICE) | {"currency": st.text(min_size=1, max_size=12)}
    names = draw(st.lists(st.sampled_from(sorted(kinds)), unique=True))
    return tuple((name, draw(kinds[name])) for name in names)


def tables(cls, **fields):
    """A dataclass whose every entry may be left out."""
    return st.builds(cls, **{name: st.none() | entry for name, entry in fields.items()})


@st.composite
def outlines(draw, length):
    walls = tables(model.Wall, length=length, turn=figure(Dimension.ANGLE, ["90 deg", "-45", 12.5]), rise=length)
    pairs = st.tuples(length, length)
    form = draw(st.sampled_from(["walls", "corners"]))
    ring = st.lists(walls if form == "walls" else pairs, min_size=CORNERS, max_size=CORNERS).map(tuple)
    names = st.lists(st.integers(0, CORNERS - 1).map(lambda i: wall_name(i, CORNERS)), unique=True)
    edges = tuple((name, draw(st.sampled_from(model.EdgeKind))) for name in draw(names))
    tape = st.lists(st.builds(model.Tape, st.just("A"), st.sampled_from("BCDEF"), length), max_size=2).map(tuple)
    islands = st.lists(st.builds(model.Island, st.lists(pairs, min_size=3, max_size=4).map(tuple)), max_size=2)
    return model.Outline(**{form: draw(ring)}, edges=edges, tape=draw(tape), islands=tuple(draw(islands)))


@st.composite
def drains(draw, length, place):
    kind = draw(st.none() | st.sampled_from(model.DrainKind))
    is_channel = kind is model.DrainKind.CHANNEL
    own = {"start": place, "end": place} if is_channel else {"at": place}
    return draw(tables(model.Drain, size=length, drop=length, **own).map(lambda d: with_kind(d, kind)))


def with_kind(drain, kind):
    return model.Drain(kind, drain.size, drain.at, drain.start, drain.end, drain.drop)


@st.composite
def jobs(draw):
    units = draw(UNITS)
    length, place = lengths(units), places(units)
    readings = st.lists(st.builds(model.Reading, place, length), max_size=3).map(tuple)
    return Job(
        name=draw(TEXT),
        units=units,
        rulebook=draw(st.sampled_from(model.RulebookName)),
        start=draw(st.none() | st.dates(dt.date(2000, 1, 1), dt.date(2199, 12, 31))),
        notes=draw(TEXT),
        floor=draw(
            tables(
                model.Floor,
                kind=st.sampled_from(model.FloorKind),
                moisture_barrier=st.sampled_from(model.Barrier),
                lath=st.booleans(),
                bond_coat=st.booleans(),
                dead_load_allowance=figure(Dimension.LOAD, ["10 psf", "0.48 kPa"]),
            )
        ),
        outline=draw(outlines(length)),
        drains=tuple(draw(st.lists(drains(length, place), max_size=2))),
        readings=draw(readings),
        bed=draw(
            tables(
                model.Bed,
                shape=st.sampled_from(model.BedShape),
                fall=figure(Dimension.FALL, ["1/4 in/ft", "2 %", "1:48", "20 mm/m"]),
                mark_step=figure(Dimension.LENGTH, ["1/16 in", "1 mm"]),
            )
        ),
        mortar=draw(
            tables(
                model.Mortar,
                supply=st.sampled_from(model.Supply),
                bag=figure(Dimension.MASS, ["60 lb", "25 kg"]),
                bag_yield=figure(Dimension.VOLUME, ["0.45 ft^3", "12,5 L"]),
                parts=figure(Dimension.NUMBER, [5, "5 1/2"]),
                waste=figure(Dimension.SHARE, ["10 %"]),
            )
        ),
        as_built=draw(readings),
        figures=draw(own_figures(length)),
        prices=draw(prices()),
    )


FEW = settings().max_examples // 12  # a job is drawn slowly


@given(jobs())
@settings(max_examples=FEW, deadline=None)
def test_a_job_comes_back_from_its_file_whole(job):
    text = dump_job(job)
    assert parse_job(text) == job
    assert dump_job(parse_job(text)) == text


@given(jobs(), UNITS)
@settings(max_examples=FEW, deadline=None)
def test_other_units_move_no_figure(job, units):
    turned = with_units(replace(job, prices=()), units)  # prices are for one kind of units
    assert parse_job(dump_job(turned)) == turned
    assert [reading.drop.value for reading in turned.readings] == [reading.drop.value for reading in job.readings]
    if job.outline.corners:
        assert [[x.value for x in pair] for pair in turned.outline.corners] == [
            [x.value for x in pair] for pair in job.outline.corners
        ]


@given(jobs(), st.data())
@settings(max_examples=FEW, deadline=None)
def test_typing_an_entry_again_changes_nothing(job, data):
    key = data.draw(st.sampled_from(["job.name", "bed.fall", "mortar.waste", "floor.kind", "job.start", "floor.lath"]))
    assert with_entry(job, key, entry_text(job, key)) == job


@given(places(Units.MM))
@settings(deadline=None)
def test_a_place_comes_back_from_its_text(place):
    raw = raw_place(place_text(place))
    if isinstance(place, AtCorner):
        assert raw == place.corner
    else:
        again = with_entry(Job(units=Units.MM), "drains[0].at", place_text(place)).drains[0].at
        assert place_text(again) == place_text(place)


@given(st.integers(-64 * 400, 64 * 400), st.sampled_from([1, 2, 4, 8, 16, 32, 64]))
@settings(deadline=None)
def test_inches_come_back_to_the_step(count, denominator):
    step = 25.4 / denominator
    mm = count * step
    assert abs(parse(format_length(mm, Units.INCH, step), Dimension.LENGTH, Units.MM) - mm) < 1e-9


@given(st.floats(-20_000, 20_000), UNITS, st.sampled_from([None, 1.0, 0.1, 25.4 / 16, 25.4 / 8]))
@settings(deadline=None)
def test_lengths_come_back_to_half_a_step(mm, units, step):
    most = (step or (25.4 / 32 if units is Units.INCH else 0.1)) / 2
    text = format_length(mm, units, step)
    assert abs(parse(text, Dimension.LENGTH, units) - mm) <= most + 0.002
    assert format_length(parse(text, Dimension.LENGTH, units), units, step) == text


@given(st.floats(0.0005, 1), UNITS)
@settings(deadline=None)
def test_falls_come_back_to_the_last_digit(ratio, units):
    most = 0.0005 / 12 if units is Units.INCH else 0.00005
    assert abs(parse(format_fall(ratio, units), Dimension.FALL, units) - ratio) <= most * (1 + 1e-9)


@given(
    st.floats(0.1, 1),
    st.sampled_from([d for d in Dimension if d not in (Dimension.FALL, Dimension.LENGTH)]),
    UNITS,
)
@settings(deadline=None)
def test_every_figure_can_be_read_as_it_is_written(share, dimension, units):
    large = {
        Dimension.VOLUME: 1e9,
        Dimension.AREA: 1e7,
        Dimension.DENSITY: 3e-6,
        Dimension.MASS: 100.0,
        Dimension.TIME: 72.0,
        Dimension.ANGLE: 179.0,
        Dimension.LOAD: 10.0,
    }
    value = share * large.get(dimension, 1.0)
    again = parse(format_quantity(value, dimension, units), dimension, units)
    assert abs(again - value) <= 0.06 * value


@given(st.text(max_size=100), st.sampled_from(Dimension), UNITS)
@settings(max_examples=200, deadline=None)
def test_any_text_is_a_figure_or_refused_in_words(text, dimension, units):
    try:
        value = parse(text, dimension, units)
    except QuantityError as error:
        assert error.fault  # noqa: PT017 - being read is as good as being refused
        assert error.remedy  # noqa: PT017 - as above
    else:
        assert abs(value) < 1e13


NEAR_FIGURES = st.text(
    alphabet=string.digits + " /-.,'\"inftm%:()" + "\N{VULGAR FRACTION ONE HALF}\N{PRIME}", max_size=20
)


@given(NEAR_FIGURES, st.sampled_from(Dimension), UNITS)
@settings(max_examples=300, deadline=None)
def test_any_text_that_looks_like_a_figure_too(text, dimension, units):
    try:
        assert abs(parse(text, dimension, units)) < 1e13
    except QuantityError as error:
        assert "\n" not in str(error)  # noqa: PT017 - being read is as good as being refused


@given(st.text(alphabet="format=1[]{}\"'#\n .,-abj" + string.ascii_uppercase[:3], max_size=80))
@settings(max_examples=200, deadline=None)
def test_any_file_is_a_job_or_refused_in_words(text):
    try:
        assert isinstance(parse_job("format = 1\n" + text), Job)
    except (JobError, FileError) as error:
        assert all(c.isprintable() for c in str(error))  # noqa: PT017 - being read is as good as being refused


@given(st.lists(st.text(alphabet="abc #'\"[]", max_size=10), max_size=5), jobs())
@settings(max_examples=FEW, deadline=None)
def test_comments_are_all_kept(words, job):
    lines = dump_job(job).rstrip("\n").split("\n")
    comments = [f"#{word}".rstrip() for word in words]
    text = "\n".join([*comments[:2], *lines, *comments[2:]]) + "\n"
    written = dump_job(parse_job(text))
    assert sorted(comment.text for comment in find_comments(written)) == sorted(comments)
    assert dump_job(parse_job(written)) == written


@given(st.integers(0, 701))
@settings(deadline=None)
def test_letters_and_numbers_of_corners_agree(index):
    assert corner_index(corner_name(index)) == index
