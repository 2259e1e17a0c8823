"""What a step makes its rows from: the session, the last good plan, and what stops a newer one."""

from collections.abc import Sequence
from dataclasses import replace

from engine.errors import JobError, QuantityError
from engine.job.defaults import default_dimension, default_text
from engine.job.model import Job
from engine.phrases import phrase
from engine.plan import Plan
from engine.quantities import Dimension, format_quantity, parse
from engine.records import result
from engine.survey.outline import FloorOutline

from .explanations import explanation
from .faults import fault_words
from .rows import ChoiceRow, Offer, Option, Row, TextRow, WordsRow
from .session import Session


@result
class View:
    """Read only: a step posts what the person does."""

    session: Session
    plan: Plan | None
    error: JobError | None

    @property
    def job(self) -> Job:
        """The job as far as it can be used."""
        return self.session.job

    @property
    def floor(self) -> FloorOutline | None:
        """The floor, once an outline bounds one."""
        outline = None if self.plan is None else self.plan.outline
        return outline or None

    def text_row(  # noqa: PLR0913 - a row has so many faces, each named where it is used
        self,
        key: str,
        dimension: Dimension | None = Dimension.LENGTH,
        *,
        label: str = "",
        offer: Offer | None = None,
        left_out: str = "",
        mark: str = "",
        echo: str = "",
        is_long: bool = False,
        grows: bool = False,
        has_lines: bool = False,
    ) -> TextRow:
        """A typed field as it stands; dimension None is text, of which `echo` says what was understood."""
        text, fault = self.session.text(key), self.session.fault(key)
        return TextRow(
            key,
            label or explanation(key).label,
            text,
            "" if fault else self._echo(text, dimension) if dimension else echo,
            fault,
            mark,
            offer,
            left_out or self._taken(key),
            is_long,
            grows,
            has_lines,
        )

    def choice_row(
        self,
        key: str,
        options: Sequence[tuple[str, str]],
        *,
        label: str = "",
        offer: Offer | None = None,
        left_out: str = "",
    ) -> ChoiceRow:
        """A field with a few choices as it stands."""
        return ChoiceRow(
            key,
            label or explanation(key).label,
            tuple(Option(text, words) for text, words in options),
            self.session.text(key),
            self.session.fault(key),
            offer=offer,
            left_out=left_out,
        )

    def with_error(self, rows: Sequence[Row]) -> list[Row]:
        """The rows, with what stops a newer plan at its field."""
        if self.error is None:
            return list(rows)
        key = self.error.key
        fields = [row for row in rows if not isinstance(row, WordsRow)]
        near = [row for row in fields if row.key.startswith(key) or key.startswith(row.key)]
        field = min(near, key=lambda row: row.key != key, default=None)
        if field is None or field.fault:
            return list(rows)
        told = replace(field, fault=fault_words(self.error))
        return [told if row is field else row for row in rows]

    def _taken(self, key: str) -> str:
        text, dimension = default_text(self.job, key), default_dimension(key)
        return text and format_quantity(parse(text, dimension, self.job.units), dimension, self.job.units)

    def _echo(self, text: str, dimension: Dimension) -> str:
        try:
            value = parse(text, dimension, self.job.units)
        except QuantityError:
            return ""
        return phrase("read as {figure}", figure=format_quantity(value, dimension, self.job.units))


def words(key: str, text: str) -> WordsRow:
    """A sentence between fields."""
    return WordsRow(key, text)


def heading(key: str, text: str) -> WordsRow:
    """A heading between fields."""
    return WordsRow(key, text, is_heading=True)
