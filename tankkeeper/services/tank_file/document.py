"""The text of a tank file as plain tables, within the limits for text from elsewhere."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping

from tankkeeper.core.errors import UserFault
from tankkeeper.core.values import dataclass
from tankkeeper.services.tank_file.problems import Problem

# A household's log grows by some 200 kB a tank and year, so the text may be far longer than any
# household needs to be described; depth is what can hurt a parser.
LARGEST_TEXT = 64 * 1024 * 1024
DEEPEST = 8
MOST_CHORES = 2000

_BASIC = r'"(?:[^"\\\n]|\\.)*+"?+'
_LITERAL = r"'[^'\n]*+'?+"
_ATOM = rf"(?:[A-Za-z0-9_-]++|{_BASIC}|{_LITERAL})"
# Every alternative consumes what it looks at, also text left open, so the scan stays linear.
_MARKS = re.compile(
    r'"""(?:[^"\\]|\\.|"(?!""))*+(?:"{3,5}+|\Z)'
    r"|'''(?:[^']|'(?!''))*+(?:'{3,5}+|\Z)"
    r"|#[^\n]*+"
    r"|(?P<open>[\[{])"
    r"|(?P<close>[\]}])"
    rf"|(?P<long>(?:{_ATOM}[ \t]*+\.[ \t]*+){{{DEEPEST}}})"
    rf"|{_ATOM}",
    re.DOTALL,
)
_AT_LINE = re.compile(r"\(at line (\d+), column (\d+)\)")
_DOUBLED = ("Cannot overwrite", "Cannot declare", "Cannot mutate", "Cannot redefine", "Duplicate")


@dataclass(frozen=True, slots=True)
class Document:
    """A text with its tables; taking it apart is a good part of the work of a long one."""

    text: str
    tables: Mapping[str, object]

    @classmethod
    def of(cls, text: str | Document) -> Document:
        """Return the text taken apart, if it is not yet; it is refused as `parse` does."""
        return text if isinstance(text, Document) else cls(text, parse(text))

    @property
    def only_tank(self) -> str | None:
        """The name of its tank where it holds no other, as it stands there."""
        tanks = self._tanks
        name = tanks[0].get("name") if len(tanks) == 1 else None
        return name if isinstance(name, str) else None

    def with_tank_called(self, name: str) -> Document:
        """Return the same with its one tank, and all that names it, by another name."""
        tanks = self._tanks
        if len(tanks) != 1:
            raise UserFault("not_one_tank", count=len(tanks))
        before = tanks[0].get("name")
        tables = {key: _of_tank(it, before, name) for key, it in self.tables.items()}
        return Document(self.text, tables | {"tanks": [{**tanks[0], "name": name}]})

    @property
    def _tanks(self) -> list[Mapping[str, object]]:
        """What stands in it as tanks; none where something among them is no table."""
        tanks = self.tables.get("tanks")
        found = tanks if isinstance(tanks, list) else []
        return found if all(isinstance(one, dict) for one in found) else []

    def without_log(self) -> Document:
        """Return the same without what was done, where only the household matters."""
        return Document(self.text, {key: it for key, it in self.tables.items() if key != "log"})


def _of_tank(rows: object, before: object, name: str) -> object:
    """Return rows with the new name of a tank in those that name it."""
    if not isinstance(rows, list):
        return rows
    return [
        {**row, "tank": name} if isinstance(row, dict) and row.get("tank") == before else row
        for row in rows
    ]


def parse(text: str) -> dict[str, object]:
    """Return the tables of `text`, or refuse it with the line at fault."""
    text = text.removeprefix("\ufeff")
    if len(text) > LARGEST_TEXT:
        raise _refused(None, "too_large", longest=LARGEST_TEXT)
    _refuse_half_characters(text)
    _refuse_depth(text)
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as wrong:
        raise _unreadable(text, str(wrong)) from wrong
    except (ValueError, RecursionError) as wrong:
        # An integer of thousands of digits, or nesting that the scan did not see.
        raise _refused(None, "not_toml", detail=str(wrong)[:200]) from wrong


def _refuse_half_characters(text: str) -> None:
    """Refuse lone surrogates: no file in UTF-8 holds them and no database stores them."""
    try:
        text.encode("utf-8")
    except UnicodeEncodeError as wrong:
        line = text.count("\n", 0, wrong.start) + 1
        raise _refused(line, "bad_character", character="lone surrogate") from wrong


def _refuse_depth(text: str) -> None:
    """Refuse nesting and dotted keys deeper than the limit, before a parser meets them."""
    depth = 0
    for mark in _MARKS.finditer(text):
        kind = mark.lastgroup
        if kind == "open":
            depth += 1
        elif kind == "close":
            depth -= 1
        if depth > DEEPEST or kind == "long":
            line = text.count("\n", 0, mark.start()) + 1
            raise _refused(line, "too_deep", deepest=DEEPEST)


def _unreadable(text: str, message: str) -> UserFault:
    """Return the fault for what the parser says; a doubled key is told from bad spelling."""
    found = _AT_LINE.search(message)
    line = int(found[1]) if found else text.count("\n") + 1
    code = "doubled_key" if message.startswith(_DOUBLED) else "not_toml"
    return _refused(line, code, detail=message.partition(" (at ")[0][:200])


def _refused(line: int | None, code: str, **values: object) -> UserFault:
    return UserFault("import_problems", problems=(Problem(line, "", code, dict(values)),))
