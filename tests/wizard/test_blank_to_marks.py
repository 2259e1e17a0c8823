"""A blank floor of 4 ft by 3 ft, drain in the middle, five readings: to wall marks and a saved file, by keys alone."""

import re
from pathlib import Path

from engine import plan, read_job
from engine.sheets.json import plan_json

MOST_KEYS = 80
READINGS = ("21 5/8", "21 1/2", "21 5/8", "21 3/4", "21 7/8")


async def walk(hand):
    await hand.until(lambda: "blank job" in hand.screen)
    await hand.press("b")
    await hand.until_ready()
    await hand.press("enter", "enter", "pagedown")  # the name and the kind of floor that are offered
    await hand.type("4ft")
    await hand.press("enter")
    await hand.type("3ft")
    await hand.press("enter", "pagedown")
    await hand.press("enter", "enter", "enter", "enter", "enter", "pagedown")  # round, 6 in, in the middle
    for reading in READINGS:
        await hand.type(reading)
        await hand.press("enter")
    await hand.press("enter", "pagedown")  # level walls


class TestBlankToMarks:
    async def test_at_most_eighty_keys_and_the_file_plans_to_what_the_screen_shows(self, wizard):
        async with wizard(None) as hand:
            await walk(hand)
            assert hand.count <= MOST_KEYS
            assert "Wall marks, in walking order" in hand.screen
            assert re.search(r"^▸A +\d.* 9/16 ", hand.screen, re.MULTILINE)
            await hand.press("f2", "enter")
            await hand.until(lambda: Path("shower-floor.toml").exists())
            await hand.until(lambda: "Saved to shower-floor.toml" in hand.screen)
            saved = read_job("shower-floor.toml")
            assert plan_json(plan(saved)) == plan_json(hand.desk.planner.plan)
            assert len(saved.readings) == len(READINGS)
            assert saved.readings[0].drop.text == "21 5/8"
