"""The page of a plan in a file, for the command that prints."""

from pathlib import Path

from engine.errors import FileError
from engine.phrases import phrase
from engine.plan import Plan
from engine.saving import replace_file

from .planned import own_faults


def refuse_place(page: str, job: str) -> None:
    """Raises FileError where a page cannot stand: on its job, or where no file is named."""
    if not page or page == "-":
        raise FileError(
            page or "--html", phrase("no file is named for the page"), phrase("name one, such as plan.html")
        )
    if _is_same(page, job):
        raise FileError(
            page, phrase("this is the job itself, which the page would replace"), phrase("name another file")
        )


def _is_same(page: str, job: str) -> bool:
    try:
        return Path(page).samefile(job)
    except (OSError, ValueError):  # one is not there: nothing can be lost
        return False


def write_page(plan: Plan, page: str) -> None:
    """Writes the plan's page as a job is saved: in one step, the old file whole until then.

    Raises FileError, or FallmarkError where it cannot be made.
    """
    from engine.sheets.page.page import plan_page  # templates are loaded only for a page

    with own_faults(page):
        made = plan_page(plan).encode("utf-8")
    replace_file(page, made)
