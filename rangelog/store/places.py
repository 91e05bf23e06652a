"""Where a book lies: private files and folders, synced folders, network file systems."""

import errno
import glob
import os
import sys
from contextlib import suppress
from pathlib import Path

NETWORK_KINDS = frozenset(
    {"nfs", "nfs4", "cifs", "smb3", "smbfs", "9p", "afs", "ceph", "glusterfs", "lustre", "davfs", "ncpfs", "vboxsf", "prl_fs", "fuse.sshfs"}
)
MOUNTS = Path("/proc/mounts")


def make_private_folder(folder: Path) -> None:
    """Create a folder and its missing parents, readable by the owner alone. Existing ones are left as they are. Raises OSError."""
    missing = [folder, *folder.parents]
    for part in reversed([part for part in missing if not part.exists()]):
        part.mkdir(mode=0o700, exist_ok=True)
    if not folder.is_dir():
        raise NotADirectoryError(errno.ENOTDIR, os.strerror(errno.ENOTDIR), str(folder))


def make_private_file(path: Path) -> None:
    """Create an empty file readable by the owner alone. Raises FileExistsError, or another OSError."""
    os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))


def sync_file(path: Path) -> None:
    """Push a closed file to the disk. Raises OSError."""
    descriptor = os.open(path, os.O_RDWR)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


def sync_folder(folder: Path) -> None:
    """Push the names in a folder to the disk; a system that cannot sync folders does nothing."""
    if os.name == "nt":
        return
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


def draft_beside(target: Path) -> Path:
    """The hidden name under which a file is made before it gets its own."""
    return target.with_name(f".{target.name}.{os.getpid()}.new")


def give_name(draft: Path, name: Path) -> None:
    """Give a finished file its name, never over another file. Raises FileExistsError, or another OSError."""
    try:
        os.link(draft, name)
    except FileExistsError:
        raise
    except OSError:
        # a file system without hard links
        if os.path.lexists(name):
            raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST), str(name)) from None
        draft.rename(name)
    else:
        draft.unlink()


def sweep(folder: Path, name: str) -> None:
    """Remove drafts that a crash left behind, of a file or of its backups. Only for whoever holds the lock."""
    for dots in (".", ".."):
        for left in folder.glob(f"{dots}{glob.escape(name)}.*.new*"):
            with suppress(OSError):
                left.unlink()


def free_name(wanted: Path) -> Path:
    """`wanted`, or the first name beside it that is not taken: name.2.ext, name.3.ext ..."""
    candidate, turn = wanted, 2
    while os.path.lexists(candidate):
        candidate = wanted.with_name(f"{wanted.stem}.{turn}{wanted.suffix}")
        turn += 1
    return candidate


def _unescaped(text: str) -> str:
    """A path of the mounts table with its octal escapes (space, tab, newline, backslash) turned back."""
    for code, char in (("\\040", " "), ("\\011", "\t"), ("\\012", "\n"), ("\\134", "\\")):
        text = text.replace(code, char)
    return text


def network_kind(path: Path, mounts: str | None = None) -> str:
    """Kind of the network file system a path lies on, empty where it is local or cannot be told.

    `mounts` is the text of the mounts table (device, mount point, kind, ...); read from the system on Linux when not given.
    """
    if mounts is None:
        if not sys.platform.startswith("linux"):
            return ""
        try:
            mounts = MOUNTS.read_text(encoding="utf-8", errors="replace")
        except OSError:
            return ""
    best, kind = -1, ""
    for line in mounts.splitlines():
        fields = line.split(" ")
        if len(fields) < 3:
            continue
        point = Path(_unescaped(fields[1]))
        if len(point.parts) >= best and (path == point or point in path.parents):
            best, kind = len(point.parts), fields[2]
    return kind if kind in NETWORK_KINDS else ""
