"""An object as itself: what a memo is keyed by where comparing every part would cost more than it saves."""

from typing import Generic, TypeVar

from .records import result

_Kept = TypeVar("_Kept")


@result
class Same(Generic[_Kept]):
    """A frozen object, equal only to itself; a memo that holds it keeps it alive."""

    it: _Kept

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Same) and self.it is other.it

    def __hash__(self) -> int:
        return id(self.it)
