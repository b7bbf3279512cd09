"""Files that are there whole or not at all, where a file cannot be given another name.

``making`` holds the path of the file that is being made. A file with no bytes in it is not there,
whatever its name says: so the path is written down and durable before the first byte is, and
taking it away again, in one cut, is what makes the file count.
"""

from __future__ import annotations

import re
import zlib
from contextlib import suppress

from fieldapp.store.opfs_handles import TROUBLES, Folder, Held

_NOTE = "making"
_LINE = re.compile(rb"([0-9a-f]{8}) ([^\n]+)\n")


class Maker:
    """Makes files, one at a time; whoever holds one holds the store.

    A file is handed in held and empty, so that everything from its first byte on is one
    synchronous call, and what went wrong can be undone in one.
    """

    def __init__(self, note: Held) -> None:
        self._note = note
        self._unsure: Held | None = None
        self._path = ""
        self._is_let_go = False

    @property
    def half(self) -> str | None:
        """The path of a file that was not made and could not be emptied either."""
        return self._path if self._unsure is not None else None

    @classmethod
    async def on(cls, root: Folder) -> Maker:
        """Hold the note, and empty what a program that ended in the middle was making."""
        note = await (await root.file(_NOTE)).hold()
        try:
            path = _path_in(note.read())
            half = await root.found_at(path) if path else None
            if half is not None:
                held = await half.hold()
                try:
                    _empty(held)
                finally:
                    held.close()
            _empty(note)  # also a cut that only the system has yet, or it could come undone
        except BaseException:
            note.close()
            raise
        return cls(note)

    def put(self, fresh: Held, path: str, data: bytes) -> None:
        """Put these bytes in an empty file; durable on return, or raise and leave it empty."""
        self.settle()
        self._unsure, self._path, self._is_let_go = fresh, path, False
        try:
            self._note.write(0, _line(path))
            self._note.flush()
            fresh.write(0, data)
            fresh.flush()
            self._note.cut(0)
            self._note.flush()
        except BaseException:
            with suppress(*TROUBLES):  # then before anything else is kept
                self.settle()
            raise
        self._unsure = None

    def settle(self) -> None:
        """Undo what was not made: durably, or raise.

        Until then it may count after a crash, so nothing may be kept that it would hide.
        """
        if self._unsure is None:
            return
        _empty(self._unsure)
        _empty(self._note)
        if self._is_let_go:
            self._unsure.close()
        self._unsure = None

    def let_go(self, fresh: Held) -> None:
        """Close a file that was put, or close it when it has been settled."""
        if fresh is self._unsure:
            self._is_let_go = True
        else:
            fresh.close()

    def close(self) -> None:
        """Let the store go."""
        if self._unsure is not None:
            with suppress(*TROUBLES):
                self.settle()
        if self._unsure is not None:
            self._unsure.close()
        self._note.close()


async def being_made(root: Folder) -> str | None:
    """Return the path of what another program is making this moment."""
    note = await root.found(_NOTE)
    return _path_in(await note.read()) if note else None


def _empty(held: Held) -> None:
    held.cut(0)
    held.flush()


def _line(path: str) -> bytes:
    return b"%08x %b\n" % (zlib.crc32(path.encode()), path.encode())


def _path_in(note: bytes) -> str | None:
    """Return the path that was noted; None for half a line, behind which nothing was written."""
    line = _LINE.fullmatch(note)
    if line is None or zlib.crc32(line[2]) != int(line[1], 16):
        return None
    return line[2].decode()
