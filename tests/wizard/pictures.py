"""Pictures as the tests read them."""

from tui.widgets.ink import PictureLine


def plain_text(lines: list[PictureLine]) -> str:
    """The picture as bare text, line ends trimmed."""
    return "\n".join("".join(span.text for span in line).rstrip() for line in lines)
