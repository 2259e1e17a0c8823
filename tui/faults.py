"""What is wrong with an entry or a file, in words that can be told in any tongue."""

from engine.errors import FallmarkError, FileError, JobError, QuantityError, harmless, shown
from engine.phrases import phrase, shaped


def fault_words(error: JobError | QuantityError) -> str:
    """What is wrong and what helps, without the key path that only a file needs."""
    return shaped(phrase("{fault}; {remedy}", fault=error.fault, remedy=error.remedy), harmless)


def error_words(error: FallmarkError) -> str:
    """The whole of an error, with the file or entry it is about."""
    if isinstance(error, FileError):
        about = harmless(error.path)
    elif isinstance(error, JobError):
        about = f"{error.key} = {shown(error.value)}"
    else:
        return str(error)
    return phrase("{about}: {fault}; {remedy}", about=about, fault=error.fault, remedy=error.remedy)
