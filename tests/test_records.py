"""Records do all that the standard library's frozen dataclasses do: each behaviour beside a twin of that library."""

import copy
import dataclasses
import inspect
import pickle
import re
from dataclasses import field
from functools import cached_property
from pathlib import Path

import pytest

from engine.records import record, result

ENGINE = Path(__file__).parent.parent / "engine"


class _Spot:
    """A place."""

    x: float
    y: float = 0.0
    names: list[str] = field(default_factory=list)
    note: str = field(default="", compare=False, repr=False)


class _One:
    only: object


class _None:
    """Nothing in it."""


class _Whole:
    corners: tuple[float, ...]

    @cached_property
    def total(self):
        return sum(self.corners)


def twins(plain, made=record):
    """The class as the engine makes it and as the standard library does."""
    kept = {name: value for name, value in vars(plain).items() if name not in {"__dict__", "__weakref__"}}
    ours, standard = (type(plain.__name__, (), dict(kept)) for _ in range(2))
    by_value = made is record
    return made(ours), dataclasses.dataclass(frozen=True, eq=by_value, slots=by_value)(standard)


kinds = pytest.mark.parametrize("made", [record, result])


@kinds
@pytest.mark.parametrize("plain", [_Spot, _One, _None])
def test_called_told_and_taken_apart_alike(plain, made):
    ours, standard = twins(plain, made)
    assert inspect.signature(ours).parameters.keys() == inspect.signature(standard).parameters.keys()
    assert ours.__match_args__ == standard.__match_args__
    assert [each.name for each in dataclasses.fields(ours)] == [each.name for each in dataclasses.fields(standard)]
    given = (1.5, 2.0, ["a"])[: len(dataclasses.fields(ours))]
    assert repr(ours(*given)) == repr(standard(*given))
    assert hasattr(ours(*given), "__dict__") == hasattr(standard(*given), "__dict__")


@kinds
def test_equal_and_hashed_alike(made):
    by_value = made is record
    for kind in twins(_One, made):
        a, b, c = kind(2.0), kind(2.0), kind(3.0)
        assert (a == b, hash(a) == hash(b)) == (by_value, by_value)
        assert a != c
        assert a != (2.0,)
        assert len({a, b, c}) == (2 if by_value else 3)
    ours, standard = twins(_One)
    assert ours(1) != standard(1)
    assert ours(float("nan")) != ours(float("nan"))


def test_what_is_not_compared_tells_no_objects_apart():
    for made in twins(_Spot):
        assert made(1.0, note="typed") == made(1.0, note="read")
        assert made(1.0, 2.0) != made(1.0, 3.0)
        with pytest.raises(TypeError, match="unhashable"):
            hash(made(1.0))  # it holds a list


@kinds
def test_frozen_alike(made):
    for kind in twins(_Spot, made):
        spot = kind(1.0)
        with pytest.raises(dataclasses.FrozenInstanceError, match=r"cannot assign to .*'x'"):
            spot.x = 2.0
        with pytest.raises(dataclasses.FrozenInstanceError, match=r"delete field 'x'"):
            del spot.x
        with pytest.raises((dataclasses.FrozenInstanceError, TypeError)):
            spot.z = 2.0
        assert spot.x == 1.0


@kinds
def test_defaults_are_each_objects_own(made):
    for kind in twins(_Spot, made):
        one, other = kind(1.0), kind(x=1.0, note="n")
        one.names.append("a")
        assert (other.y, other.names, other.note) == (0.0, [], "n")
        for wrong in ((), (1.0, 2.0, [], "", 3.0)):
            with pytest.raises(TypeError, match=re.escape("__init__()")):
                kind(*wrong)


@kinds
def test_changed_copies(made):
    for kind in twins(_Spot, made):
        spot = kind(1.0, 2.0, ["a"], "n")
        moved = dataclasses.replace(spot, y=3.0)
        assert (moved.x, moved.y, moved.names, moved.note) == (1.0, 3.0, ["a"], "n")
        deep = copy.deepcopy(spot)
        assert (deep.x, deep.names, deep.note) == (1.0, ["a"], "n")
        assert deep.names is not spot.names


@kinds
def test_a_field_may_have_any_name(made):
    class Named:
        values: int
        missing: int
        held: list[int] = field(default_factory=list)

    for kind in twins(Named, made):
        named = kind(1, missing=2)
        assert (named.values, named.missing, named.held) == (1, 2, [])


def test_what_is_reckoned_once_stays():
    kind, _ = twins(_Whole, result)
    whole = kind((1.0, 2.0))
    assert whole.total == 3.0
    assert whole.__dict__["total"] == 3.0


@record
class Packed:
    """Stands where a pickle finds it."""

    x: float
    name: str = ""


def test_pickled_and_back():
    packed = Packed(1.5, "a")
    assert pickle.loads(pickle.dumps(packed)) == packed  # noqa: S301  it was written a moment ago


def test_own_methods_stay():
    class Told:  # noqa: PLW1641  its hash is the record's
        x: int

        def __repr__(self):
            return "told"

        def __eq__(self, other):
            return True

    assert repr(record(Told)(1)) == "told"
    assert record(Told)(1) == 2


def test_the_engines_frozen_classes_are_records():
    """Each of them made by the standard library would cost every command about a millisecond more."""
    slow = re.compile(r"^from dataclasses import .*\bdataclass\b(?s:.*)^@dataclass\(frozen", re.MULTILINE)
    assert [path.name for path in ENGINE.rglob("*.py") if slow.search(path.read_text(encoding="utf-8"))] == []
