"""The steps' names in walking order, alone: the first paint loads no steps."""

import re
from enum import Enum

from engine.phrases import phrase


class StepName(Enum):
    """The wizard's steps in walking order; the value is the name shown, in English."""

    FLOOR = phrase("Floor")
    OUTLINE = phrase("Outline")
    DRAIN = phrase("Drain")
    READINGS = phrase("Readings")
    BED = phrase("Bed")
    RESULTS = phrase("Results")
    AS_BUILT = phrase("As built")


STEPS = tuple(StepName)
SECTIONS = {StepName.READINGS: "readings", StepName.AS_BUILT: "as_built"}  # the readings that a step takes


class StepState(Enum):
    """How far a step is."""

    OPEN = "open"
    DONE = "done"
    TROUBLE = "trouble"


_OF_KEYS = {
    "job": StepName.FLOOR,
    "floor": StepName.FLOOR,
    "build": StepName.FLOOR,
    "outline": StepName.OUTLINE,
    "curb": StepName.OUTLINE,
    "drains": StepName.DRAIN,
    "readings": StepName.READINGS,
    "as_built": StepName.AS_BUILT,
    "flood_test": StepName.AS_BUILT,
}


def step_of(key: str) -> StepName:
    """The step that a job's entry belongs to; the bed's where none claims it."""
    return _OF_KEYS.get(re.split(r"\W", key, maxsplit=1)[0], StepName.BED)
