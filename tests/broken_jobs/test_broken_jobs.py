"""One job file a fault; the words it has to be refused with stand beside it, in a file of the same name."""

import contextlib
from pathlib import Path

import pytest

from engine.errors import FileError, JobError
from engine.job.model import Job
from engine.job.toml_file import parse_job, read_job

HERE = Path(__file__).parent
FAULTS = sorted(path.stem for path in HERE.glob("*.toml"))


def refusal(path: Path) -> str:
    with pytest.raises((JobError, FileError)) as caught:
        read_job(path)
    return str(caught.value)


@pytest.mark.parametrize("fault", FAULTS)
def test_is_refused_in_one_line_that_names_file_key_value_fault_and_remedy(fault, monkeypatch):
    monkeypatch.chdir(HERE)
    expected = (HERE / f"{fault}.txt").read_text(encoding="utf-8").rstrip("\n")
    message = refusal(Path(f"{fault}.toml"))
    assert message == expected
    assert message.startswith(f"{fault}.toml: ")
    assert all(c.isprintable() for c in message)
    assert len(message) < 320


def test_every_refusal_has_its_file():
    assert sorted(path.stem for path in HERE.glob("*.txt")) == FAULTS
    assert len(FAULTS) > 100


def test_a_draft_of_each_is_read_or_refused_in_words():
    for fault in FAULTS:
        if fault not in ("binary", "latin-1", "utf-16"):
            text = (HERE / f"{fault}.toml").read_text(encoding="utf-8")
            with contextlib.suppress(JobError, FileError):
                assert isinstance(parse_job(text, draft=True), Job), fault
