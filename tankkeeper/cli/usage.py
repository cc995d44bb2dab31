"""What is told about wrong usage: the usage of the one command, and what was likely meant."""

from __future__ import annotations

import argparse
from collections.abc import Iterable, Sequence
from typing import Any, NoReturn

# Other words for an option, where they are not spelt alike.
_MEANT = {
    "--amount": ("--litres", "--grams", "--add"),
    "--volume": ("--litres",),
    "--liters": ("--litres",),
    "--left-over": ("--left",),
    "--person": ("--by",),
    "--who": ("--by",),
    "--user": ("--by",),
    "--when": ("--at",),
    "--date": ("--at", "--to", "--from"),
    "--day": ("--at", "--to", "--from"),
    "--time": ("--at",),
    "--since": ("--from",),
    "--until": ("--to",),
    "--comment": ("--note",),
    "--text": ("--note",),
    "--reason": ("--why", "--note"),
    "--proposed": ("--as-proposed",),
    "--reading": ("--value",),
    "--substance": ("--of",),
    "--supply": ("--of",),
    "--extra": ("--besides",),
    "--again": ("--besides",),
}
ALIKE = 0.6


class Parser(argparse.ArgumentParser):
    """A parser whose complaints name the command that was typed and the nearest word it knows."""

    before: tuple[str, ...] = ()
    """The options that stand before the command, for a parser of a command."""

    def parse_known_args(  # type: ignore[override]
        self, args: Sequence[str] | None = None, namespace: Any = None
    ) -> tuple[argparse.Namespace, list[str]]:
        """Refuse here what is not known, where the command's own usage is at hand."""
        if args is not None:
            # Before anything is missed: an option that was misspelt is what is missing.
            self._refuse_unknown(args)
        found, unknown = super().parse_known_args(args, namespace)
        if unknown:
            self.error(self._told(unknown))
        return found, unknown

    def _get_values(self, action: argparse.Action, arg_strings: list[str]) -> Any:
        """Take two dashes after an equals sign for a value; argparse loses it and finds nothing."""
        if action.option_strings and action.nargs is None and arg_strings == ["--"]:
            return self._get_value(action, "--")
        return super()._get_values(action, arg_strings)

    def _refuse_unknown(self, args: Sequence[str]) -> None:
        rest = list(args)
        while rest and rest[0] != "--":
            word = rest.pop(0)
            name, sign, _ = word.partition("=")
            if not word.startswith("--") or " " in word:
                if self._subparsers is not None:
                    # What follows belongs to the command.
                    return
                continue
            action = self._option_string_actions.get(name)
            if action is None:
                self.error(self._told([word]))
            if action.nargs is None and not sign:
                del rest[:1]

    def _told(self, unknown: Sequence[str]) -> str:
        option = next((one.partition("=")[0] for one in unknown if one.startswith("-")), None)
        if option is None:
            return f"there is no place for: {' '.join(map(_shown, unknown))}"
        if option in self.before:
            return f"{option} stands before the command"
        nearest = _nearest_option(option, self._option_string_actions)
        meant = f". Did you mean {nearest}?" if nearest else ""
        return f"there is no option {_shown(option)}{meant}"

    def _check_value(self, action: argparse.Action, value: Any) -> None:
        """Name the nearest command rather than all of them."""
        if action.choices is None or value in action.choices:
            return
        near = _nearest(str(value), list(action.choices))
        meant = f". Did you mean {near}?" if near else ""
        what = str(action.metavar or "word").lower()
        raise argparse.ArgumentError(None, f"there is no {what} {_shown(str(value))}{meant}")

    def error(self, message: str) -> NoReturn:
        """Tell the usage of this command and what is wrong, and leave with status 2."""
        from tankkeeper.reports.tables import clean

        super().error(clean(message))


def _shown(word: str) -> str:
    return word if len(word) <= 60 else f"{word[:59]}…"


def _nearest_option(typed: str, known: Iterable[str]) -> str | None:
    """Return the option that was likely meant, None where nothing is near."""
    options = {one[2:]: one for one in known if one.startswith("--") and one != "--help"}
    for meant in _MEANT.get(typed, ()):
        if meant in options.values():
            return meant
    near = _nearest(typed[2:], list(options))
    return None if near is None else options[near]


def _nearest(typed: str, known: Sequence[str]) -> str | None:
    # Only on wrong usage: the window starts without it.
    from difflib import get_close_matches

    near = get_close_matches(typed[:80], known, 1, ALIKE)
    return near[0] if near else None
