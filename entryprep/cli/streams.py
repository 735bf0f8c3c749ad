"""Standard output and error that never stop the work: what cannot be said is remembered, and the rest goes on."""

from __future__ import annotations

import codecs
import io
import os
import unicodedata
from contextlib import suppress
from pathlib import Path
from typing import IO, Any, TextIO, cast

PLAINER = "entryprep-plainer"
_SPELT = {
    "“": '"',
    "”": '"',
    "’": "'",
    "‘": "'",
    "–": "-",
    "—": "-",
    "−": "-",
    "…": "...",
    "×": "x",
    "·": ".",
    "≈": "~",
}


class SteadyRaw(io.RawIOBase):
    """A raw stream over another one; from the first write that fails on, everything is taken and thrown away.

    ``failure`` is the error of that write, or None.
    """

    def __init__(self, raw: IO[bytes]) -> None:
        super().__init__()
        self._raw = raw
        self.failure: OSError | None = None

    def write(self, data: Any) -> int:
        """Write what the stream takes, all of it after a failure; how many bytes that were."""
        size = memoryview(data).nbytes
        while self.failure is None:
            try:
                written = self._raw.write(data)
            except OSError as error:
                self.failure = error
                break
            if written is not None:
                return written
            _wait_for(self._raw)
        return size

    def writable(self) -> bool:
        """Always."""
        return True

    def isatty(self) -> bool:
        """Whether a person watches."""
        return self._raw.isatty()

    def fileno(self) -> int:
        """The system's number of the stream below."""
        return self._raw.fileno()


def _wait_for(raw: IO[bytes]) -> None:
    import select

    select.select([], [raw], [], 1.0)


def fill_closed() -> None:
    """Give the three standard numbers to the null device where they are closed, so that no file of ours gets them."""
    for number in range(3):
        try:
            os.fstat(number)
        except OSError:
            with suppress(OSError):
                os.open(os.devnull, os.O_RDWR)


def steady(stream: TextIO | None) -> TextIO:
    """A standard stream over :class:`SteadyRaw`, replacing letters that its encoding lacks; None is the null device."""
    if stream is None:
        return Path(os.devnull).open("w", encoding="utf-8", errors="replace")
    codecs.register_error(PLAINER, _plainer)
    below = getattr(stream, "buffer", None)
    if below is None:
        return stream
    raw = SteadyRaw(getattr(below, "raw", below))
    return io.TextIOWrapper(
        cast(Any, io.BufferedWriter(raw)),
        encoding=stream.encoding,
        errors=PLAINER,
        line_buffering=bool(stream.line_buffering),
        write_through=bool(getattr(stream, "write_through", False)),
    )


def failure_of(stream: TextIO) -> OSError | None:
    """What first went wrong with a steady stream, once all is written that waits."""
    stream.flush()
    raw = getattr(getattr(stream, "buffer", None), "raw", None)
    return raw.failure if isinstance(raw, SteadyRaw) else None


def _plainer(error: UnicodeError) -> tuple[str, int]:
    """Letters an encoding lacks, by others that come near: without their accents, or a question mark."""
    if not isinstance(error, UnicodeEncodeError):
        raise error
    letters = error.object[error.start : error.end]
    return "".join(_near(letter, error.encoding) for letter in letters), error.end


def _near(letter: str, encoding: str) -> str:
    plain = _SPELT.get(letter) or "".join(
        c for c in unicodedata.normalize("NFKD", letter) if not unicodedata.combining(c)
    )
    try:
        plain.encode(encoding)
    except UnicodeEncodeError:
        return "?"
    return plain or "?"
