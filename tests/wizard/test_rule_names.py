"""Rules are told in words where a person reads them; their own names stay for reports."""

import re
from pathlib import Path

from engine.packed import wording
from tests.wizard.test_findings import until_cured
from tui.rule_names import rule_name, rule_title

ENGINE = Path(__file__).parents[2] / "engine"
SIGNAL_BOX = ENGINE.parent / "sample_jobs" / "signal_box.toml"


def test_every_rule_of_the_engine_has_words_and_no_other_has():
    """Names in brackets are of sentences, which the checks share with other texts."""
    files = [*(ENGINE / "limits" / "checks").glob("*.py"), *(ENGINE / "proof").glob("*.py")]
    texts = [file.read_text(encoding="utf-8") for file in files]
    named = {name for text in texts for name in re.findall(r'(?<!\[)"([a-z]+(?:-[a-z]+)+|ponding)"', text)}
    assert named == set(wording("rules"))
    assert len(set(wording("rules").values())) == len(named)


def test_a_rule_without_words_keeps_its_name():
    assert rule_name("brand-new") == "brand-new"
    assert rule_title("bed-thin") == "The bed too thin (bed-thin)"


async def test_the_page_of_a_finding_is_headed_in_words_and_names_the_rule(wizard):
    async with wizard(SIGNAL_BOX) as hand:
        await hand.press("f6")
        await until_cured(hand)
        await hand.press("f1")
        await hand.until(lambda: "An odd reading (reading-odd)" in hand.screen)
        words = " ".join(" ".join(hand.screen.replace("┃", " ").split()).split())
        assert "(also clears: the bed too thin)" in words
