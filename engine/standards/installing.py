"""Installing: pull, bend, untwist, distance from mains, places, temperatures, housings."""

from __future__ import annotations

from engine.standards import Sourced, read_at, table

_GUIDES = "as quoted by installers' guides"
_OLD = "EN 50174-2:2000, Table 1, as quoted: no divider"
_LATER = "EN 50174-2, later edition, as quoted by an electricians' handbook of 2017, p. 526"
_IP = "IEC 60529"

INSTALLING = table(
    Sourced("pull-most", 110, "N", f"TIA-568, {_GUIDES} (four of them)", "published", "most"),
    Sourced(
        "bend-unscreened",
        4,
        "x outer diameter",
        "TIA-568.0-D (2015), installed, as quoted by a trade journal",
        "published",
        "least",
    ),
    Sourced(
        "bend-screened",
        8,
        "x outer diameter",
        f"screened, outdoor or under pull, {_GUIDES} (one of them)",
        "published",
        "least",
    ),
    *read_at(
        f"{_GUIDES} (one of them)",
        "published",
        ("untwist-most", 13, "mm", "most"),
        ("spare-outlet", 300, "mm", "typical"),
        ("spare-rack", 1000, "mm", "typical"),
    ),
    *read_at(
        f"{_OLD}; both cables unscreened",
        "published",
        ("mains-open", 200, "mm", "least"),
        ("mains-aluminium", 100, "mm", "least"),
        ("mains-steel", 50, "mm", "least"),
    ),
    *read_at(
        f"{_OLD}; data cable screened",
        "published",
        ("mains-data-screened-open", 50, "mm", "least"),
        ("mains-data-screened-aluminium", 20, "mm", "least"),
        ("mains-data-screened-steel", 5, "mm", "least"),
    ),
    *read_at(
        f"{_OLD}; power cable screened",
        "published",
        ("mains-power-screened-open", 30, "mm", "least"),
        ("mains-power-screened-aluminium", 10, "mm", "least"),
        ("mains-power-screened-steel", 2, "mm", "least"),
    ),
    *read_at(
        "EN 50174-2:2000, as quoted: the last metres are free, lamps keep their distance",
        "published",
        ("mains-free-end", 15, "m", "most"),
        ("lamp-distance", 130, "mm", "least"),
    ),
    *read_at(
        f"{_LATER}: class b, Cat 5e and 6 unscreened, before the factor of the mains circuits",
        "published",
        ("separation-b-plastic", 100, "mm", "least"),
        ("separation-b-wire-tray", 75, "mm", "least"),
        ("separation-b-perforated", 50, "mm", "least"),
        ("separation-b-closed", 0, "mm", "least"),
    ),
    *read_at(
        f"{_LATER}: class c, screened 5e to 6A, before the factor of the mains circuits",
        "published",
        ("separation-c-plastic", 50, "mm", "least"),
        ("separation-c-wire-tray", 38, "mm", "least"),
        ("separation-c-perforated", 25, "mm", "least"),
        ("separation-c-closed", 0, "mm", "least"),
    ),
    *read_at(
        f"{_LATER}: class d, Cat 7, before the factor of the mains circuits",
        "published",
        ("separation-d-plastic", 10, "mm", "least"),
        ("separation-d-wire-tray", 8, "mm", "least"),
        ("separation-d-perforated", 5, "mm", "least"),
        ("separation-d-closed", 0, "mm", "least"),
    ),
    *read_at(
        f"{_LATER}: factor for so many single-phase circuits of up to 20 A",
        "published",
        ("separation-factor-1-to-3", 0.2, "1", "exact"),
        ("separation-factor-4-to-6", 0.4, "1", "exact"),
        ("separation-factor-13-to-15", 1, "1", "exact"),
        ("separation-factor-16-to-30", 2, "1", "exact"),
        ("separation-factor-over-75", 6, "1", "exact"),
    ),
    *read_at(
        "buried cable: gel or armour, tape above; the value is the middle of its range",
        "common practice",
        ("bury-depth", 525, "mm", "typical", 450, 600),
    ),
    *read_at(
        "temperature while pulling, unless the sheet says otherwise",
        "from memory",
        ("pull-celsius-least", 0, "°C", "least"),
        ("pull-celsius-most", 50, "°C", "most"),
    ),
    Sourced("outdoor-ip", 65, "IP", "outdoor box, entries from below", "common practice", "least"),
    *read_at(
        f"{_IP}, flow of the water test",
        "from memory",
        ("ip-5-flow", 12.5, "l/min", "exact"),
        ("ip-6-flow", 100, "l/min", "exact"),
    ),
    *read_at(
        f"{_IP}, as quoted in several public lists: second digit 7",
        "published",
        ("ip-7-depth", 1, "m", "exact"),
        ("ip-7-minutes", 30, "min", "exact"),
    ),
    Sourced("thunder-wait", 30, "min", "after the last thunder heard", "from memory", "least"),
    Sourced(
        "label-from-end",
        300,
        "mm",
        "TIA-606: a name on both ends of every cable",
        "from memory",
        "most",
    ),
    *read_at(
        "letters to be read at arm's length; tape sticks only above this",
        "common practice",
        ("label-letters", 3, "mm", "least"),
        ("label-celsius", 5, "°C", "least"),
    ),
    *read_at(
        "IEC 62305-3, Table E.2: looking at it, levels I and II",
        "from memory",
        ("surge-visual-years", 1, "years", "most"),
        ("surge-full-years", 2, "years", "most"),
    ),
)
