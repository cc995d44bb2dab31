"""What may and may not stand in the project's files."""

import re
import tomllib
from importlib.metadata import metadata
from pathlib import Path

TOP_LEVEL = {
    "DEVELOPERS.md",
    "LICENSE",
    "README.md",
    "packaging",
    "pyproject.toml",
    "resources",
    "sample_tanks",
    "tankkeeper",
    "tests",
}

# Licences under which a library may travel with the program (SPDX names where given).
ALLOWED_LICENCES = {
    "Apache-2.0",
    "BSD-3-Clause",
    "LGPL-3.0-only OR GPL-2.0-only OR GPL-3.0-only",
    "MIT",
    "PSF-2.0",
}

# Put together from pieces, so that this file does not hold what it looks for.
INDEX_HOSTS = ["py" + "pi.org", "python" + "hosted.org", "npm" + "js."]
MACHINE_PATHS = [
    f"/{name}/" for name in ("wo" + "rk", "ro" + "ot", "ho" + "me/[a-z]", "Us" + "ers")
]
INDEX_OPTIONS = ["--index" + "-url", "--extra-index" + "-url", "--find" + "-links"]
PAUSE = re.compile(r"\b[mu]?sle" + r"ep\(")


def _texts(project: Path, files: list[Path]) -> dict[Path, str]:
    texts = {}
    for name in files:
        data = (project / name).read_bytes()
        if b"\0" not in data:
            texts[name] = data.decode("utf-8")
    return texts


def test_the_top_level_holds_what_a_visitor_expects_and_no_more(project_files: list[Path]) -> None:
    """A new file at the top is a decision, not an accident."""
    names = {name.parts[0] for name in project_files}

    assert {name for name in names if not name.startswith(".")} == TOP_LEVEL


def test_no_file_names_a_machine_or_a_package_index(
    project: Path, project_files: list[Path]
) -> None:
    """The project builds from whatever index the person's own tools are set up for."""
    unwanted = re.compile("|".join([*map(re.escape, INDEX_HOSTS + INDEX_OPTIONS), *MACHINE_PATHS]))

    found = {
        str(name): match.group()
        for name, text in _texts(project, project_files).items()
        if (match := unwanted.search(text))
    }

    assert found == {}


def test_packaging_holds_no_address(project: Path) -> None:
    """A lock file that names a host would break where that host cannot be reached."""
    files = [path for path in (project / "packaging").rglob("*") if path.is_file()]
    texts = {path.name: path.read_bytes() for path in files if path.suffix != ".pyc"}

    assert "app.txt" in texts
    assert [name for name, text in texts.items() if b"://" in text] == []


def test_every_locked_version_carries_hashes(project: Path) -> None:
    """What is installed is what was locked, byte for byte."""
    for lock in sorted((project / "packaging").glob("*.txt")):
        entries = re.split(r"\n(?=\S)", lock.read_text(encoding="utf-8"))
        pinned = [entry for entry in entries if "==" in entry.partition("\n")[0]]

        assert pinned, lock.name
        assert [entry for entry in pinned if "--hash=sha256:" not in entry] == [], lock.name


def test_the_locks_start_from_the_ranges_of_the_project(project: Path) -> None:
    """packaging/app.in and pyproject.toml must not drift apart."""
    declared = tomllib.loads((project / "pyproject.toml").read_text(encoding="utf-8"))
    lines = (project / "packaging" / "app.in").read_text(encoding="utf-8").splitlines()

    wanted = sorted(line for line in lines if line and not line.startswith("#"))

    assert wanted == sorted(declared["project"]["dependencies"])


def test_libraries_of_the_program_have_licences_that_allow_shipping(project: Path) -> None:
    """A licence that is new to the project is read by a person before it is allowed."""
    lock = (project / "packaging" / "app.txt").read_text(encoding="utf-8")
    names = re.findall(r"^([\w.-]+)==", lock, flags=re.MULTILINE)

    licences = {name: _licence(name) for name in names}

    assert "sqlalchemy" in licences
    assert {n: found for n, found in licences.items() if found not in ALLOWED_LICENCES} == {}


def _licence(name: str) -> str:
    about = metadata(name)
    said = [about[field] for field in ("License-Expression", "License") if field in about]
    return said[0] if said else "not said"


def test_nothing_waits_for_time_to_pass(project: Path, project_files: list[Path]) -> None:
    """Waiting makes tests slow and unsure, and a program that waits does not answer."""
    python = [name for name in project_files if name.suffix == ".py"]

    found = [str(n) for n, text in _texts(project, python).items() if PAUSE.search(text)]

    assert found == []


def test_no_layout_is_asked_for_its_items(project: Path, project_files: list[Path]) -> None:
    """PySide keeps the wrapper of an item longer than the item lives (seen with 6.11): what is made
    next at its place in memory can then be taken for deleted, and the program ends.
    """
    asks = re.compile(r"\.(itemAt|takeAt|itemAtPosition)\((?!event\.)")

    found = [
        str(name)
        for name, text in _texts(project, project_files).items()
        if name.suffix == ".py" and name.parts[0] == "tankkeeper" and asks.search(text)
    ]

    assert found == []
