"""Which encoding a sheet is in, found without guessing where bytes decide it."""

from __future__ import annotations

import codecs
from typing import BinaryIO

from entryprep.tables.rules import refused

CHUNK = 1 << 20
HEAD = 1 << 16
# bytes that text of no usual encoding holds: control characters but tab, line ends, vertical tab and form feed
_CONTROL = bytes(b for b in range(32) if b not in b"\t\n\v\f\r")
_UNDEFINED_1252 = bytes([0x81, 0x8D, 0x8F, 0x90, 0x9D])
_NOT_SHEETS = {
    b"PK\x03\x04": "a spreadsheet or zip file",
    b"\xd0\xcf\x11\xe0": "an old spreadsheet file",
    b"%PDF": "a PDF",
    b"\x1f\x8b": "a compressed file",
    b"\x89PNG": "a picture",
    b"\xff\xd8\xff": "a picture",
}


def sheet_encoding(stream: BinaryIO, name: str, wanted: str = "") -> str:
    """The encoding of a seekable stream: the one ``wanted``, else UTF-8, UTF-16 or Windows-1252, whichever it is.

    Raises RecordError for an empty or binary file, an encoding nobody knows, and bytes the encoding does not have.
    """
    stream.seek(0)
    head = stream.read(HEAD)
    if not head.strip():
        raise refused("sheet", name, "empty-file")
    for magic, kind in _NOT_SHEETS.items():
        if head.startswith(magic):
            raise refused("sheet", name, "other-kind", kind=kind)
    found = _named(name, wanted) if wanted else _from_head(head, name)
    if found:
        _proven(stream, found, name)
        return found
    if _decodes(stream, "utf-8"):
        return "utf-8"
    if any(bytes([b]) in head for b in _UNDEFINED_1252) or not _decodes(stream, "cp1252"):
        raise refused("sheet", name, "undecodable")
    return "cp1252"


def _named(name: str, wanted: str) -> str:
    try:
        info = codecs.lookup(wanted)
    except (LookupError, ValueError):
        info = None
    if info is None or not getattr(info, "_is_text_encoding", True):
        raise refused("sheet", name, "encoding-unknown", encoding=wanted[:40])
    return {"utf-8": "utf-8-sig"}.get(info.name, info.name)


def _from_head(head: bytes, name: str) -> str:
    """The encoding if the first bytes say it, or nothing; unmarked UTF-16 shows by the zero bytes of plain letters."""
    if head.startswith(codecs.BOM_UTF8):
        return "utf-8-sig"
    if head.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return "utf-16"
    zeros = head.count(0)
    if zeros:
        even, odd = head[0::2].count(0), head[1::2].count(0)
        if min(even, odd) * 10 < max(even, odd) and zeros * 4 > len(head):
            return "utf-16-be" if even > odd else "utf-16-le"
    control = len(head) - len(head.translate(None, _CONTROL))
    if zeros or control * 20 > len(head):
        raise refused("sheet", name, "other-kind", kind="a binary file")
    return ""


def _decodes(stream: BinaryIO, encoding: str) -> bool:
    try:
        _decode_all(stream, encoding)
    except UnicodeError:
        return False
    return True


def _proven(stream: BinaryIO, encoding: str, name: str) -> None:
    try:
        _decode_all(stream, encoding)
    except UnicodeError as error:
        where = f" at byte {error.start}" if isinstance(error, UnicodeDecodeError) else ""
        raise refused("sheet", name, "encoding-wrong", encoding=encoding, where=where) from None


def _decode_all(stream: BinaryIO, encoding: str) -> None:
    """Decode the whole stream chunk by chunk, keeping nothing. Raises UnicodeError."""
    decoder = codecs.getincrementaldecoder(encoding)()
    stream.seek(0)
    while chunk := stream.read(CHUNK):
        decoder.decode(chunk)
    decoder.decode(b"", final=True)
