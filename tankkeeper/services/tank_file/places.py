"""The lines on which the keys of a TOML text stand; asked for only when something is wrong."""

from __future__ import annotations

import re
import tomllib
from bisect import bisect_right
from typing import NamedTuple

from tankkeeper.services.tank_file.problems import Path

_TOKEN = re.compile(
    r'(?P<text>"""(?:[^"\\]|\\.|"(?!""))*+"{3,5}+'
    r"|'''(?:[^']|'(?!''))*+'{3,5}+"
    r'|"(?:[^"\\\n]|\\.)*+"'
    r"|'[^'\n]*+')"
    r"|(?P<comment>#[^\n]*+)"
    r"|(?P<newline>\n)"
    r"|(?P<sign>[\[\]{}=,.])"
    r"|(?P<bare>[^\s\[\]{}=,.#\"']++)",
    re.DOTALL,
)


class _Token(NamedTuple):
    kind: str
    text: str
    at: int


class Places:
    """Where each key stands in a text that a TOML parser has accepted."""

    def __init__(self, text: str) -> None:
        self._breaks = [found.start() for found in re.finditer("\n", text)]
        self._tokens = [
            _Token(found.lastgroup or "", found[0], found.start())
            for found in _TOKEN.finditer(text)
            if found.lastgroup != "comment"
        ]
        self._tokens.append(_Token("end", "", len(text)))
        self._next = 0
        self._rows: dict[Path, int] = {}
        self._found: dict[Path, int] = {}
        self._read_all()

    def line_of(self, path: Path) -> int | None:
        """Return the line of the key, or of the nearest table around it; None for the file."""
        while path:
            if path in self._found:
                return bisect_right(self._breaks, self._found[path] - 1) + 1
            path = path[:-1]
        return None

    def _take(self) -> _Token:
        token = self._tokens[self._next]
        if token.kind != "end":
            self._next += 1
        return token

    def _peek(self) -> _Token:
        return self._tokens[self._next]

    def _read_all(self) -> None:
        table: Path = ()
        while self._peek().kind != "end":
            token = self._peek()
            if token.kind == "newline":
                self._take()
            elif token.text == "[" and token.kind == "sign":
                table = self._read_header()
            else:
                self._read_pair(table)

    def _read_header(self) -> Path:
        """Read a table's head and return the path of what follows it."""
        at = self._take().at
        is_row = self._peek().text == "[" and self._peek().kind == "sign"
        if is_row:
            self._take()
        keys = self._read_keys("]")
        if is_row:
            self._take()
        *around, last = keys
        path = (*self._newest(around), last)
        if is_row:
            row = self._rows.get(path, 0)
            self._rows[path] = row + 1
            self._found.setdefault(path, at)
            path = (*path, row)
        else:
            path = self._newest(keys)
        self._found[path] = at
        return path

    def _newest(self, keys: list[str]) -> Path:
        """Return the path of a table, the newest row where a key names rows."""
        path: Path = ()
        for key in keys:
            path = (*path, key)
            if path in self._rows:
                path = (*path, self._rows[path] - 1)
        return path

    def _read_keys(self, stop: str) -> list[str]:
        """Read a dotted key up to the sign that ends it."""
        keys: list[str] = []
        while (token := self._take()).kind != "end":
            if token.kind == "sign" and token.text == stop:
                break
            if token.kind in {"text", "bare"}:
                keys.append(_bare_key(token))
        return keys or [""]

    def _read_pair(self, table: Path) -> None:
        at = self._peek().at
        keys = self._read_keys("=")
        for length in range(1, len(keys) + 1):
            self._found.setdefault((*table, *keys[:length]), at)
        self._read_value((*table, *keys))

    def _read_value(self, path: Path) -> None:
        """Pass over a value, writing down what lies in lists and inline tables."""
        token = self._peek()
        if token.kind == "sign" and token.text == "[":
            self._read_list(path)
        elif token.kind == "sign" and token.text == "{":
            self._read_inline(path)
        else:
            while not self._ends_value(self._peek()):
                self._take()

    @staticmethod
    def _ends_value(token: _Token) -> bool:
        ends = token.kind == "sign" and token.text in {",", "]", "}"}
        return ends or token.kind in {"newline", "end"}

    def _read_list(self, path: Path) -> None:
        self._take()
        index = 0
        while (token := self._peek()).kind != "end":
            if token.kind == "newline":
                self._take()
            elif token.kind == "sign" and token.text in {"]", ","}:
                self._take()
                if token.text == "]":
                    return
                index += 1
            else:
                self._found[(*path, index)] = token.at
                self._read_value((*path, index))

    def _read_inline(self, path: Path) -> None:
        self._take()
        while (token := self._peek()).kind != "end":
            if token.kind == "sign" and token.text in {"}", ","}:
                self._take()
                if token.text == "}":
                    return
            elif token.kind == "newline":
                self._take()
            else:
                self._read_pair(path)


def _bare_key(token: _Token) -> str:
    """Return a key without its quotes."""
    if token.kind == "bare":
        return token.text
    return str(tomllib.loads(f"key = {token.text}")["key"])
