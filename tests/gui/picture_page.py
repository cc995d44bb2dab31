"""Gathers all baselines on one page: `python -m tests.gui.picture_page` writes it anew."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

BASELINES = Path(__file__).resolve().parent / "pictures"
PAGE = BASELINES / "README.md"
_LOOKS = ("light", "dark")
_HEAD = """\
# Every screen in every state

Drawn by `python -m tests.gui.pictures` and `tests.gui.calendar_pictures`, gathered by
`python -m tests.gui.picture_page`; the test run compares each with what the program draws. All
households, people and numbers are invented. Left light and right dark where there are both.
"""


def page(files: Iterable[Path]) -> str:
    """Return the page with these pictures, those that differ in their colours side by side."""
    rows: dict[tuple[str, str], list[Path]] = {}
    for file in sorted(files):
        state, _, look = file.stem.rpartition("-")
        title = state if look in _LOOKS else file.stem
        rows.setdefault((file.relative_to(BASELINES).parent.as_posix(), title), []).append(file)
    parts = [_HEAD]
    for (_, title), shown in rows.items():
        # "light" before "dark", in which the names would not stand by themselves.
        shown.sort(key=lambda file: file.stem.endswith("dark"))
        wide = "49%" if len(shown) > 1 else "60%"
        pictures = "\n".join(
            f'<img src="{file.relative_to(BASELINES).as_posix()}" alt="{file.stem}" width="{wide}">'
            for file in shown
        )
        parts.append(f"## {title.replace('-', ' ')}\n\n{pictures}\n")
    return "\n".join(parts)


def baselines() -> list[Path]:
    """Return the files of all pictures."""
    return sorted(BASELINES.rglob("*.png"))


if __name__ == "__main__":
    PAGE.write_text(page(baselines()), encoding="utf-8")
