"""What beds are held to, and what they tell of their falls."""

from abc import ABC, abstractmethod

from ..records import record
from ..survey.spot import Spot


@record
class Terms:
    """What a bed is held to: the fall [-], and what wall heights are rounded up to [mm].

    square: fall is measured square to walls, as in some codes; heads: each drain's height over the first [mm];
    most_fall: the rulebook's [-], if any.
    """

    fall: float
    mark_step: float
    square: bool
    heads: tuple[float, ...] = (0.0,)
    most_fall: float | None = None


class _Falls(ABC):
    """Any bed: falls are judged over runs from a flange's edge to a wall or ridge."""

    @property
    @abstractmethod
    def longest(self) -> Spot:
        """The longest run [mm], with its place on a wall or ridge."""

    @property
    def longest_run(self) -> float:
        return self.longest.value


class OneFall(_Falls):
    """A bed that falls alike along every way: at a wall it stands the fall times the way high."""

    fall: float
    has_level_walls = False

    @property
    @abstractmethod
    def farthest(self) -> Spot:
        """The longest way along the walls [mm], with its place; as it counts by its drain's height."""

    @property
    def longest(self) -> Spot:
        """The longest way from a wall to its own drain [mm], with its place."""
        return self.farthest

    @property
    def wall_height(self) -> float:
        """The bed's height at the farthest place [mm]."""
        return self.fall * self.farthest.value

    @property
    def least_fall(self) -> float:
        """The fall [-]; no slope of the surface is over it."""
        return self.fall

    @property
    def least_fall_at(self) -> Spot:
        """The fall [-], with the farthest place."""
        return Spot(self.fall, self.farthest.x, self.farthest.y)

    most_fall = steepest = least_fall
    most_fall_at = least_fall_at


class ManyFalls(_Falls):
    """A bed whose fall differs from place to place, with walls all one height."""

    has_level_walls = True

    @property
    @abstractmethod
    def least_fall_at(self) -> Spot:
        """The least fall [-], with its place."""

    @property
    @abstractmethod
    def most_fall_at(self) -> Spot:
        """The most fall [-], with its place."""

    @property
    def least_fall(self) -> float:
        """The least fall [-]."""
        return self.least_fall_at.value

    @property
    def most_fall(self) -> float:
        """The most fall [-]."""
        return self.most_fall_at.value
