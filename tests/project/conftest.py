"""What the tests about the project share: its folder and the files that belong to it."""

import shutil
import subprocess
from pathlib import Path

import pytest

_GENERATED = {"build", "dist", "__pycache__"}


@pytest.fixture(scope="session")
def project() -> Path:
    """The folder that holds pyproject.toml."""
    return Path(__file__).resolve().parent.parent.parent


@pytest.fixture(scope="session")
def project_files(project: Path) -> list[Path]:
    """Every file that belongs to the project, as paths inside it."""
    git = shutil.which("git")
    if git and (project / ".git").exists():
        # The checkout may belong to somebody else than the person who runs the tests.
        command = [git, "-c", f"safe.directory={project}", "-C", str(project), "ls-files", "-z"]
        listed = subprocess.run(command, capture_output=True, check=True, text=True).stdout
        names = [Path(name) for name in listed.split("\0") if name]
        return [name for name in names if (project / name).is_file()]
    # Without git there is no list, so take what is neither generated nor hidden.
    names = [path.relative_to(project) for path in project.rglob("*") if path.is_file()]
    return [name for name in names if not _GENERATED & set(name.parts) and name.parts[0][0] != "."]
