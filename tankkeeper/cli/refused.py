"""A refusal that is worded already; a module of its own, because the window starts without more."""

from __future__ import annotations

from tankkeeper.core.errors import TankkeeperError


class Refused(Exception):
    """A refusal in the words of a household: its days, its zone, its decimal sign."""

    def __init__(self, sentence: str, fault: TankkeeperError) -> None:
        super().__init__(sentence)
        self.sentence = sentence
        self.fault = fault
