"""Plans that do not work, each in its own way, and what ought to be offered for it."""

from __future__ import annotations

from collections.abc import Callable
from copy import deepcopy
from typing import Any

from jobs import active, chain, endpoint, exact, regenerating, run, source
from samples import planned

Doc = dict[str, Any]


def _row(doc: Doc, group: str, ident: str) -> Doc:
    return next(row for row in doc[group] if row["id"] == ident)


def _reedbed(change: Callable[[Doc], Any]) -> Doc:
    doc = deepcopy(planned("reedbed-hide"))
    change(doc)
    return doc


def turned() -> Doc:
    """The arrestor at the hide has its back to the weather."""

    def change(doc: Doc) -> None:
        for span in doc["spans"]:
            for key in ("from", "to"):
                box, _, port = span[key].partition(".")
                if box == "A2":
                    span[key] = f"A2.{'kit' if port == 'line' else 'line'}"

    return _reedbed(change)


def unbonded() -> Doc:
    """The arrestor at the hide has no earth lead."""
    return _reedbed(lambda doc: _row(doc, "boxes", "A2").pop("bond"))


def bare() -> Doc:
    """No arrestor at the hide, and no earth there."""

    def change(doc: Doc) -> None:
        for span in doc["spans"]:
            if span["id"] == "C5":
                doc["spans"].remove(span)
        _row(doc, "boxes", "A2")
        doc["boxes"] = [row for row in doc["boxes"] if row["id"] != "A2"]
        far = _row(doc, "spans", "C4")
        key = "to" if far["to"].startswith("A2.") else "from"
        far[key] = "L2.in"

    return _reedbed(change)


def slow_camera() -> Doc:
    """A camera for 10/100 behind a gigabit-only unit."""

    def change(doc: Doc) -> None:
        doc["sheets"]["my.camera"]["speeds_mbps"] = [10, 100]

    return _reedbed(change)


def clad() -> Doc:
    """Clad, thin cable that loses too much for the camera."""

    def change(doc: Doc) -> None:
        cable = doc["sheets"]["my.cable"]
        cable.update(material="clad", awg=26)
        cable.pop("ohms_per_km", None)

    return _reedbed(change)


def indoor_cable() -> Doc:
    """A cable for indoors lies on the marsh."""
    return _reedbed(lambda doc: doc["sheets"]["my.cable"].update(outdoor=False))


def indoor_box() -> Doc:
    """The joint at the sluice is one for indoors."""
    return _reedbed(lambda doc: doc["sheets"]["my.joint"].update(outdoor=False))


def two_pairs() -> Doc:
    """Only two pairs of the cables to the intercom are counted, which four would feed."""
    doc = deepcopy(planned("orchard-gate"))
    doc["sheets"]["my.switch"].update(pairs=4, watts_max=60)
    doc["sheets"]["my.intercom"]["watts"] = {"low": 22, "expected": 30, "high": 33}
    doc["sheets"]["my.intercom"]["class"] = 6
    doc["sheets"]["my.repeater"]["class"] = 6
    for span in doc["spans"]:
        span.update(pairs=2)
    return doc


def small_source() -> Doc:
    """A port that gives too little."""

    def change(doc: Doc) -> None:
        sheet = next(r for r in doc["boxes"] if r["id"] == "S")["sheet"]
        doc["sheets"][sheet]["watts_max"] = 30

    return _reedbed(change)


def hopeless() -> Doc:
    """Kilometres of thin cable."""

    def change(doc: Doc) -> None:
        for span in ("C3", "C4"):
            _row(doc, "spans", span)["length_m"] = 2900

    return _reedbed(change)


def too_long() -> Doc:
    """A plain link of 180 m, fed with plenty."""
    doc = deepcopy(planned("orchard-gate"))
    doc["spans"] = [row for row in doc["spans"] if row["id"] == "C1"]
    doc["boxes"] = [row for row in doc["boxes"] if row["id"] != "R1"]
    _row(doc, "spans", "C1").update({"from": "S.out", "to": "E.in", "length_m": 184})
    return doc


