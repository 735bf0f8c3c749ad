"""One run at a time in a folder: a lock that goes with its process, and says whose it is."""

from __future__ import annotations

import datetime as dt
import os
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from entryprep.errors import EntryprepError

LOCK = ".entryprep-lock"
PATIENCE_S = 3.0  # how long a run waits for another before it gives up
_PAUSE_S = 0.02
_OWN_FILE = getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_CLOEXEC", 0)
_FAR = 1 << 30  # the byte that is locked where locks also stop readers: behind what is written there


class OutputError(EntryprepError):
    """Results cannot be written; ``fix`` says what the user can do."""


@contextmanager
def locked(folder: Path, patience_s: float = PATIENCE_S) -> Iterator[None]:
    """Hold the lock of a folder that is there. Raises OutputError, naming the holder, where another run has it.

    The system lets go of the lock when its process ends, however that ends. Where a file system knows no locks, none
    is held.
    """
    handle = _taken(folder / LOCK, time.monotonic() + patience_s)
    try:
        yield
    finally:
        # taken away while it is held: whoever waits for it sees that and makes a new one
        with suppress(OSError):
            (folder / LOCK).unlink()
        os.close(handle)


def _taken(path: Path, until: float) -> int:
    while True:
        handle = os.open(path, os.O_RDWR | os.O_CREAT | _OWN_FILE, 0o666)
        try:
            held = lock_now(handle)
            if held and _is_still(handle, path):
                os.ftruncate(handle, 0)
                os.write(handle, _holder().encode())
                return handle
            said = "" if held or time.monotonic() <= until else _read_holder(handle)
        except BaseException:
            os.close(handle)
            raise
        os.close(handle)
        if said:
            raise OutputError(f"{path.parent.as_posix()}: {said} is writing to this folder", _WAIT)
        time.sleep(_PAUSE_S)


_WAIT = "wait until that run has ended, then run this again"


def _holder() -> str:
    return f"process {os.getpid()}, since {dt.datetime.now().astimezone():%Y-%m-%d %H:%M:%S %z}"


def _read_holder(handle: int) -> str:
    os.lseek(handle, 0, os.SEEK_SET)
    text = os.read(handle, 200).decode("utf-8", "replace").strip()
    return f"another run ({text})" if text.isprintable() and text else "another run"


def _is_still(handle: int, path: Path) -> bool:
    """Whether the file that is locked is the one that stands there: its last holder may have taken it away."""
    try:
        return os.path.samestat(os.fstat(handle), path.lstat())
    except OSError:
        return False


def lock_now(handle: int) -> bool:
    """Lock an open file for this process, if no other has it; true as well where the file system knows no locks."""
    if sys.platform == "win32":  # pragma: no cover - the tests run where fcntl is
        import msvcrt  # noqa: PLC0415

        os.lseek(handle, _FAR, os.SEEK_SET)
        try:
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        finally:
            os.lseek(handle, 0, os.SEEK_SET)
        return True
    import fcntl  # noqa: PLC0415 - only a run that writes needs it

    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return False
    except OSError:
        return True
    return True
