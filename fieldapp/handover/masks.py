"""Which of the eight masks a square code takes: the one that is easiest to read. Pure.

``qrcode`` makes a code anew for each mask and weighs it module by module, nine tenths of the time
that labels take. Two masks of one version differ in the same modules whatever the text is; so one
code is made, the others follow by an exclusive or, and each is weighed as a few whole numbers: all
rows in one, a bit a module and a blank bit behind each row.

Source: ISO/IEC 18004, 7.8.3 (from memory); a test holds the weights against ``qrcode``'s own.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache

from attrs import frozen
from qrcode import QRCode
from qrcode.constants import ERROR_CORRECT_Q
from qrcode.util import MODE_ALPHA_NUM, QRData

MASKS = range(8)
FINDERS = ("10111010000", "00001011101")
"""what a reader could take for a corner"""
RUN, BLOCK, FINDER, SHARE = 3, 3, 40, 10
"""what is wrong with a code: five alike in a row, four alike in a square, a false corner, and each
5 in 100 that there are more or fewer dark ones than half"""


@frozen
class Field:
    """The modules of a square of so many: as rows and as columns, a bit a module, 1 = dark."""

    many: int
    rows: int
    columns: int

    def turned(self, other: Field) -> Field:
        """Dark and light changed where the other is dark."""
        return Field(self.many, self.rows ^ other.rows, self.columns ^ other.columns)

    def lines(self) -> tuple[tuple[bool, ...], ...]:
        """The modules row by row."""
        step = self.many + 1
        text = format(self.rows, f"0{step * self.many}b")
        return tuple(
            tuple(bit == "1" for bit in text[i : i + self.many]) for i in range(0, len(text), step)
        )


def field_of(rows: list[list[bool]]) -> Field:
    """The field of a square's rows."""
    return Field(len(rows), _packed(rows), _packed(list(zip(*rows, strict=True))))


def _packed(rows: Iterable[Iterable[bool]]) -> int:
    return int("0".join("".join("1" if one else "0" for one in row) for row in rows) + "0", 2)


def coded(text: str, version: int, mask: int) -> QRCode:
    """A text made up at level Q under a mask, in the least version from this one up.

    Raises
    ------
    DataOverflowError, ValueError : no version holds it.
    """
    maker = QRCode(version=version, error_correction=ERROR_CORRECT_Q, border=0, mask_pattern=mask)
    # one piece in one mode: digits set apart would cost more bits than they spare
    maker.add_data(QRData(text.encode("ascii"), mode=MODE_ALPHA_NUM))
    maker.make(fit=True)
    return maker


@cache
def differences(version: int) -> tuple[Field, ...]:
    """For each mask, in which modules a code under it differs from the one under the first."""
    fields = [field_of(coded("0", version, mask).get_matrix()) for mask in MASKS]
    return tuple(fields[0].turned(one) for one in fields)


def best(first: Field, version: int) -> Field:
    """Of a code under the first mask, the code under the mask that weighs least."""
    return min(map(first.turned, differences(version)), key=weight)


def weight(field: Field) -> int:
    """What is wrong with a code, in points: the fewer, the easier it is read."""
    many, step = field.many, field.many + 1
    whole = int(("1" * many + "0") * many, 2)
    points = 0
    for lines in (field.rows, field.columns):
        light = whole ^ lines
        points += _runs(lines) + _runs(light)
        points += FINDER * sum(_places(lines, light, finder) for finder in FINDERS)
    light = whole ^ field.rows
    points += BLOCK * (_blocks(field.rows, step) + _blocks(light, step))
    off = abs(2 * field.rows.bit_count() - many * many)  # of as many again
    return points + SHARE * (10 * off // (many * many))


def _runs(lines: int) -> int:
    """Five of one kind in a row are three points, each more is one."""
    five = lines & lines >> 1 & lines >> 2 & lines >> 3 & lines >> 4
    return five.bit_count() + (RUN - 1) * (five & ~(five << 1)).bit_count()


def _blocks(lines: int, step: int) -> int:
    pairs = lines & lines >> 1
    return (pairs & pairs >> step).bit_count()


def _places(dark: int, light: int, pattern: str) -> int:
    """How often a pattern lies within a line; a blank bit is neither dark nor light."""
    found = -1
    for i, kind in enumerate(reversed(pattern)):
        found &= (dark if kind == "1" else light) >> i
    return found.bit_count()
