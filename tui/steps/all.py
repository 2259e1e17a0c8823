"""The steps by name, in walking order."""

from .as_built import AsBuiltStep
from .bed import BedStep
from .drain import DrainStep
from .floor import FloorStep
from .outline import OutlineStep
from .readings import ReadingsStep
from .results import ResultsStep
from .step import Step

_STEPS: tuple[type[Step], ...] = (FloorStep, OutlineStep, DrainStep, ReadingsStep, BedStep, ResultsStep, AsBuiltStep)
STEP_CLASSES = {step.NAME: step for step in _STEPS}
