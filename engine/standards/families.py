"""All families of published numbers, in the order in which a reader meets them."""

from __future__ import annotations

from collections.abc import Mapping

from engine.standards import Sourced
from engine.standards.conductors import CONDUCTORS
from engine.standards.dc import DC
from engine.standards.delay import DELAY
from engine.standards.ethernet import ETHERNET
from engine.standards.heat import HEAT
from engine.standards.installing import INSTALLING
from engine.standards.loss import LOSS
from engine.standards.meters import METERS
from engine.standards.power import POWER
from engine.standards.startup import STARTUP
from engine.standards.surge import SURGE

FAMILIES: dict[str, tuple[str, Mapping[str, Sourced]]] = {
    "conductors": ("Conductors and wire sizes", CONDUCTORS),
    "dc": ("Direct current in cables and channels", DC),
    "loss": ("Insertion loss", LOSS),
    "delay": ("Delay", DELAY),
    "ethernet": ("Ethernet over the pairs", ETHERNET),
    "power": ("Power: types, classes, detection", POWER),
    "startup": ("Power: starting and staying on", STARTUP),
    "heat": ("Current and heat", HEAT),
    "surge": ("Surge, bonds and earths", SURGE),
    "meters": ("Measuring", METERS),
    "installing": ("Installing", INSTALLING),
}
"""module -> title and table; the table is called like its module, in capitals"""
