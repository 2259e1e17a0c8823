"""What the open and save dialogs share: a path being typed, and its folder's files."""

import re
from pathlib import Path

from engine.phrases import phrase
from engine.records import record

_MOST_SHOWN = 200


@record
class Listing:
    """The files and folders that begin with what is typed; `fault`: the folder is unreadable."""

    names: tuple[str, ...]
    fault: str = ""


def listing(typed: str, ending: str) -> Listing:
    """What lies in a typed path's folder: folders, ending in a slash, and files in that ending."""
    path = Path(typed).expanduser()
    folder, start = (path, "") if not typed or typed.endswith(("/", "\\")) else (path.parent, path.name)
    shown = typed[: len(typed) - len(start)]
    try:
        entries = sorted(folder.iterdir(), key=lambda entry: entry.name.lower())
    except OSError as error:
        return Listing((), phrase("{folder}: cannot be read ({why})", folder=folder, why=error.strerror))
    fitting = [e for e in entries if e.name.lower().startswith(start.lower()) and not e.name.startswith(".")]
    files = [f"{shown}{e.name}" for e in fitting if e.suffix == ending]
    folders = [f"{shown}{e.name}/" for e in fitting if e.suffix != ending and _is_folder(e)]
    return Listing(tuple((files + folders)[:_MOST_SHOWN]))


def _is_folder(path: Path) -> bool:
    try:
        return path.is_dir()
    except OSError:
        return False


def file_name(job_name: str, ending: str = ".toml") -> str:
    """A file's name from a job's: "Ferry Street, flat 2" gives "ferry-street-flat-2.toml"."""
    words = re.findall(r"[^\W_]+", job_name.lower())
    return ("-".join(words)[:60].rstrip("-") if words else "shower-floor") + ending


def with_suffix(typed: str, ending: str = ".toml") -> Path:
    """The path as typed, with that ending where it has none."""
    path = Path(typed.strip()).expanduser()
    return path if path.suffix else path.with_name(path.name + ending)
