"""The disk under a log: how it locks, how much room it has, how long saving takes."""

from __future__ import annotations

import os
import re
import secrets
import shutil
import time
from pathlib import Path, PurePosixPath
from statistics import median

_MOUNTS = Path("/proc/self/mountinfo")
_OCTAL = re.compile(r"\\([0-7]{3})")

# Disks of another machine, or kept by another program: what one of them locks, the
# others need not see. Source: sqlite.org, "How To Corrupt An SQLite Database File",
# 2.1, and "Write-Ahead Logging" (all users of a log must be on one machine).
_SHARED = frozenset(
    {
        "9p",
        "afs",
        "beegfs",
        "ceph",
        "cifs",
        "coda",
        "davfs",
        "drvfs",
        "glusterfs",
        "gfs2",
        "gpfs",
        "lustre",
        "ncpfs",
        "nfs",
        "nfs4",
        "ocfs2",
        "prl_fs",
        "smb2",
        "smb3",
        "smbfs",
        "vboxsf",
        "virtiofs",
        "vmhgfs",
    }
)
_TRIES = 3
_BYTES = 4096


def kind_of(folder: Path, mounts: Path = _MOUNTS) -> str:
    """The type of the file system that a folder lies on, links followed.

    The folder need not exist yet. Empty where the system does not say.
    """
    try:
        text = mounts.read_text(encoding="utf-8", errors="surrogateescape")
    except OSError:
        return ""
    return mounted_kind(text, str(folder.resolve()))


def mounted_kind(mountinfo: str, path: str) -> str:
    """The type of the mount that holds an absolute path, empty if none does.

    `mountinfo` is as proc(5) describes it; of two mounts in one place the later one
    lies on top.
    """
    place = PurePosixPath(path)
    found, longest = "", -1
    for line in mountinfo.splitlines():
        before, bar, after = line.partition(" - ")
        fields, kinds = before.split(" "), after.split(" ")
        if not bar or len(fields) < 5:  # noqa: PLR2004 - the fifth field is the place
            continue
        point = PurePosixPath(_OCTAL.sub(_letter, fields[4]))
        if place.is_relative_to(point) and len(point.parts) >= longest:
            found, longest = kinds[0], len(point.parts)
    return found


def _letter(escaped: re.Match[str]) -> str:
    return chr(int(escaped[1], 8))


def locks_hold(kind: str) -> bool:
    """Whether locks on a file system of this type can be trusted.

    An unknown type is trusted; fuseblk is a local disk, other fuse ones need not be.
    """
    return kind not in _SHARED and not kind.startswith("fuse.") and kind != "fuse"


def free_bytes(folder: Path) -> int:
    """How many bytes are free for us there; OSError if nobody can say."""
    return shutil.disk_usage(folder).free


def save_ms(folder: Path) -> int:
    """How long a small write takes until it is durable there, in ms: a median.

    OSError if nothing can be written.
    """
    part = folder / f".{secrets.token_hex(4)}.part"
    took: list[int] = []
    try:
        with part.open("xb") as file:
            for _ in range(_TRIES):
                began = time.perf_counter_ns()
                file.write(bytes(_BYTES))
                file.flush()
                os.fsync(file.fileno())
                took.append(time.perf_counter_ns() - began)
    finally:
        part.unlink(missing_ok=True)
    return round(median(took) / 1_000_000)
