"""What each rule is about, in a few words: its name in files and reports is for support."""

from engine.packed import wording
from engine.phrases import phrase, shaped

from .terminal import capital


def rule_name(rule: str) -> str:
    """What a rule is about; its own name where there are no words."""
    return wording("rules").get(rule, rule)


def rule_title(rule: str) -> str:
    """The same as a heading, with the rule's name in files and reports."""
    return phrase("{rule_name} ({rule})", rule_name=shaped(rule_name(rule), capital), rule=rule)
