"""All the work on a floor, each part reckoned when first asked for."""

from functools import cached_property

from ..job.defaults import has_lath
from ..layout.stock import StockPlan
from ..layout.straightedges import Straightedges
from ..layout.strips import Strip
from ..quantities import Units
from ..records import result
from .alternatives import Way, ways
from .flood import FloodTest, flood_test
from .heights import Heights, heights
from .lath import Lath, lath
from .layers import Layer, layers
from .lining import BarrierSheet, Lining, barrier_sheet, lining
from .load import Load, load
from .mortar import Mortar, mortar
from .order import order
from .portions import Portions, portions
from .shopping import Purchase, shopping
from .site import Site
from .steps import Step


@result
class Work:
    """What is bought, mixed, laid and waited for on a planned floor.

    strips, stock, edges: what is cut; without them the shopping list leaves boards out.
    """

    site: Site
    strips: tuple[Strip, ...] = ()
    stock: StockPlan | None = None
    edges: Straightedges | None = None

    @property
    def units(self) -> Units:
        """The job's units."""
        return self.site.units

    @cached_property
    def heights(self) -> Heights:
        """Finished heights at walls, curb and drain."""
        return heights(self.site)

    @cached_property
    def lining(self) -> Lining:
        """The waterproof layer's height and size."""
        return lining(self.site, self.heights)

    @cached_property
    def barrier(self) -> BarrierSheet | None:
        """The moisture barrier, if any."""
        return barrier_sheet(self.site)

    @cached_property
    def lath(self) -> Lath | None:
        """The lath, if any."""
        return lath(self.site) if has_lath(self.site.job) else None

    @cached_property
    def needs_wire_fabric(self) -> bool:
        """Whether the upper bed is so large that it takes wire fabric."""
        return self.site.is_between and self.site.floor.area > self.site.rules.wire_fabric_area.value

    @cached_property
    def layers(self) -> tuple[Layer, ...]:
        """The layers from the rough floor up."""
        return layers(self)

    @cached_property
    def mortar(self) -> Mortar:
        """The deck mud."""
        return mortar(self.site)

    @cached_property
    def portions(self) -> Portions:
        """The portions, in the order they are packed."""
        return portions(self.site, self.mortar.batch / (1 + self.mortar.waste))

    @cached_property
    def flood(self) -> FloodTest:
        """The flood test."""
        return flood_test(self.site, self.heights)

    @cached_property
    def load(self) -> Load:
        """What it all weighs."""
        return load(self.site, self.flood)

    @cached_property
    def shopping(self) -> tuple[Purchase, ...]:
        """What is bought."""
        return shopping(self)

    @cached_property
    def order(self) -> tuple[Step, ...]:
        """What is done when, with waits and dates."""
        return order(self)

    @cached_property
    def ways(self) -> tuple[Way, ...]:
        """The mortar bed and other ways."""
        return ways(self)
