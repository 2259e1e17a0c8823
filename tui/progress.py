"""How far a long command has come, on a terminal's error stream."""

from collections.abc import Iterable, Iterator
from typing import TypeVar

from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

_Item = TypeVar("_Item")


def with_progress(items: Iterable[_Item], total: int, *, over_bar: bool) -> Iterator[_Item]:
    """The items as they are, while a bar fills; over_bar: what is printed goes above it, on the same terminal."""
    columns = (TextColumn("checking", markup=False), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
    console = Console(stderr=True, highlight=False, soft_wrap=True)
    with Progress(*columns, console=console, transient=True, redirect_stdout=over_bar) as bar:
        task = bar.add_task("", total=total)
        for item in items:
            yield item
            bar.advance(task)
