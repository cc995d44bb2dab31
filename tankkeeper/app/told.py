"""What reminders were told of each household, so that a second start does not tell them again."""

from __future__ import annotations

import hashlib
import json
import logging
import os
from datetime import datetime
from pathlib import Path

from tankkeeper.app.paths import config_dir
from tankkeeper.services.reminders import Told

_log = logging.getLogger(__name__)


def told_file() -> Path:
    """Return the file of all this; it need not exist."""
    return config_dir() / "reminded.json"


class ToldMemory:
    """Reads and writes the file; what cannot be read there is told once more."""

    def __init__(self, path: Path) -> None:
        self._path = path

    def told(self, where: str) -> Told:
        """Return what was told of a household, by key."""
        found = self._all().get(_group(where))
        if not isinstance(found, dict):
            return {}
        told = {}
        for key, text in found.items():
            try:
                at = datetime.fromisoformat(str(text))
            except ValueError:
                continue
            if at.utcoffset() is not None:
                told[str(key)] = at
        return told

    def keep(self, where: str, told: Told) -> None:
        """Keep what was told of a household; where that fails it is told again another time."""
        everything = self._all()
        everything[_group(where)] = {key: at.isoformat() for key, at in told.items()}
        part = self._path.with_name(f"{self._path.name}.part")
        try:
            self._path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            part.write_text(json.dumps(everything, indent=1), encoding="utf-8")
            part.replace(self._path)
        except OSError as failure:
            _log.warning("what was reminded of could not be kept", exc_info=failure)

    def _all(self) -> dict[str, object]:
        try:
            found = json.loads(self._path.read_text(encoding="utf-8"))
        except (OSError, ValueError, RecursionError):
            return {}
        return found if isinstance(found, dict) else {}


def _group(where: str) -> str:
    return hashlib.sha256(os.path.realpath(where).encode()).hexdigest()[:16]
