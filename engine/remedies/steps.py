"""The steps that remedies are rounded to: as fine as one builds by."""

from __future__ import annotations

from engine.quantities import FOOT, INCH, Units, format_fall, format_length

LENGTH_STEP = {Units.INCH: INCH / 16, Units.MM: 1.0}  # [mm]
FALL_STEP = {Units.INCH: INCH / 100 / FOOT, Units.MM: 5e-4}  # [-] 0.01 in/ft, 0.05 %
NOISE = 1e-6  # [mm] float noise that breaks no limit


def length_text(mm: float, units: Units) -> str:
    """A length [mm] that lies on a step, as the job file writes it."""
    return format_length(mm, units)


def fall_text(fall: float, units: Units) -> str:
    """A fall [-] that lies on a step, as the job file writes it."""
    return format_fall(fall, units)
