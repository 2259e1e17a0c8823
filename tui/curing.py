"""Remedies worked out beside the screen for the plan shown, dropped as soon as another is."""

from asyncio import to_thread

from engine.plan import Plan
from engine.remedies import Answer, Superseded, remedies


class Curing:
    """The answers to one plan's findings, once they are there."""

    def __init__(self) -> None:
        self._wanted: Plan | None = None  # read by the thread between one trial and the next
        self._plan: Plan | None = None
        self._answers: tuple[Answer, ...] = ()

    def answers(self, plan: Plan | None) -> tuple[Answer, ...]:
        """The answers to that very plan's findings; none while they are not there."""
        return self._answers if self.is_known(plan) else ()

    def is_known(self, plan: Plan | None) -> bool:
        """Whether that very plan's findings are answered."""
        return plan is not None and plan is self._plan

    def forget(self) -> None:
        """Stops the search for a plan that is no longer shown."""
        self._wanted = None

    async def find(self, plan: Plan) -> bool:
        """Looks for a plan's remedies in a thread; whether they are there and still wanted."""
        self._wanted = plan
        try:
            found = await to_thread(remedies, plan, lambda: self._wanted is plan)
        except Superseded:
            return False
        if self._wanted is not plan:
            return False
        self._plan, self._answers = plan, found
        return True
