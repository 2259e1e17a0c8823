"""How much floor each of several drains serves, in words."""

from ..bed.catchments import catchments
from ..phrases import phrase
from ..plan import Plan
from ..quantities import Units, format_area, format_share


def planned_catchments(plan: Plan) -> tuple[float, ...]:
    """The planned bed's catchments (d,) [mm2]; none with one drain, or no bed yet."""
    return catchments(plan.bed) if plan.bed else ()


def built_catchments(plan: Plan) -> tuple[float, ...]:
    """The finished bed's, likewise; none before it was read."""
    built = plan.as_built
    if not built or len(built.surface.bed.reach.flanges) < 2:
        return ()
    return tuple(built.surface.catchment_areas.tolist())


def share_words(area: float, areas: tuple[float, ...], units: Units) -> str:
    """A drain's catchment of all [mm2]: "9.66 sq ft, 41.5 % of the floor"."""
    share = format_share(area / sum(areas), units)
    return phrase("{area}, {share} of the floor", area=format_area(area, units), share=share)
