"""Frozen dataclasses as the standard library's, defined in a third of its time.

That library writes and compiles six methods for every class; for the engine's classes together that takes about as
long as loading the arrays and the geometry. Here only `__init__` is compiled; the other methods are closures over the
names of the fields. To a type checker, to `fields` and `replace`, and in all that an object does, they are alike.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from operator import attrgetter
from typing import Any, NoReturn, TypeVar, dataclass_transform

__all__ = ["record", "result"]

_T = TypeVar("_T")
_Method = dict[str, Any]


@dataclass_transform(frozen_default=True, field_specifiers=(dataclasses.field,))
def record(plain: type[_T]) -> type[_T]:
    """A value: frozen, with room for its fields alone, and equal to another whose fields are."""
    return _made(plain, by_value=True)


@dataclass_transform(frozen_default=True, eq_default=False, field_specifiers=(dataclasses.field,))
def result(plain: type[_T]) -> type[_T]:
    """What a stage works out: frozen, equal to itself alone; a `cached_property` finds room in it."""
    return _made(plain, by_value=False)


def _made(plain: type[_T], *, by_value: bool) -> type[_T]:
    made = dataclasses.dataclass(init=False, repr=False, eq=False, slots=by_value)(plain)
    methods = _construction(made) | _words(made) | _FROZEN
    methods |= _comparison(made) | _PICKLING if by_value else {}
    for name, method in methods.items():
        if name not in made.__dict__ or made.__dict__[name] is None:
            setattr(made, name, method)
    return made


def _construction(made: type[Any]) -> _Method:
    """`__init__`, each field with its default, or with what its factory makes."""
    scope: dict[str, Any] = {"__missing": dataclasses.MISSING}  # by names that no field has
    is_slotted = "__slots__" in vars(made)
    head, body = [], [] if is_slotted else [" __held = self.__dict__"]
    for field in dataclasses.fields(made):
        name, value = field.name, field.name
        if field.default_factory is not dataclasses.MISSING:
            scope[f"made_{name}"] = field.default_factory
            head.append(f"{name}=__missing")
            value = f"made_{name}() if {name} is __missing else {name}"
        elif field.default is not dataclasses.MISSING:
            scope[f"default_{name}"] = field.default
            head.append(f"{name}=default_{name}")
        else:
            head.append(name)
        if is_slotted:
            scope[f"put_{name}"] = getattr(made, name).__set__
        body.append(f" put_{name}(self, {value})" if is_slotted else f" __held[{name!r}] = {value}")
    exec("\n".join([f"def __init__(self, {', '.join(head)}):", *body, " return"]), scope)  # noqa: S102  of fields' names alone
    scope["__init__"].__qualname__ = f"{made.__qualname__}.__init__"
    return {"__init__": scope["__init__"]}


def _words(made: type[Any]) -> _Method:
    names = [field.name for field in dataclasses.fields(made) if field.repr]

    def __repr__(self: Any) -> str:  # noqa: N807  a method, made here
        told = ", ".join(f"{name}={getattr(self, name)!r}" for name in names)
        return f"{type(self).__qualname__}({told})"

    return {"__repr__": __repr__}


def _comparison(made: type[Any]) -> _Method:
    """Equality and hash by the values of the fields, as of a tuple of them."""
    values = _values([field.name for field in dataclasses.fields(made) if field.compare])

    def __eq__(self: Any, other: object) -> Any:  # noqa: N807  a method, made here
        return values(self) == values(other) if type(self) is type(other) else NotImplemented

    def __hash__(self: Any) -> int:  # noqa: N807  a method, made here
        return hash(values(self))

    return {"__eq__": __eq__, "__hash__": __hash__}


def _values(names: list[str]) -> Callable[[Any], Any]:
    """What tells an object's values under these names as a tuple."""
    if len(names) > 1:
        return attrgetter(*names)
    return lambda self: tuple(getattr(self, name) for name in names)


def _refuse_change(_: object, name: str, __: object = None) -> NoReturn:
    raise dataclasses.FrozenInstanceError(f"cannot assign to or delete field {name!r}")


def _state(self: Any) -> list[Any]:
    return [getattr(self, field.name) for field in dataclasses.fields(self)]


def _restore(self: Any, state: list[Any]) -> None:
    for field, value in zip(dataclasses.fields(self), state, strict=True):
        object.__setattr__(self, field.name, value)


_FROZEN: _Method = {"__setattr__": _refuse_change, "__delattr__": _refuse_change}
_PICKLING: _Method = {"__getstate__": _state, "__setstate__": _restore}
