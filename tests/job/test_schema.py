"""The table of keys against the model and the contract: no entry of one that the other does not have."""

import dataclasses

import pytest

from engine.errors import JobError
from engine.job import model
from engine.job.kinds import Edges, Many, Measure, Named, Pair, Table
from engine.job.rule_figures import Figure
from engine.job.schema import HEAD, JOB, SECTIONS
from engine.job.toml_file import parse_job
from engine.quantities import Dimension

CONTRACT = {
    "job": "name units rulebook start notes",
    "floor": "kind moisture_barrier lath bond_coat dead_load_allowance",
    "build": "waterproofing upper_bed tile_edge tile tile_setting",
    "outline": "rectangle walls corners edges tape islands",
    "curb": "drop",
    "drains": "kind size at from to drop",
    "readings": "at drop",
    "bed": "shape fall mark_step least_depth most_depth wall_height",
    "strips": "thickness short stock kerf",
    "mortar": "supply bag yield parts waste",
    "as_built": "at drop",
}
ADDED = {
    "job": "edition",
    "readings": "before reckoned",
    "bed": "trueness",
    "flood_test": "",
    "figures": "",
    "prices": "",
}  # optional keys and sections beyond the contract's


def without_added(section, keys):
    return [key for key in keys if key not in ADDED.get(section, "").split()]


def tables(kind):
    """A table and every table inside it."""
    inner = kind.item if isinstance(kind, Many) else kind
    if isinstance(inner, Table):
        yield inner
        for field in inner.fields:
            yield from tables(field.kind)


def test_sections_and_keys_are_the_contracts_in_its_order():
    assert list(CONTRACT) == [key for key in JOB.keys if key in CONTRACT or key not in ADDED]
    for field in JOB.fields:
        if field.key in CONTRACT:
            keys = without_added(field.key, next(tables(field.kind)).keys)
            assert keys == CONTRACT[field.key].split()


def test_every_key_has_its_place_in_the_model():
    for field in SECTIONS:
        for table in tables(field.kind):
            names = {f.name for f in dataclasses.fields(table.make)} - {"half_rectangle"}
            of_rough = {"before", "reckoned"} if field.key == "as_built" else set()
            assert {f.attr for f in table.fields} == names - of_rough
    assert {f.attr for f in (*HEAD.fields, *SECTIONS)} == {f.name for f in dataclasses.fields(model.Job)} - {"comments"}


def test_only_coordinates_turns_and_rises_may_be_negative():
    found = set()
    for field in SECTIONS:
        for table in tables(field.kind):
            for key in table.fields:
                inner = key.kind.item if isinstance(key.kind, Many) else key.kind
                kind = inner.item if isinstance(inner, Pair) else inner
                if isinstance(kind, Measure) and kind.least < 0:
                    found.add(key.key)
    assert found == {"corners", "turn", "rise"}


def measures():
    """Every measured key that can stand in a section on its own: (section, listed, key, kind)."""
    for field in SECTIONS:
        if isinstance(field.kind, Named):
            named = field.kind.kinds.items()
            yield from ((field.key, False, name, kind) for name, kind in named if isinstance(kind, Measure))
            continue
        for key in next(tables(field.kind)).fields:
            if isinstance(key.kind, Measure) and not key.required:
                yield field.key, isinstance(field.kind, Many), key.key, key.kind


UNITS = {
    Dimension.LENGTH: "mm", Dimension.FALL: "m/m", Dimension.MASS: "kg", Dimension.VOLUME: "mm^3",
    Dimension.SHARE: "%", Dimension.LOAD: "kPa", Dimension.NUMBER: "", Dimension.AREA: "mm^2", Dimension.TIME: "h",
    Dimension.DENSITY: "kg/m3",
}  # fmt: skip


def written(value, kind):
    scale = {Dimension.SHARE: 100, Dimension.DENSITY: 1e9}.get(kind.dimension, 1)
    return f"{value * scale:.6f} {UNITS[kind.dimension]}".strip()


@pytest.mark.parametrize(
    ("section", "listed", "key", "kind"), [entry for entry in measures() if isinstance(entry[3], Measure)]
)
def test_bounds_hold_on_both_sides(section, listed, key, kind):
    def parsed(value):
        header = f"[[{section}]]" if listed else f"[{section}]"
        beside = f'bag = "{value / 1e6:.6f} kg"' if key == "yield" and value > 0 else ""  # as dense as water
        beside += 'at = "A"\ndrop = 1' if key == "before" else ""
        return parse_job(f'format = 1\n{header}\n{key} = "{written(value, kind)}"\n{beside}\n')

    assert parsed(kind.most)
    with pytest.raises(JobError, match="must be at most"):
        parsed(kind.most * 1.001)
    if kind.above:
        with pytest.raises(JobError, match="must be more than 0"):
            parsed(0)
    else:
        assert parsed(kind.least)
    with pytest.raises(JobError, match=r"must be|cannot be negative"):
        parsed(-kind.most)


@pytest.mark.parametrize(
    ("units", "typed", "says"),
    [
        ("in", '"1200"', 'must be at most 1181 in; write "1200 mm" if millimetres are meant'),
        ("in", "1200", 'must be at most 1181 in; write "1200 mm" if millimetres are meant'),
        ("in", '"100 ft"', "must be at most 1181 in; check the figure and its unit"),
        ("in", '"39000"', "must be at most 1181 in; check the figure and its unit"),  # no room in mm either
        ("mm", '"39000"', "must be at most 30 m; check the figure and its unit"),
    ],
)
def test_a_length_out_of_bounds_is_told_in_the_jobs_units(units, typed, says):
    head = f'format = 1\n[job]\nunits = "{units}"\n'
    with pytest.raises(JobError) as caught:
        parse_job(f"{head}[outline]\nrectangle = [{typed}, 36]\n")
    assert str(caught.value).endswith(says)


@pytest.mark.parametrize("bound", ["1181 in", "19 5/8 in"])
def test_a_bound_that_was_told_can_be_typed(bound):
    key = "rectangle" if bound == "1181 in" else "upper_bed"
    value = f'["{bound}", 36]' if key == "rectangle" else f'"{bound}"'
    section = "outline" if key == "rectangle" else "build"
    assert parse_job(f"format = 1\n[{section}]\n{key} = {value}\n")
    worse = value.replace("1181 in", "1182 in").replace("19 5/8 in", "19 3/4 in")
    with pytest.raises(JobError, match=f"must be at most {bound};"):
        parse_job(f"format = 1\n[{section}]\n{key} = {worse}\n")


def test_a_least_bound_that_was_told_can_be_typed():
    """10 mm is 25/64 in: the sixteenth under it would be refused again."""
    figures = "format = 1\n[figures]\nlath_fastener_spacing = "
    assert parse_job(f'{figures}"7/16 in"\n')
    with pytest.raises(JobError, match="must be at least 7/16 in;"):
        parse_job(f'{figures}"3/8 in"\n')


def test_edges_hold_any_wall():
    assert isinstance(next(f.kind for f in next(tables(JOB.find("outline").kind)).fields if f.key == "edges"), Edges)


def test_every_rulebook_figure_can_be_the_users_own():
    own = JOB.find("figures").kind
    assert list(own.kinds) == [figure.key for figure in Figure]
    assert len({figure.words for figure in Figure}) == len(Figure)
