"""What is told of the work alone."""

from collections.abc import Callable, Iterable
from typing import TypeVar

from ..plan import Needs, Plan
from ..work.whole import Work

T = TypeVar("T")


def of_work(tell: Callable[[Work], Iterable[T]]) -> Callable[[Plan], list[T]]:
    """What is told of a plan's work; nothing while there is none."""
    return lambda plan: [] if isinstance(plan.work, Needs) else [*tell(plan.work)]
