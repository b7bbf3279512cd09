"""How much of a file from elsewhere is looked at: all limits in one table. All ours, unless said.

What a job file may hold beyond these is limited where it is read (``engine/jobfile.py`` and the
kinds in ``engine/format.py``): depth, count of values, letters of a text, range of a number.
"""

from __future__ import annotations

from dataclasses import dataclass

from engine.crowds import MOST, Most
from engine.jobfile import DEEPEST, LARGEST_BYTES, MOST_VALUES
from fieldapp.jpeg import MOST_BYTES

MB = 1_000_000


@dataclass(frozen=True)
class Limits:
    """Bytes and counts; the first of each that is beyond is told, and no more is read."""

    job_bytes: int = LARGEST_BYTES
    """of the job file, packed in a zip or bare (job format, section 3)"""
    depth: int = DEEPEST
    """levels of the job file (job format, section 3)"""
    values: int = MOST_VALUES
    """in the job file"""
    entries: int = 100_000
    """in the log, as the table of keys has it; after a merge too"""
    crowd: Most = MOST
    """of what takes long to work out (``engine/crowds.py``)"""
    zip_bytes: int = 256 * MB
    """of a zip as it comes: 60 pictures of the greatest size, with room to spare"""
    jobs: int = 500
    """in a zip of all jobs, each a file of its own"""
    members: int = 2_000
    """in a zip, whatever they are"""
    pictures: int = 1_000
    """that are taken from one"""
    picture_bytes: int = MOST_BYTES
    """of each (``jpeg``)"""
    all_bytes: int = 256 * MB
    """that all members come to once unpacked"""
    ratio: int = 200
    """how many times its packed size a member may come to; 50,000 readings that differ in their
    ids alone come to 88 times (measured with zlib)"""
    ratio_from: int = 1 * MB
    """bytes below which nobody counts the ratio"""
    told: int = 20
    """problems that are listed of what was left out"""


LIMITS = Limits()
