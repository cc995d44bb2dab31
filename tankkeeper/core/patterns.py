"""Regular expressions that are compiled when they are first used.

Most of them read what a person types, long after the start; compiling them all takes 5 ms of it.
"""

from __future__ import annotations

import re


class Pattern:
    """A regular expression; its methods are those of `re.Pattern`."""

    __slots__ = ("_compiled", "_flags", "_text")

    def __init__(self, text: str, flags: re.RegexFlag = re.NOFLAG) -> None:
        self._text, self._flags = text, flags
        self._compiled: re.Pattern[str] | None = None

    def _known(self) -> re.Pattern[str]:
        if self._compiled is None:
            self._compiled = re.compile(self._text, self._flags)
        return self._compiled

    def match(self, text: str) -> re.Match[str] | None:
        """Return what fits at the beginning of a text."""
        return self._known().match(text)

    def fullmatch(self, text: str) -> re.Match[str] | None:
        """Return the fit of the whole text."""
        return self._known().fullmatch(text)

    def search(self, text: str) -> re.Match[str] | None:
        """Return what fits first anywhere in a text."""
        return self._known().search(text)

    def sub(self, new: str, text: str, count: int = 0) -> str:
        """Return the text with what fits replaced."""
        return self._known().sub(new, text, count=count)
