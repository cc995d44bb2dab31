"""Where things of a person lie: as the library says that knows all systems."""

from __future__ import annotations

from pathlib import Path

import platformdirs
import pytest

from tankkeeper.app import paths

FOLDERS = {
    "data": (paths.data_dir, platformdirs.user_data_path),
    "config": (paths.config_dir, platformdirs.user_config_path),
    "cache": (paths.cache_dir, platformdirs.user_cache_path),
}


@pytest.mark.parametrize("kind", FOLDERS)
@pytest.mark.parametrize("said", ["/somewhere/else", None, "", "relative"])
def test_folders_are_those_of_the_system(
    kind: str, said: str | None, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """platformdirs 4 is the outside check: said by the environment, or usual below home."""
    ours, theirs = FOLDERS[kind]
    variable = f"XDG_{kind.upper()}_HOME"
    monkeypatch.setenv("HOME", str(tmp_path))
    if said is None:
        monkeypatch.delenv(variable)
    else:
        monkeypatch.setenv(variable, said)

    assert ours() == theirs("tankkeeper", appauthor=False)
