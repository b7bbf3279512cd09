"""A JSON value as one text, the same whoever writes it: the JSON Canonicalization Scheme, RFC 8785.

Keys in the order of their UTF-16 units, no blanks, letters as they are, numbers as ECMAScript
writes them: ``41``, never ``41.0``. In a browser or Node this is ``JSON.stringify`` of the value
with its keys sorted.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

PLAIN_FROM, PLAIN_TO = -6, 21
"""exponents of ten between which ECMAScript writes a number without one (ECMA-262, 6.1.6.1.20)"""

EXACT = 2**53
"""whole numbers up to here are the same as 64-bit floats"""


def canonical(value: Any) -> str:
    """The text of a JSON value; tuples stand for lists.

    Raises
    ------
    TypeError : it is no JSON value.

    Source
    ------
    RFC 8785, sections 3.2.2 and 3.2.3.

    >>> canonical({"b": [41.0, True, None], "a": "é"})
    '{"a":"é","b":[41,true,null]}'
    """
    if value is None or isinstance(value, bool | str):
        return json.dumps(value, ensure_ascii=False)
    if isinstance(value, int):
        return _whole(value)
    if isinstance(value, float):
        return number(value)
    if isinstance(value, list | tuple):
        return f"[{','.join(map(canonical, value))}]"
    if isinstance(value, Mapping):
        rows = (
            f"{json.dumps(k, ensure_ascii=False)}:{canonical(value[k])}" for k in _in_turn(value)
        )
        return f"{{{','.join(rows)}}}"
    raise TypeError(f"no JSON value: {type(value).__name__}")


def _in_turn(keys: Mapping[str, Any]) -> list[str]:
    """Keys in the order of their UTF-16 units, which is that of the letters for nearly all."""
    return sorted(keys, key=lambda key: key.encode("utf-16-be", "surrogatepass"))


def _whole(value: int) -> str:
    """A whole number as a reader finds it who has 64-bit floats alone; one beyond them as it is."""
    if abs(value) <= EXACT:
        return str(value)
    try:
        return number(float(value))
    except OverflowError:
        return str(value)


def number(value: float) -> str:
    """A finite number in the shortest digits that read back as it, set out as ECMAScript does.

    >>> [number(one) for one in (41.0, -0.0, 48.7, 1e-6, 1.5e-7, 1e21)]
    ['41', '0', '48.7', '0.000001', '1.5e-7', '1e+21']
    """
    if value == 0:
        return "0"
    sign = "-" if value < 0 else ""
    mantissa, _, power = f"{abs(value)!r}".partition("e")
    before, _, after = mantissa.partition(".")
    digits = (before + after).lstrip("0")
    leading = len(before + after) - len(digits)
    point = len(before) - leading + int(power or 0)  # the value is 0.DIGITS times ten to this
    digits = digits.rstrip("0")
    return sign + _set_out(digits, point)


def _set_out(digits: str, point: int) -> str:
    if len(digits) <= point <= PLAIN_TO:
        return digits + "0" * (point - len(digits))
    if 0 < point <= PLAIN_TO:
        return f"{digits[:point]}.{digits[point:]}"
    if PLAIN_FROM < point <= 0:
        return f"0.{'0' * -point}{digits}"
    tail = f".{digits[1:]}" if len(digits) > 1 else ""
    return f"{digits[0]}{tail}e{point - 1:+d}"
