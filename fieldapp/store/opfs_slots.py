"""The catalogue in three files held open, so that keeping it is one synchronous call.

Each holds a number, the number of the copy before it, and a checksum over all of it. A new copy
goes where neither the current one lies nor the one before.
"""

from __future__ import annotations

import re
import zlib
from contextlib import suppress
from dataclasses import dataclass

from fieldapp.store.opfs_handles import TROUBLES, Folder, Held, as_store_error

SLOTS = ("catalogue.1", "catalogue.2", "catalogue.3")
_GIVEN_UP = re.compile(rb"[0-9]")
"""what is left of a copy that the medium refused"""
_HEADER = re.compile(rb"([0-9]{1,15}) ([0-9]{1,15}) ([0-9]{1,12}) ([0-9a-f]{8})\n")


@dataclass(frozen=True)
class Frame:
    """What a slot holds. ``number`` from 1; ``before`` is 0 where there is no copy before."""

    number: int
    before: int
    data: bytes


def framed(frame: Frame) -> bytes:
    """Return a slot's bytes.

    >>> framed(Frame(7, 6, b"x"))
    b'7 6 1 37fcd8d6\\nx'
    """
    head = b"%d %d %d" % (frame.number, frame.before, len(frame.data))
    return b"%b %08x\n%b" % (head, zlib.crc32(frame.data, zlib.crc32(head)), frame.data)


def frame_in(data: bytes) -> Frame | None:
    """Return the frame in a slot's bytes, None where it is not whole; what is behind it is not its.

    >>> frame_in(framed(Frame(7, 6, b"x")) + b"more")
    Frame(number=7, before=6, data=b'x')
    """
    header = _HEADER.match(data)
    if header is None:
        return None
    held = data[header.end() : header.end() + int(header[3])]
    frame = Frame(int(header[1]), int(header[2]), held)
    return frame if framed(frame) == data[: header.end() + len(held)] else None


class Slots:
    """See ``interface.Copies``. ``found``: each slot's bytes, None where there was no file.

    A slot that is no frame was being written when the power went, or was damaged since; nobody
    can say which, so what is left counts as the copy before.
    """

    def __init__(self, held: tuple[Held, ...], found: tuple[bytes | None, ...]) -> None:
        self._held = held
        frames = [frame_in(data or b"") for data in found]
        whole = {frame.number: place for place, frame in enumerate(frames) if frame}
        newest = max(whole, default=0)
        self._bad = [
            place
            for place, data in enumerate(found)
            if frames[place] is None and _is_damage(data, newest)
        ]
        self._frames = frames
        self._last = newest
        place = whole.get(newest) if len(self._bad) < 2 else None  # it may be of two copies ago
        now = frames[place] if place is not None else None
        before = whole.get(now.before) if now is not None else None
        self._current, self._previous = (None, place) if self._bad else (place, before)

    @classmethod
    async def on(cls, root: Folder) -> Slots:
        """Hold the slots of a folder, made where there are none."""
        held: list[Held] = []
        found: list[bytes | None] = []
        try:
            for name in SLOTS:
                is_there = await root.found(name) is not None
                held.append(await (await root.file(name)).hold())
                held[-1].flush()  # what is read now must be there later
                found.append(held[-1].read() if is_there else None)
        except BaseException:
            for one in held:
                one.close()
            raise
        return cls(tuple(held), tuple(found))

    @classmethod
    async def beside(cls, root: Folder) -> Slots:
        """The same to be read only, whoever holds them."""
        files = [await root.found(name) for name in SLOTS]
        return cls((), tuple([await file.read() if file else None for file in files]))

    def read(self) -> tuple[bytes | None, bytes | None]:
        current = b"" if self._bad else None
        return self._data(self._current, current), self._data(self._previous, None)

    def put(self, data: bytes, *, keep_current: bool) -> None:
        previous = self._previous if self._current is None or not keep_current else self._current
        place = next(
            place
            for place in (*self._bad, *range(len(SLOTS)))
            if place not in (self._current, self._previous)
        )
        before = self._frames[previous] if previous is not None else None
        frame = Frame(self._last + 1, before.number if before else 0, data)
        held, whole = self._held[place], framed(frame)
        with as_store_error():
            try:
                held.write(0, whole)
                held.cut(len(whole))
                held.flush()
            except BaseException:
                with suppress(*TROUBLES):  # room for the next try
                    held.cut(1)
                    held.flush()
                raise
        self._frames[place] = frame
        self._last = frame.number
        self._current, self._previous, self._bad = place, previous, []

    def close(self) -> None:
        """Let the slots go."""
        for held in self._held:
            held.close()

    def _data(self, place: int | None, lost: bytes | None) -> bytes | None:
        frame = self._frames[place] if place is not None else None
        return frame.data if frame else lost


def _is_damage(data: bytes | None, newest: int) -> bool:
    """Whether what is no frame was one, or was to be one; ``newest`` is that of the others.

    All files are made before the first copy is, and have been written to when there were three.
    """
    if not data:
        return newest >= (len(SLOTS) if data is not None else 1)
    return _GIVEN_UP.fullmatch(data) is None