def heavy() -> Doc:
    """The intercom draws far more than the run brings; in the cold shed there is power."""
    doc = two_pairs()
    doc["sheets"]["my.intercom"]["watts"] = {"low": 30, "expected": 44, "high": 46}
    doc["stops"]["shed"]["x_power"] = True
    doc["sheets"]["my.cable"]["ohms_per_km"] = 140
    return doc


def far_gigabit() -> Doc:
    """A gigabit link of 230 m between ordinary ports."""
    doc = too_long()
    doc["sheets"]["my.switch"].update(speeds_mbps=[100, 1000], pairs=4, watts_max=60)
    doc["sheets"]["my.intercom"]["speeds_mbps"] = [100, 1000]
    _row(doc, "spans", "C1")["length_m"] = 230
    return doc


def idle_repeater() -> Doc:
    """A repeater that no link needs, and that draws more than the run bears."""
    doc = deepcopy(planned("orchard-gate"))
    doc["sheets"]["my.repeater"].update(own_watts=34)
    doc["sheets"]["my.switch"].update(watts_max=90)
    for span in doc["spans"]:
        span["length_m"] = 45
        span["pairs"] = 2
    doc["sheets"]["my.cable"]["ohms_per_km"] = 190
    return doc


def wrong_order() -> Doc:
    """The box that feeds anew stands behind one that cannot be held without it."""
    ohms = exact(400)
    return chain(
        source(watts_max=90),
        run(90, ohms),
        active(exact(4)),
        run(90, ohms),
        regenerating(exact(8), efficiency=exact(0.7)),
        run(20, ohms),
        endpoint(exact(8)),
    )


def both_turned() -> Doc:
    """Two arrestors have their backs to the weather."""
    doc = turned()
    for span in doc["spans"]:
        for key in ("from", "to"):
            box, _, port = span[key].partition(".")
            if box == "A1":
                span[key] = f"A1.{'kit' if port == 'line' else 'line'}"
    return doc


def thin_in_the_middle() -> Doc:
    """Three things that could use four pairs; that of one of them alone matters."""
    doc = two_pairs()
    _row(doc, "spans", "C1").pop("pairs")
    _row(doc, "spans", "C2").pop("pairs")
    for name in ("S", "R1", "E"):
        _row(doc, "boxes", name)["pairs"] = 2
    return doc


def far_load() -> Doc:
    """More watts than 320 m of thin cable bring."""
    doc = chain(source(watts_max=90), run(320, 190), endpoint(exact(21)))
    for metres, box in zip((0, 320), doc["boxes"], strict=True):
        box["stop"] = f"post-{box['id']}"
        doc["stops"][box["stop"]] = {"at_m": metres, "indoor": True}
    return doc


def unfed() -> Doc:
    """A run that nothing feeds."""
    doc = deepcopy(planned("orchard-gate"))
    doc["boxes"] = [row for row in doc["boxes"] if row["id"] != "S"]
    doc["spans"] = [row for row in doc["spans"] if row["id"] != "C1"]
    return doc


CASES: dict[str, tuple[Callable[[], Doc], str]] = {
    "turned": (turned, "advice-turn"),
    "unbonded": (unbonded, "advice-bond"),
    "bare": (bare, "advice-arrestor"),
    "slow-camera": (slow_camera, "advice-bridge"),
    "clad": (clad, "advice-cable"),
    "indoor-cable": (indoor_cable, "advice-cable"),
    "indoor-box": (indoor_box, "advice-box"),
    "two-pairs": (two_pairs, "advice-pairs"),
    "small-source": (small_source, "advice-box"),
    "too-long": (too_long, "advice-repeater"),
    "far-gigabit": (far_gigabit, "advice-long-span"),
    "idle-repeater": (idle_repeater, "advice-take-out"),
    "wrong-order": (wrong_order, "advice-exchange"),
    "heavy": (heavy, "advice-injector"),
    "far-load": (far_load, "advice-fed-anew"),
    "both-turned": (both_turned, "advice-turn"),
}
