"""Sets up what is missing and starts tankkeeper or its tests; needs nothing but Python itself."""

# An older Python must get as far as the sentence below, so nothing newer than plain old
# syntax stands in this file.
import sys

if sys.version_info < (3, 11):
    sys.exit("tankkeeper needs Python 3.11 or newer; this is Python " + sys.version.split()[0])

import ctypes
import hashlib
import importlib.util
import os
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import IO

PROJECT = Path(__file__).resolve().parent.parent
LOCKS = PROJECT / "packaging"
RUN_LOCKS = ["app.txt"]
TEST_LOCKS = ["app.txt", "test.txt", "dev.txt"]

# The libraries that Qt's wheels expect from the system, and Debian's package for each.
OFFSCREEN = {
    "libEGL.so.1": "libegl1",
    "libGL.so.1": "libgl1",
    "libxkbcommon.so.0": "libxkbcommon0",
    "libdbus-1.so.3": "libdbus-1-3",
    "libfontconfig.so.1": "libfontconfig1",
    "libglib-2.0.so.0": "libglib2.0-0",
}
X11 = {
    "libxcb-cursor.so.0": "libxcb-cursor0",
    "libxcb-icccm.so.4": "libxcb-icccm4",
    "libxcb-keysyms.so.1": "libxcb-keysyms1",
    "libxcb-shape.so.0": "libxcb-shape0",
    "libxkbcommon-x11.so.0": "libxkbcommon-x11-0",
}
WAYLAND = {"libwayland-cursor.so.0": "libwayland-cursor0"}

# Where apt keeps what it knows of the packages; empty on a fresh machine.
APT_LISTS = Path("/var/lib/apt/lists")

NO_SCREEN = (
    "There is no screen here, so this is the sample household's round in the terminal; "
    "with --snapshot FILE.png behind this command the window is painted into a picture."
)


def main(arguments: list[str]) -> int:
    """The exit status of what was started, or 1 when something must be installed first."""
    if arguments[:1] == ["test"]:
        return run_tests(arguments[1:])
    return open_sample(arguments)


# --- the program -----------------------------------------------------------------------------


def open_sample(arguments: list[str]) -> int:
    """Replaces this process by the program on the sample household."""
    if not arguments and not has_screen():
        python = prepared({}, RUN_LOCKS)
        say(NO_SCREEN)
        return replace_process(program(python, ["round"]))
    libraries = dict(OFFSCREEN)
    if "--snapshot" in arguments:
        os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    elif has_screen():
        libraries.update(screen_libraries())
    python = prepared(libraries, RUN_LOCKS)
    return replace_process(program(python, arguments))


def program(python: Path, arguments: list[str]) -> list[str]:
    """The command that opens the sample; -P keeps a tankkeeper folder lying about here out."""
    return [str(python), "-P", "-m", "tankkeeper", "--demo", *arguments]


def has_screen() -> bool:
    """True where Qt can be expected to find a platform to draw on."""
    if not sys.platform.startswith("linux"):
        return True
    names = ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")
    return any(os.environ.get(name) for name in names)


def screen_libraries() -> dict[str, str]:
    """What a window needs on the kind of screen that is there."""
    platform = os.environ.get("QT_QPA_PLATFORM", "")
    if platform:
        return dict(X11) if platform.startswith("xcb") else {}
    return dict(X11) if os.environ.get("DISPLAY") else dict(WAYLAND)


def replace_process(command: list[str]) -> int:
    """Starts the command in place of this process; where that cannot be, waits for it."""
    sys.stdout.flush()
    sys.stderr.flush()
    if sys.platform == "win32":
        return subprocess.call(command)
    return os.execv(command[0], command)


# --- the tests -------------------------------------------------------------------------------


