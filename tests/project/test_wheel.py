"""The program in a wheel is as complete as in a checkout."""

import os
import shutil
import subprocess
import sys
import tomllib
import zipfile
from importlib.metadata import version
from pathlib import Path

import pytest

# Older ones do not read the licence expression in pyproject.toml.
SETUPTOOLS = 80

FIND_EVERYTHING = """
import pathlib, tankkeeper
from tankkeeper.app import paths
print(pathlib.Path(tankkeeper.__file__).parent.parent)
print(len(list(paths.resource("icons").glob("*.svg"))))
print(len(list(paths.resource("fonts").glob("*.otf"))))
print(len(list(paths.sample_tanks().glob("*.toml"))))
"""


def _travels(name: Path) -> bool:
    """True for what the program needs at run time."""
    if name.parts[0] == "resources":
        return name.parts[1] in {"fonts", "icons", "palettes", "i18n"}
    return name.parts[0] in {"tankkeeper", "sample_tanks"}


def _in_the_wheel(name: Path) -> str:
    top = {"resources": "tankkeeper/_resources", "sample_tanks": "tankkeeper/_sample_tanks"}
    return "/".join([top.get(name.parts[0], name.parts[0]), *name.parts[1:]])


def test_every_folder_with_modules_is_declared(project: Path, project_files: list[Path]) -> None:
    """A package that is missing in pyproject.toml would be missing in the wheel."""
    declared = tomllib.loads((project / "pyproject.toml").read_text(encoding="utf-8"))
    packages = set(declared["tool"]["setuptools"]["packages"])
    modules = [n for n in project_files if n.parts[0] == "tankkeeper" and n.suffix == ".py"]

    found = {".".join(name.parent.parts) for name in modules}

    assert found == packages - {"tankkeeper._resources", "tankkeeper._sample_tanks"}


@pytest.fixture
def wheel(project: Path, project_files: list[Path], tmp_path: Path) -> Path:
    """The wheel of the project's files, built in the test's own folder without a network."""
    if int(version("setuptools").partition(".")[0]) < SETUPTOOLS:
        pytest.skip(f"building needs setuptools {SETUPTOOLS}; packaging/run.py test installs it")
    source = tmp_path / "source"
    for name in project_files:
        (source / name).parent.mkdir(parents=True, exist_ok=True)
        shutil.copy(project / name, source / name)
    _pip(tmp_path, "wheel", "--no-build-isolation", "--wheel-dir", "wheels", str(source))
    (built,) = (tmp_path / "wheels").glob("*.whl")
    return built


def _pip(folder: Path, *arguments: str) -> None:
    command = [sys.executable, "-m", "pip", "--quiet", *arguments, "--no-deps", "--no-index"]
    done = subprocess.run(command, cwd=folder, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr


@pytest.mark.slow
def test_everything_the_program_needs_travels_in_the_wheel(
    wheel: Path, project_files: list[Path]
) -> None:
    """Modules, migrations, icons, fonts, palettes and sample tanks are all inside."""
    inside = set(zipfile.ZipFile(wheel).namelist())

    missing = [str(n) for n in project_files if _travels(n) and _in_the_wheel(n) not in inside]

    assert missing == []


@pytest.mark.slow
def test_an_installed_wheel_starts_and_finds_what_it_brought(wheel: Path, tmp_path: Path) -> None:
    """Installed away from the checkout, the program runs and its resources are its own."""
    site = tmp_path / "site"
    _pip(tmp_path, "install", "--target", str(site), str(wheel))
    environment = dict(os.environ, PYTHONPATH=str(site))

    found = _python(environment, tmp_path, "-c", FIND_EVERYTHING).splitlines()
    said = _python(environment, tmp_path, "-m", "tankkeeper", "--version")

    assert found[0] == str(site)
    assert all(int(count) > 0 for count in found[1:]), found
    assert "0." in said


def _python(environment: dict[str, str], folder: Path, *arguments: str) -> str:
    command = [sys.executable, *arguments]
    done = subprocess.run(
        command, cwd=folder, env=environment, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout
