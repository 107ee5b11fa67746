"""Opening a workbook that came from outside: nothing in it is believed, everything is measured first."""

from __future__ import annotations

import io
import zipfile
import zlib

from estimator.errors import Fault, Refused
from estimator.sentences import Sentence, say

LARGEST_FILE = 15_000_000
"""Bytes of the file as it comes in: three times a quote of 10,000 lines."""
LARGEST_CONTENT = 128 * 1024 * 1024
"""Bytes of all its parts unpacked, twice those of 10,000 lines: counted while unpacking, not believed."""
MOST_PARTS = 200
_CHUNK = 1 << 16
_COMPOUND_FILE = bytes.fromhex("D0CF11E0A1B11AE1")
"""First bytes of an encrypted workbook and of the old binary kind. Source: MS-CFB, from memory."""
_METHODS = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)


def refuse(reason: Sentence, allowed: str = "") -> Refused:
    """The refusal of a whole file, with its reason."""
    return Refused(say("the workbook cannot be read: {reason}", reason=reason), [Fault("/", reason, allowed)])


class Archive:
    """The parts of a workbook, unpacked within the limits, each when it is first asked for."""

    def __init__(self, content: bytes) -> None:
        self._left = LARGEST_CONTENT
        if len(content) > LARGEST_FILE:
            raise refuse(
                say("it has {count} bytes", count=len(content)), say("at most {most} bytes", most=LARGEST_FILE)
            )
        if content.startswith(_COMPOUND_FILE):
            raise refuse(say("it is encrypted, or of the old binary kind"), say("an XLSX file without a password"))
        try:
            self._zip = zipfile.ZipFile(io.BytesIO(content))
        except (zipfile.BadZipFile, ValueError, OSError, NotImplementedError) as error:
            raise refuse(say("it is no XLSX file"), say("an XLSX file")) from error
        entries = self._zip.infolist()
        if len(entries) > MOST_PARTS:
            raise refuse(say("it has {count} parts", count=len(entries)), say("at most {most} parts", most=MOST_PARTS))
        self._entries: dict[str, zipfile.ZipInfo] = {}
        for entry in entries:
            self._take_in(entry)

    def _take_in(self, entry: zipfile.ZipInfo) -> None:
        if entry.flag_bits & 0x1:
            raise refuse(say("a part of it is encrypted"), say("an XLSX file without a password"))
        if entry.compress_type not in _METHODS:
            raise refuse(say("a part of it is packed in an unusual way"), say("parts stored or deflated"))
        if entry.filename in self._entries:
            raise refuse(
                say("part {filename} is there twice", filename=repr(entry.filename[:80])), say("each part once")
            )
        self._entries[entry.filename] = entry

    def __contains__(self, name: str) -> bool:
        return name in self._entries

    def names(self) -> tuple[str, ...]:
        """The parts it has."""
        return tuple(self._entries)

    def part(self, name: str) -> bytes:
        """One part unpacked, counted against the limit of the whole file."""
        if name not in self._entries:
            raise refuse(say("part {name} is missing", name=repr(name[:80])))
        chunks: list[bytes] = []
        try:
            with self._zip.open(self._entries[name]) as packed:
                while chunk := packed.read(_CHUNK):
                    self._left -= len(chunk)
                    if self._left < 0:
                        raise refuse(
                            say("it unpacks to too much"), say("at most {most} bytes unpacked", most=LARGEST_CONTENT)
                        )
                    chunks.append(chunk)
        except (zipfile.BadZipFile, zlib.error, EOFError, OSError, RuntimeError, NotImplementedError) as error:
            raise refuse(say("part {name} is damaged", name=repr(name[:80]))) from error
        return b"".join(chunks)
