"""The README's picture is the wizard as it is: a sample's readings at 90 x 28."""

from pathlib import Path

TOP = Path(__file__).parents[2]
SAMPLE = TOP / "sample_jobs" / "mill_house.toml"
SIZE = (90, 28)


async def test_the_picture_is_what_stands_on_the_screen(wizard):
    picture = (TOP / "README.md").read_text(encoding="utf-8").split("```\n")[1]
    async with wizard(SAMPLE, size=SIZE) as hand:
        await hand.press("pagedown", "pagedown", "pagedown")
        await hand.until(lambda: "Readings]" in hand.screen and "▸" in hand.screen)
        assert picture.rstrip("\n") == hand.screen.rstrip("\n")
