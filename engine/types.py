"""Names for the arrays that stages pass, floats in [mm] and indices; naming them loads nothing."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, TypeAlias

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

Array: TypeAlias = "NDArray[np.float64]"
Index: TypeAlias = "NDArray[np.intp]"
Mask: TypeAlias = "NDArray[np.bool_]"
Shape: TypeAlias = Any  # a shapely geometry: shapely ships no types
