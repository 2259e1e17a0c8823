"""Plans a sloped mortar bed for a tiled shower floor: read_job, plan, write_job."""

from __future__ import annotations

import sys
from importlib import import_module
from types import ModuleType
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from .errors import JobError
    from .job.model import Job
    from .job.toml_file import read_job, write_job
    from .plan import Plan, plan

__all__ = ["Job", "JobError", "Plan", "plan", "read_job", "write_job"]

__version__ = "0.1.0"

_HOMES = {
    "Job": "engine.job.model",
    "JobError": "engine.errors",
    "Plan": "engine.plan",
    "plan": "engine.plan",
    "read_job": "engine.job.toml_file",
    "write_job": "engine.job.toml_file",
}


def __getattr__(name: str) -> Any:
    """Loads a public name on first use: importing the engine alone stays cheap."""
    if name not in _HOMES:
        raise AttributeError(f"module 'engine' has no attribute {name!r}")
    return getattr(import_module(_HOMES[name]), name)


class _Face(ModuleType):
    """The package, whose `plan` stays the function also once its module of that name has been imported."""

    def __setattr__(self, name: str, value: Any) -> None:
        if name == "plan" and isinstance(value, ModuleType):
            value = value.plan
        super().__setattr__(name, value)


sys.modules[__name__].__class__ = _Face
