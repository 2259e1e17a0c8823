"""The steps in walking order, without the steps themselves, so that the first paint need not load them."""

from __future__ import annotations

from enum import Enum


class StepName(Enum):
    """The wizard's steps, in walking order; the value is the name on the screen."""

    FLOOR = "Floor"
    OUTLINE = "Outline"
    DRAIN = "Drain"
    READINGS = "Readings"
    BED = "Bed"
    RESULTS = "Results"
    AS_BUILT = "As built"


STEPS = tuple(StepName)


class StepState(Enum):
    """How far a step is."""

    OPEN = "open"
    DONE = "done"
    TROUBLE = "trouble"
