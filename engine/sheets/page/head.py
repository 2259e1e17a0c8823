"""A page's opening: whose plan it is, what was found, its sources' numbers."""

from ... import __version__
from ...limits.findings import Finding, Level
from ...plan import Plan
from ...quantities import Units
from ...records import record
from ...remedies import Answer, remedies
from ..digest import digest
from ..remedy_words import LEVEL_WORDS, MOST_WAYS, place_of, remedy_words

PAPERS = Units.pair("letter", "A4")


class Sources:
    """The sources a page has named so far, in order."""

    def __init__(self) -> None:
        self._numbers: dict[str, int] = {}

    def number(self, source: str) -> int:
        """A source's number, from 1; 0 for none."""
        return self._numbers.setdefault(source, len(self._numbers) + 1) if source else 0

    @property
    def told(self) -> list[tuple[int, str]]:
        """Every source named, with its number."""
        return [(number, source) for source, number in self._numbers.items()]


@record
class Head:
    """Whose plan it is, in words; start: the day the work begins, "" for none."""

    name: str
    notes: tuple[str, ...]
    rulebook: str
    start: str
    digest: str
    version: str
    paper: str
    units: str


@record
class Found:
    """A finding: its number on the page, level and place in words, source's number.

    ways: solved changes that clear it, lightest first; ruled_out: what cannot.
    """

    number: int
    level: str
    rule: str
    says: str
    where: str
    remedy: str
    ways: tuple[str, ...]
    ruled_out: tuple[str, ...]
    source: int


def head(plan: Plan) -> Head:
    """What stands at the page's head."""
    job, book = plan.job, plan.rulebook
    return Head(
        name=job.name or "(no name)",
        notes=tuple(line for line in job.notes.splitlines() if line.strip()),
        rulebook=f"{book.name.value} {book.edition}: {book.title} ({book.works})",
        start="" if job.start is None else job.start.isoformat(),
        digest=digest(plan),
        version=__version__,
        paper=PAPERS[job.units],
        units=job.units.value,
    )


def numbered(plan: Plan) -> list[tuple[int, Finding]]:
    """The findings as numbered: stops first, then cautions, then notes."""
    ordered = [finding for level in Level for finding in plan.findings if finding.level is level]
    return list(enumerate(ordered, start=1))


def findings(plan: Plan, sources: Sources) -> list[Found]:
    """The findings in words."""
    answers = {id(finding): answer for finding, answer in zip(plan.findings, remedies(plan), strict=True)}
    return [
        Found(
            number,
            LEVEL_WORDS[finding.level],
            finding.rule,
            finding.says,
            place_of(finding, plan),
            finding.remedy,
            _ways(finding, answers[id(finding)]),
            answers[id(finding)].ruled_out,
            sources.number(finding.source),
        )
        for number, finding in numbered(plan)
    ]


def _ways(finding: Finding, answer: Answer) -> tuple[str, ...]:
    found = [remedy_words(remedy) for remedy in answer.remedies]
    return tuple(words for words in found if words != finding.remedy)[:MOST_WAYS]
