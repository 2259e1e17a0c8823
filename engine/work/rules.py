"""The figures that the work goes by, each with its source; filled in by whoever knows the rulebooks."""

from ..records import record, result

_GRAVITY = 9.80665  # [m/s2] standard, by which a pound-force is defined
_INCH = 25.4  # [mm]


@record
class Rule:
    """A figure, in the unit inside, and its source in words with how sure it is."""

    value: float
    source: str


@result
class Rules:
    """The figures by name: lengths [mm], loads [kPa], times [h], masses [kg], densities [kg/mm3], falls [-].

    None where neither the rulebook nor trade practice has one.
    """

    bed_load_an_inch: Rule
    water_load_an_inch: Rule
    dry_in_place: Rule
    cement_loose: Rule
    sand_loose: Rule
    cure_least: Rule
    warm_least: Rule
    flood_wait: Rule
    flood_wait_cold: Rule
    flood_time_least: Rule
    flood_time_most: Rule
    flood_head_most: Rule
    flood_fall_most: Rule
    pan_test_depth: Rule
    pan_test_time: Rule
    lath_sheet_width: Rule
    lath_sheet_length: Rule
    lath_lap: Rule
    lath_fastener_spacing: Rule
    cleavage_lap: Rule
    lining_over_threshold_upc: Rule
    lining_over_threshold_ipc: Rule
    wire_fabric_area: Rule
    out_of_flat_in_10_ft: Rule
    large_format_edge: Rule
    large_format_out_of_flat_in_10_ft: Rule
    large_format_out_of_flat_in_2_ft: Rule
    stiffness_ceramic: Rule
    stiffness_stone: Rule
    lift_most: Rule
    lining_over_curb: Rule | None = None
    curb_least: Rule | None = None
    curb_top_fall: Rule | None = None
    live_load: Rule | None = None
    outlet_least: Rule | None = None
    outlet_usual: Rule | None = None
    drain_depth_usual: Rule | None = None

    @property
    def mud_density(self) -> float:
        """The mass of deck mud in place [kg/mm3]."""
        return mass_under(self.bed_load_an_inch.value) / _INCH

    @property
    def water_density(self) -> float:
        """The mass of water [kg/mm3]."""
        return mass_under(self.water_load_an_inch.value) / _INCH


def mass_under(load: float) -> float:
    """The mass on an area [kg/mm2] that presses with a load [kPa]."""
    return load * 1e-3 / _GRAVITY


def load_of(mass: float, area: float) -> float:
    """The load [kPa] of a mass [kg] spread over an area [mm2]."""
    return mass * _GRAVITY / area * 1e3
