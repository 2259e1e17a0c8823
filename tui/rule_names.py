"""What each rule is about, in a few words: its name in files and reports is for support."""

from engine.packed import wording
from engine.phrases import phrase, shaped

from .terminal import capital


def rule_name(rule: str) -> str:
    """What a rule is about, in words; its own name where there are none."""
    return wording("rules").get(rule, rule)


def rule_title(rule: str) -> str:
    """The same as a heading, with the name that files and reports have for it."""
    return phrase("{rule_name} ({rule})", rule_name=shaped(rule_name(rule), capital), rule=rule)