def run_tests(arguments: list[str]) -> int:
    """Runs all checks and tests without a screen; with arguments, pytest alone with them."""
    python = prepared(OFFSCREEN, TEST_LOCKS)
    # Caches lie in the environment, because the project itself may be read-only.
    cache = python.parent.parent / "cache"
    environment = dict(
        os.environ,
        QT_QPA_PLATFORM="offscreen",
        RUFF_CACHE_DIR=str(cache / "ruff"),
        MYPY_CACHE_DIR=str(cache / "mypy"),
        HYPOTHESIS_STORAGE_DIRECTORY=str(cache / "hypothesis"),
    )
    # Compiled once, though many processes load it, and where the environment has it switched off.
    compiled = cache / "compiled"
    is_first = not compiled.exists()
    environment.pop("PYTHONDONTWRITEBYTECODE", None)
    environment["PYTHONPYCACHEPREFIX"] = str(compiled)
    pytest = [str(python), "-m", "pytest", "-o", f"cache_dir={cache / 'pytest'}"]
    if arguments:
        return subprocess.call([*pytest, *arguments], cwd=str(PROJECT), env=environment)
    soon = [
        ("ruff check", [tool(python, "ruff"), "check", "."]),
        ("ruff format", [tool(python, "ruff"), "format", "--check", "."]),
    ]
    # These use one core each, so they run beside the tests and are told after them.
    beside = [
        ("mypy", [str(python), "-m", "mypy"]),
        ("lint-imports", [tool(python, "lint-imports"), "--cache-dir", str(cache / "imports")]),
    ]
    failed = []
    for name, command in soon:
        say("== " + name)
        if subprocess.call(command, cwd=str(PROJECT), env=environment):
            failed.append(name)
    with in_background(beside, environment) as told:
        say("== pytest")
        if is_first:
            # Its processes would each compile all tests at once; what fails here they tell.
            subprocess.call(
                [*pytest, "--collect-only", "-qq"],
                cwd=str(PROJECT),
                env=environment,
                stdout=subprocess.DEVNULL,
                stderr=subprocess.DEVNULL,
            )
        # Two cores have room for three: a sixth of the time a test waits for a disk or a process.
        if subprocess.call([*pytest, "-n", "3"], cwd=str(PROJECT), env=environment):
            failed.append("pytest")
        for name, process, output in told:
            is_failed = process.wait() != 0
            output.seek(0)
            say("== " + name)
            sys.stdout.write(output.read())
            sys.stdout.flush()
            if is_failed:
                failed.append(name)
    if failed:
        say("Failed: " + ", ".join(failed) + ".")
    return 1 if failed else 0


@contextmanager
def in_background(
    commands: list[tuple[str, list[str]]], environment: dict[str, str]
) -> Iterator[list[tuple[str, subprocess.Popen[bytes], IO[str]]]]:
    """Starts commands beside what is done meanwhile, and ends those that still run after it."""
    with ExitStack() as opened:
        started: list[tuple[str, subprocess.Popen[bytes], IO[str]]] = []
        for name, command in commands:
            output = opened.enter_context(tempfile.TemporaryFile("w+", encoding="utf-8"))
            process = subprocess.Popen(
                command, cwd=str(PROJECT), env=environment, stdout=output, stderr=output
            )
            opened.callback(process.kill)
            started.append((name, process, output))
        yield started


def tool(python: Path, name: str) -> str:
    """The command of that name beside the environment's Python."""
    return str(python.parent / (name + ".exe" if os.name == "nt" else name))


# --- system libraries ------------------------------------------------------------------------


def prepared(libraries: dict[str, str], locks: list[str]) -> Path:
    """The Python of an environment in which everything of the locks is installed."""
    folder = environment_folder(locks)
    missing = missing_packages(libraries, python_of(folder).exists())
    if missing:
        install_packages(missing)
    if not is_ready(folder, locks):
        folder.parent.mkdir(parents=True, exist_ok=True)
        with only_one_at_a_time(folder):
            if not is_ready(folder, locks):
                complete(folder, locks)
    return python_of(folder)


def missing_packages(libraries: dict[str, str], has_environment: bool) -> list[str]:
    """Debian's packages that must be installed first, in order of their names."""
    if not sys.platform.startswith("linux"):
        return []
    missing = [package for name, package in libraries.items() if not loads(name)]
    if not has_environment and importlib.util.find_spec("ensurepip") is None:
        missing.append("python3-venv")
    return sorted(missing)


def loads(library: str) -> bool:
    """True when the dynamic loader finds the library."""
    try:
        ctypes.CDLL(library)
    except OSError:
        return False
    return True


def install_packages(packages: list[str]) -> None:
    """Installs the packages where that is allowed; otherwise names the command and ends."""
    names = " ".join(packages)
    knows_packages = any(APT_LISTS.glob("*_Packages*"))
    if shutil.which("apt-get") is None:
        sys.exit(
            f"Some system libraries are missing. On Debian they are called: {names}. "
            "Install what your system has for them, then start again."
        )
    if os.geteuid() != 0:
        first = "" if knows_packages else "sudo apt-get update && "
        sys.exit(
            "Some system packages are missing. Install them with this command, then start again:"
            f"\n\n    {first}sudo apt-get install --yes --no-install-recommends {names}\n"
        )
    say("Installing system packages: " + names)
    if knows_packages and apt_get("install", "--yes", "--no-install-recommends", *packages):
        return
    # A fresh machine has no list of packages, and an old list names what is no longer there.
    apt_get("update")
    if not apt_get("install", "--yes", "--no-install-recommends", *packages):
        sys.exit("apt-get could not install them; its message stands above.")


def apt_get(*arguments: str) -> bool:
    """True when apt-get did it; it asks nothing and keeps its progress off standard output."""
    environment = dict(os.environ, DEBIAN_FRONTEND="noninteractive")
    command = ["apt-get", "-qq", *arguments]
    return subprocess.call(command, env=environment, stdout=sys.stderr) == 0


