"""The steps by name, in walking order."""

from tui.steps.as_built import AsBuiltStep
from tui.steps.bed import BedStep
from tui.steps.drain import DrainStep
from tui.steps.floor import FloorStep
from tui.steps.outline import OutlineStep
from tui.steps.readings import ReadingsStep
from tui.steps.results import ResultsStep
from tui.steps.step import Step

_STEPS: tuple[type[Step], ...] = (FloorStep, OutlineStep, DrainStep, ReadingsStep, BedStep, ResultsStep, AsBuiltStep)
STEP_CLASSES = {step.NAME: step for step in _STEPS}
