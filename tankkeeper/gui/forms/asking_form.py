"""A form that asks once about what can be, but is unlike the usual, before it is kept."""

from __future__ import annotations

from tankkeeper.gui.forms.form import Form
from tankkeeper.reports.asking import ALL_THE_SAME


class AskingForm(Form):
    """Keeps what was asked about; its button has its own words again once something is typed."""

    def _begin(self, title: str, sentence: str, keep: str) -> None:
        super()._begin(title, sentence, keep)
        self._keep = keep
        self._asked_about = ""

    def asks_first(self, question: str) -> bool:
        """Ask, unless there is nothing to ask or just this was asked; tell whether it was asked."""
        if not question or question == self._asked_about:
            return False
        self.ask_about(question)
        self.primary.set_words(ALL_THE_SAME)
        return True

    def ask_about(self, question: str) -> None:
        """Ask what a field of the form answers, or what the button confirms."""
        self._asked_about = question
        self.ask(question)

    def forget_question(self) -> None:
        """Ask anew: something else was typed or chosen since."""
        if self._asked_about:
            self._asked_about = ""
            self.ask("")
        self.name_button()

    def name_button(self) -> None:
        """Name the button as it is without a question."""
        self.primary.set_words(self._keep)
