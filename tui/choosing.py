"""The keys that choose the wizard's looks and tongue, both remembered for next time."""

from engine.errors import FileError
from engine.phrases import phrase

from .asking import AskingScreen
from .settings import THEME, TONGUE, remember
from .themes import THEME_WORDS, following
from .tongues import speak, spoken


class ChoosingScreen(AskingScreen):
    """A screen that can look otherwise and speak another tongue."""

    def tell(self, notice: str) -> None:
        """Shows a few words."""
        raise NotImplementedError

    def remark(self, notice: str) -> None:
        """Shows a few words and plans nothing."""
        raise NotImplementedError

    def action_theme(self) -> None:
        """The next theme, remembered for the next start."""
        self.app.theme = following(self.app.theme)
        self.remark(THEME_WORDS[self.app.theme])
        try:
            remember(THEME, self.app.theme)
        except FileError as error:
            self.tell(phrase("The theme is not remembered: {fault}", fault=error.fault))

    def action_tongue(self) -> None:
        """The next tongue, remembered likewise; what is in use and half typed stays."""
        speak(spoken().following)
        self.remark(phrase("Language: {language}", language=spoken().own_name))
        self.say_again()
        try:
            remember(TONGUE, spoken().value)
        except FileError as error:
            self.tell(phrase("The language is not remembered: {fault}", fault=error.fault))

    def say_again(self) -> None:
        """Paints everything in the tongue that is spoken."""
        for widget in self.query("*"):
            widget.notify_style_update()  # what is kept as painted speaks another tongue
            widget.refresh(layout=True)
