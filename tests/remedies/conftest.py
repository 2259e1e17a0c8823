"""Jobs with something wrong, as text with tables replaced."""

from __future__ import annotations

import pytest

from engine.job.toml_file import parse_job

TABLES = {
    "job": 'name = "a floor"',
    "floor": 'kind = "concrete"\nbond_coat = true',
    "outline": 'rectangle = ["48 in", "48 in"]',
    "drains": 'kind = "round"\nsize = "6 in"\nat = { "A-B" = "24 in", "D-A" = "24 in" }\ndrop = "20 in"',
    "bed": 'shape = "level-walls"',
}
CORNERS = [(corner, "22 in") for corner in "ABCD"]


def _place(at):
    return f'"{at}"' if isinstance(at, str) else f'{{ x = "{at[0]}", y = "{at[1]}" }}'


@pytest.fixture(scope="session")
def make():
    """The small sound job with tables replaced and other readings: (place, drop) pairs."""

    def build(readings=CORNERS, **tables):
        parts = ["format = 1"]
        for name, body in {**TABLES, **tables}.items():
            header = f"[[{name}]]" if name == "drains" else f"[{name}]"
            parts.append(f"{header}\n{body}")
        parts += [f'[[readings]]\nat = {_place(at)}\ndrop = "{drop}"' for at, drop in readings]
        return parse_job("\n\n".join(parts))

    return build


@pytest.fixture(scope="session")
def several(make_plan):
    """A plan of a floor with drains of 100 mm at these places: x, y and drop."""

    def build(outline, *drains, **words):
        (x, y, drop), *more = drains
        extra = "".join(
            f'[[drains]]\nkind = "round"\nsize = 100\nat = {{ x = {a}, y = {b} }}\ndrop = {down}\n'
            for a, b, down in more
        )
        return make_plan(outline, at=(x, y), drop=drop, readings=[('"A"', 560)], extra=extra, **words)

    return build
