"""What can go wrong with what a person entered, told in words.

FallmarkError
├── QuantityError   a text that is not the length, fall, angle ... it should be
├── JobError        an entry of a job that cannot be used: key path, value, fault, remedy
└── FileError       a job file that cannot be read or written
"""

_LONGEST_SHOWN = 60


def harmless(text: str) -> str:
    """A text as one line that a terminal only prints: control characters escaped."""
    return text if text.isprintable() else "".join(c if c.isprintable() else ascii(c)[1:-1] for c in text)


def shown(value: object) -> str:
    """A value as one harmless line: a flag as in the job file, long text cut."""
    plain = str(value).lower() if isinstance(value, bool) else str(value)
    text = harmless(repr(value) if isinstance(value, str) else plain)
    return text if len(text) <= _LONGEST_SHOWN else text[: _LONGEST_SHOWN - 1] + "…"


class FallmarkError(Exception):
    """The root: every error that is meant for people."""


class QuantityError(FallmarkError):
    """A text that cannot be read as the quantity asked for."""

    def __init__(self, fault: str, remedy: str) -> None:
        super().__init__(f"{fault}; {remedy}")
        self.fault = fault
        self.remedy = remedy


class JobError(FallmarkError):
    """An entry of a job that cannot be used."""

    def __init__(self, key: str, value: object, fault: str, remedy: str) -> None:
        super().__init__(f"{key} = {shown(value)}: {fault}; {remedy}")
        self.key = key
        self.value = value
        self.fault = fault
        self.remedy = remedy


class FileError(FallmarkError):
    """A job file that cannot be read or written."""

    def __init__(self, path: str, fault: str, remedy: str) -> None:
        super().__init__(f"{harmless(path)}: {fault}; {remedy}")
        self.path = path
        self.fault = fault
        self.remedy = remedy
