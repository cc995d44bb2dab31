"""Whether the program starts when the person logs in; off until somebody asks for it.

On Linux a desktop entry in the autostart folder (freedesktop.org, Desktop Application Autostart
Specification 0.5). On Windows a value of the Run key (Microsoft, "Run and RunOnce Registry Keys"),
on macOS a LaunchAgent (Apple, launchd.plist(5)): both written by those documents, and untested,
since nobody has run them on those systems.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path

from tankkeeper.core.errors import Surroundings

NAME = "tankkeeper"
_RUN_KEY = r"Software\Microsoft\Windows\CurrentVersion\Run"
# "The data value for a key is a command line no longer than 260 characters", says that page.
LONGEST_RUN_VALUE = 260
_LABEL = "tankkeeper.autostart"
# What must be quoted in an Exec line, and what is escaped inside the quotes (Desktop Entry
# Specification 1.5, "The Exec key").
_PLAIN = frozenset("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_./+:=@,")
_ESCAPED = frozenset('"`$\\')


def own_command(household: Path | None = None) -> list[str]:
    """Return the command that starts this program on a household, as it was started itself."""
    is_frozen = bool(getattr(sys, "frozen", False))
    command = [sys.executable] if is_frozen else [sys.executable, "-m", NAME]
    return command if household is None else [*command, "--household", str(household)]


def login_command(household: Path | None = None) -> list[str]:
    """Return the command for the login: the window stands back, since nobody asked for it."""
    return [*own_command(household), "--at-login"]


def set_autostart(wanted: bool, command: Sequence[str]) -> None:
    """Have this command run when the person logs in, or no longer."""
    try:
        if sys.platform == "win32":
            _set_run_key(wanted, command)
        elif sys.platform == "darwin":
            _keep(launch_agent_file(), launch_agent(command) if wanted else None)
        else:
            _keep(desktop_entry_file(), desktop_entry(command).encode() if wanted else None)
    except OSError as failure:
        raise Surroundings("autostart_failed", why=failure.strerror or str(failure)) from failure


def desktop_entry_file() -> Path:
    """Return the file that starts the program at login on Linux; it need not exist."""
    configured = os.environ.get("XDG_CONFIG_HOME", "")
    folder = Path(configured) if Path(configured).is_absolute() else Path.home() / ".config"
    return folder / "autostart" / f"{NAME}.desktop"


def desktop_entry(command: Sequence[str]) -> str:
    """Return the text of that file.

    >>> desktop_entry(["run me", "50%"]).splitlines()[3]
    'Exec="run me" "50%%"'
    """
    words = " ".join(_quoted(word) for word in command)
    lines = (
        "[Desktop Entry]",
        "Type=Application",
        f"Name={NAME}",
        f"Exec={words}",
        f"Icon={NAME}",
        "Terminal=false",
    )
    return "\n".join((*lines, ""))


def _quoted(word: str) -> str:
    if word and set(word) <= _PLAIN:
        return word
    inner = "".join(f"\\{sign}" if sign in _ESCAPED else sign for sign in word)
    # The file itself takes a backslash for an escape once more, and a text ends with its line; a
    # percent sign stands for itself only when doubled.
    kept = inner.replace("\\", "\\\\").replace("%", "%%")
    for sign, escape in (("\n", "\\n"), ("\r", "\\r"), ("\t", "\\t")):
        kept = kept.replace(sign, escape)
    return f'"{kept}"'


def launch_agent_file() -> Path:
    """Return the file that starts the program at login on macOS; untested."""
    return Path.home() / "Library" / "LaunchAgents" / f"{_LABEL}.plist"


def launch_agent(command: Sequence[str]) -> bytes:
    """Return the content of that file."""
    import plistlib

    return plistlib.dumps(
        {"Label": _LABEL, "ProgramArguments": list(command), "RunAtLoad": True}, sort_keys=True
    )


def run_value(command: Sequence[str]) -> str:
    """Return the value of the Run key, or refuse a command that is too long for it."""
    import subprocess

    text = subprocess.list2cmdline(command)
    if len(text) > LONGEST_RUN_VALUE:
        why = f"Windows starts no command of more than {LONGEST_RUN_VALUE} characters at login"
        raise Surroundings("autostart_failed", why=why)
    return text


def _keep(file: Path, content: bytes | None) -> None:
    if content is None:
        file.unlink(missing_ok=True)
        return
    file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    part = file.with_name(f"{file.name}.part")
    part.write_bytes(content)
    part.replace(file)


def _set_run_key(wanted: bool, command: Sequence[str]) -> None:
    """Write the value of the Run key or take it away; untested."""
    from importlib import import_module

    registry = import_module("winreg")
    text = run_value(command) if wanted else ""
    with registry.OpenKey(registry.HKEY_CURRENT_USER, _RUN_KEY, 0, registry.KEY_SET_VALUE) as key:
        if wanted:
            registry.SetValueEx(key, NAME, 0, registry.REG_SZ, text)
            return
        with suppress(FileNotFoundError):
            registry.DeleteValue(key, NAME)
