"""What each rule is about, in a few words: its name in files and reports is for support."""

from engine.phrases import phrase, shaped

from .terminal import capital

_NAMES = {
    "bed-below-floor": phrase("the bed under the rough floor"),
    "bed-thick": phrase("the bed too thick"),
    "bed-thin": phrase("the bed too thin"),
    "bond-unsure": phrase("a bond that is not sure"),
    "built-fall-low": phrase("the built fall too low"),
    "built-fall-steep": phrase("the built fall too steep"),
    "channel-short": phrase("the channel too short"),
    "curb-high": phrase("the curb too high"),
    "curb-low": phrase("the curb too low"),
    "drain-outside": phrase("a drain off the floor"),
    "drain-proud": phrase("a drain that stands proud"),
    "flanges-overlap": phrase("flanges on one another"),
    "drains-far": phrase("drains too far apart"),
    "fall-low": phrase("the fall too low"),
    "fall-steep": phrase("the fall too steep"),
    "flange-over-wall": phrase("a flange over the floor's edge"),
    "flood-failed": phrase("the flood test failed"),
    "flood-over": phrase("a flood test deeper or longer than is usual"),
    "flood-watch": phrase("the flood test not passed yet"),
    "floor-load": phrase("the load on the floor"),
    "floor-small": phrase("the floor too small"),
    "floor-sunk": phrase("the floor sunk too far"),
    "floor-unworked": phrase("a floor to be worked first"),
    "hidden-floor": phrase("floor that the drain does not see"),
    "large-tile-cone": phrase("large tiles on a cone"),
    "line-moved": phrase("the level line may have moved"),
    "liner-height": phrase("the liner's height"),
    "mix-lean": phrase("the mix too lean"),
    "mix-rich": phrase("the mix too rich"),
    "no-tolerance": phrase("no room for error"),
    "outline-misclosed": phrase("the outline does not close"),
    "own-figure": phrase("a figure of your own"),
    "plane-blocked": phrase("a wall in the water's way"),
    "plane-dammed": phrase("a level side in the water's way"),
    "ponding": phrase("water would stand"),
    "reading-odd": phrase("an odd reading"),
    "readings-few": phrase("too few readings"),
    "runs-unequal": phrase("runs too unequal"),
    "stock-short": phrase("boards shorter than a strip"),
    "strip-low": phrase("no room for a strip"),
    "strip-notched": phrase("a strip that is notched"),
    "strip-steep": phrase("a strip bevelled too steeply"),
    "strip-on-flange": phrase("a strip on a flange"),
    "strips-overlap": phrase("strips on one another"),
    "upper-bed-thin": phrase("the upper bed too thin"),
    "wire-fabric": phrase("wire fabric needed"),
    "wood-no-barrier": phrase("wood without a barrier"),
    "wood-no-lath": phrase("wood without lath"),
}


def rule_name(rule: str) -> str:
    """What a rule is about, in words; its own name where there are none."""
    return _NAMES.get(rule, rule)


def rule_title(rule: str) -> str:
    """The same as a heading, with the name that files and reports have for it."""
    return phrase("{rule_name} ({rule})", rule_name=shaped(rule_name(rule), capital), rule=rule)
