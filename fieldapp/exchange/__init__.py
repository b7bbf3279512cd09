"""Jobs out of this phone as one file, and in again from anywhere: the one way, both directions.

A job file, or an ordinary zip of the job file and its pictures. What comes in is hostile until
it has been read: ``limits`` says how much is looked at, ``archive`` takes zips apart, ``unpacking``
gives only valid values, ``bringing`` puts them into the store. Nothing here knows a screen.
"""

from fieldapp.exchange.bringing import Brought, bring
from fieldapp.exchange.leftout import LeftOut
from fieldapp.exchange.limits import LIMITS, Limits
from fieldapp.exchange.packing import Packed, pack
from fieldapp.exchange.records import document
from fieldapp.exchange.unpacking import Incoming, unpack

__all__ = [
    "LIMITS",
    "Brought",
    "Incoming",
    "LeftOut",
    "Limits",
    "Packed",
    "bring",
    "document",
    "pack",
    "unpack",
]
