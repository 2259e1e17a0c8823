"""Sources told once: where a figure comes from is a number beside it, and the numbers are told at the end."""

from __future__ import annotations


class Sources:
    """The sources that a page has named so far, in order."""

    def __init__(self) -> None:
        self._numbers: dict[str, int] = {}

    def number(self, source: str) -> int:
        """The number of a source, from 1; 0 where there is none."""
        return self._numbers.setdefault(source, len(self._numbers) + 1) if source else 0

    @property
    def told(self) -> list[tuple[int, str]]:
        """Every source named, with its number."""
        return [(number, source) for source, number in self._numbers.items()]
