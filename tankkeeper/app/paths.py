"""Where things lie: what travels with the program, and what belongs to the person using it.

The library that knows the folders of other systems loads only when one is asked for. Where window
and type stood last is asked before the window stands, so on Linux the few rules are kept here.
"""

import os
import sys
from pathlib import Path

import tankkeeper

_NAME = "tankkeeper"
_ON_LINUX = "linux" in sys.platform
_PACKAGE = Path(tankkeeper.__file__).resolve().parent


def resource(name: str) -> Path:
    """The file or folder of that name under `resources/`, such as `icons/round.svg`.

    >>> resource("icons").is_dir()
    True
    """
    return _travelling("_resources", "resources") / name


def sample_tanks() -> Path:
    """The folder of the sample households.

    >>> sample_tanks().is_dir()
    True
    """
    return _travelling("_sample_tanks", "sample_tanks")


def data_dir() -> Path:
    """The person's folder for what must be kept; it need not exist yet."""
    if _ON_LINUX:
        return _xdg("XDG_DATA_HOME", ".local/share")
    import platformdirs

    return platformdirs.user_data_path(_NAME, appauthor=False)


def user_data_file() -> Path:
    """The household that is opened when no other is named; it need not exist yet."""
    return data_dir() / "household.tankkeeper"


def config_dir() -> Path:
    """The person's folder for settings of the window; it need not exist yet."""
    if _ON_LINUX:
        return _xdg("XDG_CONFIG_HOME", ".config")
    import platformdirs

    return platformdirs.user_config_path(_NAME, appauthor=False)


def cache_dir() -> Path:
    """The person's folder for what can be made again, such as the sample that is played with."""
    if _ON_LINUX:
        return _xdg("XDG_CACHE_HOME", ".cache")
    import platformdirs

    return platformdirs.user_cache_path(_NAME, appauthor=False)


def demo_file() -> Path:
    """The copy of the sample household that is played with; it need not exist yet."""
    return cache_dir() / "sample.tankkeeper"


def is_demo_file(where: Path) -> bool:
    """Tell whether a file is that copy, however it was named; it is kept without backups."""
    return where.resolve() == demo_file().resolve()


def _xdg(variable: str, usual: str) -> Path:
    """XDG Base Directory Specification 0.8 (2021): a relative path there must be ignored."""
    said = os.environ.get(variable, "")
    return (Path(said) if said.startswith("/") else Path.home() / usual) / _NAME


def _travelling(installed: str, in_checkout: str) -> Path:
    # A wheel and a frozen program carry the folders inside the package (pyproject.toml and
    # packaging/tankkeeper.spec put them there); a checkout has them beside it.
    inside = _PACKAGE / installed
    return inside if inside.is_dir() else _PACKAGE.parent / in_checkout
