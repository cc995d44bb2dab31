"""Where a household may live: what kind of disk, which files and folders belong to it."""

from __future__ import annotations

import os
from pathlib import Path

from tankkeeper.core.errors import Surroundings

# File systems that several machines reach at once, by the names Linux gives them. SQLite's own
# documentation rules its write-ahead log out there ("Write-Ahead Logging", section 1).
_NETWORK = frozenset(
    {
        "nfs", "nfs4", "cifs", "smb3", "smbfs", "9p", "afs", "ceph", "glusterfs", "lustre",
        "ncpfs", "ocfs2", "gfs2", "vboxsf", "davfs", "prl_fs", "beegfs",
    }
)  # fmt: skip
_MOUNTS = Path("/proc/self/mounts")
PRIVATE_FILE = 0o600
PRIVATE_FOLDER = 0o700


def file_system_of(path: Path, mounts: str) -> str:
    """Return the type of the file system that holds `path`, by a table of mounts, or "".

    >>> file_system_of(Path("/srv/tanks/a"), "/dev/a / ext4 rw 0 0\\nhost:/x /srv nfs4 rw 0 0")
    'nfs4'
    """
    best, found, place = -1, "", str(path)
    for line in mounts.splitlines():
        parts = line.split(" ")
        if len(parts) < 3:
            continue
        # The root is the beginning of every place.
        point = _unescaped(parts[1]).rstrip("/")
        is_above = place == point or place.startswith(f"{point}/")
        # Of two at the same place the later one covers the other.
        if is_above and len(point) >= best:
            best, found = len(point), parts[2]
    return found


def is_network(file_system: str) -> bool:
    """Tell whether a file system of this type may be shared between machines.

    >>> is_network("ext4"), is_network("fuse.sshfs")
    (False, True)
    """
    # Programs on top of a local disk also call themselves fuse; the disk drivers among them do not.
    return file_system in _NETWORK or file_system.startswith("fuse.")


def refuse_network_drive(path: Path) -> None:
    """Refuse a live file on a file system that several machines share."""
    try:
        mounts = _MOUNTS.read_text(encoding="utf-8", errors="surrogateescape")
    except OSError:
        # Only Linux has this table; elsewhere the kind of disk is not known.
        return
    file_system = file_system_of(path.absolute().parent.resolve() / path.name, mounts)
    if is_network(file_system):
        raise Surroundings("network_drive", path=str(path), file_system=file_system)


def make_private_folder(folder: Path) -> None:
    """Make a folder that only its owner can look into, with the folders above it."""
    if not folder.is_dir():
        folder.mkdir(mode=PRIVATE_FOLDER, parents=True, exist_ok=True)


def make_private_file(path: Path) -> None:
    """Make an empty file that only its owner can read; refuse one that exists."""
    os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_RDWR, PRIVATE_FILE))


def backup_folder(path: Path) -> Path:
    """Return the folder of the rolling backups of a household.

    >>> backup_folder(Path("home/tanks.tankkeeper")).name
    'tanks-backups'
    """
    return path.with_name(f"{path.stem}-backups")


def write_ahead_log(path: Path) -> Path:
    """Return the file in which SQLite keeps what is not yet in the main file."""
    return path.with_name(f"{path.name}-wal")


def remove_database(path: Path) -> None:
    """Remove a database that nobody has open, with the files beside it."""
    for name in (path.name, f"{path.name}-wal", f"{path.name}-shm", f"{path.name}-journal"):
        path.with_name(name).unlink(missing_ok=True)


def flush_to_disk(path: Path) -> None:
    """Make the system write a file or folder to the disk before going on."""
    descriptor = os.open(path, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


def flush_folder(folder: Path) -> None:
    """Make names in a folder lasting; Windows has no such call and needs none."""
    if os.name == "posix":
        flush_to_disk(folder)


def _unescaped(point: str) -> str:
    for written, meant in (("\\040", " "), ("\\011", "\t"), ("\\012", "\n"), ("\\134", "\\")):
        point = point.replace(written, meant)
    return point
