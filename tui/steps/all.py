"""The steps by name, in walking order."""

from __future__ import annotations

from tui.step_names import StepName
from tui.steps.as_built import AsBuiltStep
from tui.steps.bed import BedStep
from tui.steps.drain import DrainStep
from tui.steps.floor import FloorStep
from tui.steps.outline import OutlineStep
from tui.steps.readings import ReadingsStep
from tui.steps.results import ResultsStep
from tui.steps.step import Step

STEP_CLASSES: dict[StepName, type[Step]] = {
    StepName.FLOOR: FloorStep,
    StepName.OUTLINE: OutlineStep,
    StepName.DRAIN: DrainStep,
    StepName.READINGS: ReadingsStep,
    StepName.BED: BedStep,
    StepName.RESULTS: ResultsStep,
    StepName.AS_BUILT: AsBuiltStep,
}
