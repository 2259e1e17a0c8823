"""Frozen dataclasses as the standard library's, defined in a third of its time.

That library compiles six methods for every class. Here only `__init__` is, once for all classes of as many fields, each
of which then calls its variables by its own names; the other methods are closures over the fields' names. To a type
checker, to `fields` and `replace`, and in all that an object does, they are alike.
"""

import dataclasses
from collections.abc import Callable
from functools import cache
from operator import attrgetter
from types import CodeType, FunctionType
from typing import Any, Generic, NoReturn, TypeVar, dataclass_transform

_T = TypeVar("_T")
_Method = dict[str, Any]
_FRESH = object()


@dataclass_transform(frozen_default=True, field_specifiers=(dataclasses.field,))
def record(plain: type[_T]) -> type[_T]:
    """A value: frozen, with room for its fields alone, equal to another of equal fields."""
    return _made(plain, by_value=True)


@dataclass_transform(frozen_default=True, eq_default=False, field_specifiers=(dataclasses.field,))
def result(plain: type[_T]) -> type[_T]:
    """What a stage works out: frozen, equal to itself alone, with room for a `cached_property`."""
    return _made(plain, by_value=False)


def _made(plain: type[_T], *, by_value: bool) -> type[_T]:
    made = _with_fields(plain, slots=by_value)
    methods = _construction(made) | _words(made) | _FROZEN
    methods |= _comparison(made) | _PICKLING if by_value else {}
    for name, method in methods.items():
        if name not in made.__dict__ or made.__dict__[name] is None:
            setattr(made, name, method)
    return made


def _with_fields(plain: type[Any], *, slots: bool) -> type[Any]:
    """The class with the library's fields, found sooner where no type is a text to be searched."""
    types = plain.__annotations__
    plain.__annotations__ = dict.fromkeys(types, object)
    made: type[Any] = dataclasses.dataclass(init=False, repr=False, eq=False, slots=slots)(plain)
    made.__annotations__ = types
    for field in dataclasses.fields(made):
        field.type = types.get(field.name, field.type)
    return made


def _default(field: dataclasses.Field[Any]) -> Any:
    return field.default if field.default_factory is dataclasses.MISSING else _FRESH


def _construction(made: type[Any]) -> _Method:
    fields, is_slotted = dataclasses.fields(made), "__slots__" in vars(made)
    given = [_default(field) for field in fields if _default(field) is not dataclasses.MISSING]
    if any(_default(field) is dataclasses.MISSING for field in fields[len(fields) - len(given) :]):
        raise TypeError(f"{made.__qualname__}: a field without a default stands after one with a default")
    kinds = "".join("a" if field.default_factory is dataclasses.MISSING else "f" for field in fields)
    general = _code(kinds, is_slotted=is_slotted)
    names = dict(zip((f"{kind}{k}" for k, kind in enumerate(kinds)), (field.name for field in fields), strict=True))
    code = general.replace(
        co_varnames=tuple(names.get(name, name) for name in general.co_varnames),
        co_consts=tuple(names.get(each, each) for each in general.co_consts),
        co_qualname=f"{made.__qualname__}.__init__",
    )
    scope: dict[str, Any] = {"fresh": _FRESH}
    for name, field in zip(names, fields, strict=True):
        scope[f"make_{name}"] = field.default_factory
        scope[f"put_{name}"] = getattr(made, field.name).__set__ if is_slotted else None
    return {"__init__": FunctionType(code, scope, "__init__", tuple(given))}


@cache
def _code(kinds: str, *, is_slotted: bool) -> CodeType:
    """The code of an `__init__` of fields of these kinds, called a0, a1 ...; f2 has a default that is made."""
    names = [f"{kind}{k}" for k, kind in enumerate(kinds)]
    body = [] if is_slotted else [" own = self.__dict__"]
    for name in names:
        value = f"make_{name}() if {name} is fresh else {name}" if name[0] == "f" else name
        body.append(f" put_{name}(self, {value})" if is_slotted else f" own[{name!r}] = {value}")
    scope: dict[str, Any] = {}
    exec("\n".join([f"def __init__(self, {', '.join(names)}):", *body, " return"]), scope)  # noqa: S102  of counted names alone
    code: CodeType = scope["__init__"].__code__
    return code


def _words(made: type[Any]) -> _Method:
    names = [field.name for field in dataclasses.fields(made) if field.repr]

    def __repr__(self: Any) -> str:
        told = ", ".join(f"{name}={getattr(self, name)!r}" for name in names)
        return f"{type(self).__qualname__}({told})"

    return {"__repr__": __repr__}


def _comparison(made: type[Any]) -> _Method:
    values = _values([field.name for field in dataclasses.fields(made) if field.compare])

    def __eq__(self: Any, other: object) -> Any:
        return values(self) == values(other) if type(self) is type(other) else NotImplemented

    def __hash__(self: Any) -> int:
        return hash(values(self))

    return {"__eq__": __eq__, "__hash__": __hash__}


def _values(names: list[str]) -> Callable[[Any], Any]:
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


@result
class Same(Generic[_T]):
    """A frozen object, equal only to itself: comparing all its parts would cost more than a memo saves."""

    it: _T

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Same) and self.it is other.it

    def __hash__(self) -> int:
        return id(self.it)