# --- the Python environment ------------------------------------------------------------------


def environment_folder(locks: list[str]) -> Path:
    """`.venv` in the project, or a folder in the person's cache when that cannot be written."""
    folder = PROJECT / ".venv"
    if is_ready(folder, locks) or os.access(str(folder if folder.exists() else PROJECT), os.W_OK):
        return folder
    cache = os.environ.get("XDG_CACHE_HOME") or str(Path.home() / ".cache")
    return Path(cache) / "tankkeeper" / ("venv-" + digest(str(PROJECT).encode())[:12])


def python_of(folder: Path) -> Path:
    """The environment's Python, which need not exist."""
    return folder / "Scripts" / "python.exe" if os.name == "nt" else folder / "bin" / "python"


def digest(data: bytes) -> str:
    """The SHA-256 of the bytes in hexadecimal digits."""
    return hashlib.sha256(data).hexdigest()


def stamp_file(folder: Path, locks: list[str]) -> Path:
    """Where the environment notes that these locks are installed."""
    return folder / f"tankkeeper-{Path(locks[-1]).stem}.stamp"


def stamp_text(folder: Path, locks: list[str]) -> str:
    """What the note must say: the locks, the Python they are installed for, and the project."""
    parts = [(LOCKS / name).read_bytes() for name in locks]
    parts.append(os.path.realpath(str(python_of(folder))).encode())
    parts.append(str(PROJECT).encode())
    return digest(b"\0".join(parts)) + "\n"


def is_ready(folder: Path, locks: list[str]) -> bool:
    """True when the environment's interpreter is there and its note matches."""
    stamp = stamp_file(folder, locks)
    if not python_of(folder).exists() or not stamp.exists():
        return False
    return stamp.read_text(encoding="ascii") == stamp_text(folder, locks)


def complete(folder: Path, locks: list[str]) -> None:
    """Makes the environment or adds to it what it lacks; the note is written last."""
    say(f"Setting up in {folder} (the first time takes up to a minute).")
    python = python_of(folder)
    packages = packages_folder(python)
    if packages is None:
        run([sys.executable, "-m", "venv", "--clear", str(folder)])
        packages = packages_folder(python)
    if packages is None:
        sys.exit(f"The new environment in {folder} does not start.")
    pip = [str(python), "-m", "pip", "--disable-pip-version-check", "--quiet", "install"]
    for name in locks:
        pip += ["-r", str(LOCKS / name)]
    # The locks name all there is. Left to look for itself, an older pip takes a library that is
    # asked for with an extra in its newest version, which no lock can know.
    if locks == TEST_LOCKS:
        # The tests keep what is compiled in a folder of their own, and would not look at this.
        pip.append("--no-compile")
    run([*pip, "--require-hashes", "--no-deps", "--no-input"])
    pointer = packages / "tankkeeper_checkout.pth"
    pointer.write_text(str(PROJECT) + "\n", encoding="utf-8")
    for done in (RUN_LOCKS, locks):
        stamp_file(folder, done).write_text(stamp_text(folder, done), encoding="ascii")


def packages_folder(python: Path) -> Path | None:
    """Where the environment keeps its packages; None when it does not work or is too old."""
    question = (
        "import pip, sys, sysconfig; assert sys.version_info >= (3, 11); "
        "print(sysconfig.get_path('purelib'))"
    )
    if not python.exists():
        return None
    answer = subprocess.run(
        [str(python), "-c", question], capture_output=True, text=True, check=False
    )
    return Path(answer.stdout.strip()) if answer.returncode == 0 else None


def run(command: list[str]) -> None:
    """Runs a step of the set-up; when it fails, ends here, for its message has been shown."""
    # Open files are handed on, so that the lock outlives a starter that is killed meanwhile.
    if subprocess.call(command, stdout=sys.stderr, close_fds=False):
        sys.exit("The set-up stopped at the step above. Starting again continues it.")


@contextmanager
def only_one_at_a_time(folder: Path) -> Iterator[None]:
    """Waits until no other start is setting up the same environment."""
    with folder.with_name(folder.name + ".lock").open("w", encoding="ascii") as lock:
        # The lock goes with the processes that hold it, so a killed set-up blocks nobody.
        os.set_inheritable(lock.fileno(), True)
        if sys.platform == "win32":
            import msvcrt

            msvcrt.locking(lock.fileno(), msvcrt.LK_LOCK, 1)
        else:
            import fcntl

            fcntl.flock(lock, fcntl.LOCK_EX)
        yield


def say(sentence: str) -> None:
    """Tells the person something, beside the program's own output."""
    print(sentence, file=sys.stderr, flush=True)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
