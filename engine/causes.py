"""Every cause that a log may name as found, and under which one it counts. Ids alone: what a
cause changes and how often it is met stands in ``faults``.

Source: our table of causes.
"""

from __future__ import annotations

from collections.abc import Mapping

NONE, OTHER = "none", "other"
READING = "reading."
"""causes of a figure, not of the site: nothing is to be mended there"""

KNOWN = tuple(
    f"{group}{name}"
    for group, names in (
        ("", "none other"),
        ("source.", "dead low soft"),
        ("port.", "off refused trip class"),
        ("budget.", "shed"),
        ("feed.", "twice"),
        ("span.", "high open short"),
        ("cable.", "clad thin long hot"),
        ("joint.", "high wet"),
        ("contact.", "high"),
        ("pairs.", "lost"),
        ("pair.", "split crossed"),
        ("load.", "heavy off varies"),
        ("box.", "reversed dead heavy starved restart no-pass"),
        ("units.", "same-way"),
        ("arrestor.", "open short reversed"),
        ("earth.", "open high"),
        ("link.", "slow-endpoint pair-open too-long setting noise port-down"),
        (READING, "typed unit place state ac lead no-short"),
    )
    for name in names.split()
)
"""what can be found, by id"""

COUNTS_AS: Mapping[str, str] = {
    **dict.fromkeys(("cable.clad", "cable.thin", "cable.long", "cable.hot"), "span.high"),
    "units.same-way": "box.reversed",
    **dict.fromkeys(("box.starved", "link.setting"), OTHER),
}
"""causes without a rate of their own: the one they are a kind of, or ``other``"""
