"""The map as a widget under the keys."""

from __future__ import annotations

import pytest
from textual.app import App

from tests.wizard.pictures import plain_text
from tui.widgets.height_map import HeightMap
from tui.widgets.looks import Colours, Looks
from tui.widgets.map_layers import MapLayer, drain_flanges
from tui.widgets.map_picture import MapPicture

PLAIN = Looks(Colours.NONE)


def text(plan, layer=MapLayer.DEPTH, width=62, height=18, looks=PLAIN, *, spot=None) -> str:
    return plain_text(MapPicture(plan, layer, width, height, looks).lines(spot))


class MapApp(App[None]):
    AUTO_FOCUS = None
    CSS = "HeightMap { width: 62; height: 18; }"

    def __init__(self, looks: Looks = PLAIN) -> None:
        super().__init__()
        self.map = HeightMap(looks)

    def compose(self):
        yield self.map

    def shown(self) -> str:
        rows = [self.map.render_line(y).text.rstrip() for y in range(self.map.size.height)]
        return "\n".join(rows)


@pytest.fixture(autouse=True)
def colours_allowed(monkeypatch):
    monkeypatch.delenv("NO_COLOR", raising=False)


class TestWidget:
    async def test_it_shows_the_picture(self, jobs):
        app = MapApp()
        async with app.run_test(size=(80, 24)):
            app.map.show(jobs.rectangle())
            assert app.shown() == text(jobs.rectangle())

    async def test_arrows_walk_cell_by_cell_and_tell_the_figures(self, jobs):
        app = MapApp()
        async with app.run_test(size=(80, 24)) as pilot:
            app.map.show(jobs.rectangle())
            app.map.focus()
            await pilot.pause()
            drain = app.map.cells.frame.cell(*drain_flanges(jobs.rectangle())[0].centre)
            assert app.map.cells.frame.cell(*app.map.spot) == drain
            await pilot.press("right", "up")
            assert app.map.cells.frame.cell(*app.map.spot) == (drain[0] - 1, drain[1] + 1)
            assert app.shown() == text(jobs.rectangle(), spot=app.map.spot)
            assert "X" in app.shown()

    async def test_a_map_in_use_brings_its_cursor_with_the_first_plan(self, jobs):
        app = MapApp()
        async with app.run_test(size=(80, 24)) as pilot:
            app.map.focus()
            await pilot.pause()
            assert app.map.spot is None
            app.map.show(jobs.rectangle())
            assert app.map.spot is not None

    async def test_the_cursor_stays_on_the_floor(self, jobs):
        app = MapApp()
        async with app.run_test(size=(80, 24)) as pilot:
            app.map.show(jobs.cut_corner())
            app.map.focus()
            await pilot.pause()
            for down, across in ((-1, 0), (0, 1)):
                for _ in range(60):
                    app.map.action_walk(down, across)
                row, column = app.map.cells.frame.cell(*app.map.spot)
                assert app.map.cells.on_floor[row, column]

    async def test_leaving_puts_the_cursor_away(self, jobs):
        app = MapApp()
        async with app.run_test(size=(80, 24)) as pilot:
            app.map.show(jobs.rectangle())
            app.map.focus()
            await pilot.pause()
            app.set_focus(None)
            await pilot.pause()
            assert app.map.spot is None
            assert app.shown() == text(jobs.rectangle())

    async def test_focus_on_shows_a_place_without_the_keys(self, jobs):
        app = MapApp()
        async with app.run_test(size=(80, 24)) as pilot:
            app.map.show(jobs.rectangle())
            app.map.focus_on(1000.0, 300.0)
            await pilot.pause()
            assert app.map.spot == (1000.0, 300.0)
            assert app.shown() == text(jobs.rectangle(), spot=(1000.0, 300.0))

    async def test_a_new_plan_keeps_the_cursor_and_no_plan_takes_it(self, jobs):
        app = MapApp()
        async with app.run_test(size=(80, 24)):
            app.map.show(jobs.rectangle())
            app.map.focus_on(1000.0, 300.0)
            app.map.show(jobs.rectangle("even-fall"))
            assert app.shown() == text(jobs.rectangle("even-fall"), spot=(1000.0, 300.0))
            app.map.show(None)
            assert app.map.spot is None
            assert "starts with the outline" in app.shown()
            app.map.focus_on(1.0, 1.0)
            assert app.map.spot is None

    async def test_layers_go_round(self, jobs):
        app = MapApp()
        async with app.run_test(size=(80, 24)):
            app.map.show(jobs.rectangle())
            for layer in [*list(MapLayer)[1:], MapLayer.DEPTH]:
                assert app.map.next_layer() is layer
                assert app.shown() == text(jobs.rectangle(), layer)

    async def test_another_size_is_another_picture(self, jobs):
        app = MapApp()
        async with app.run_test(size=(80, 24)) as pilot:
            app.map.show(jobs.rectangle())
            app.map.styles.width, app.map.styles.height = 40, 16
            await pilot.pause()
            assert app.shown() == text(jobs.rectangle(), width=40, height=16)

    async def test_no_colour_reaches_the_screen_where_there_are_to_be_none(self, jobs, monkeypatch):
        monkeypatch.setenv("NO_COLOR", "1")
        app = MapApp(Looks(Colours.TRUE))
        async with app.run_test(size=(80, 24)):
            app.map.show(jobs.rectangle())
            app.map.focus_on(1000.0, 300.0)
            styles = [segment.style for y in range(18) for segment in app.map.render_line(y)]
            assert all(style is None or (style.color is None and style.bgcolor is None) for style in styles)

    async def test_colours_are_there_where_they_may_be(self, jobs):
        app = MapApp(Looks(Colours.TRUE))
        async with app.run_test(size=(80, 24)):
            app.map.show(jobs.rectangle())
            grounds = {segment.style.bgcolor.name for y in range(18) for segment in app.map.render_line(y)}
            assert len(grounds) >= 4
            assert app.shown() == text(jobs.rectangle())
