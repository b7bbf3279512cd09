"""Rules of links: ends that share no speed, and cable beyond what a speed is promised."""

from __future__ import annotations

from typing import Any

from engine.defaults import DEFAULTS
from engine.links import Link, Offer
from engine.rules.rule import Broken, Rule
from engine.say import Say, say
from engine.sheets import is_from_memory
from engine.study import Prediction


def _speed_mismatch(prediction: Prediction) -> Broken:
    """Ends that share no speed, or only ones that the pairs or a box between cannot carry."""
    for link in prediction.links:
        if not link.known or link.expected_mbps:
            continue
        at, far = str(link.start), str(link.end)
        if not link.shared:
            mbps, far_mbps = link.start_speeds, link.end_speeds
            yield at, "stop", say("speed-mismatch", at=at, far=far, mbps=mbps, far_mbps=far_mbps)
        elif "reach" not in link.limits.values():
            boxes = _slower(prediction, link)
            unfit = say(
                "speed-unfit", at=at, far=far, mbps=link.shared, pairs=link.pairs, boxes=boxes
            )
            yield at, "stop", unfit


def _slower(prediction: Prediction, link: Link) -> tuple[str, ...]:
    """The passive boxes on the way that pass none of the speeds that both ends share."""
    boxes = (prediction.job.boxes.get(name) for name in link.through)
    return tuple(
        box.id
        for box in boxes
        if box and box.sheet.speeds_mbps and not set(link.shared) & set(box.sheet.speeds_mbps)
    )


def _reach(prediction: Prediction) -> Broken:
    for link in prediction.links:
        at = str(link.start)
        too_far = [speed for speed, why in link.limits.items() if why == "reach"]
        if too_far:
            mbps = max(too_far)
            severity = "warn" if _recalled(prediction, link, mbps) else "stop"
            yield at, severity, say("reach-stated", mbps=mbps, **_where(link))
        elif link.offers and (doubted := _doubted(link)):
            yield at, "warn", doubted


def _recalled(prediction: Prediction, link: Link, mbps: int) -> bool:
    """Whether all that is exceeded is a starter sheet's reach, from memory: it stops no job."""
    exceeded = [
        sheet.id
        for end in (link.start, link.end)
        if (sheet := prediction.job.boxes[end.box].sheet)
        and (reach := sheet.reach_m(end.port, mbps)) is not None
        and reach < link.length_m
    ]
    return all(is_from_memory(sheet, "reach_m") for sheet in exceeded)


def _where(link: Link) -> dict[str, Any]:
    return {"at": str(link.start), "far": str(link.end), "length_m": link.length_m}


def _doubted(link: Link) -> Say | None:
    """What is not promised on a link: its fastest speed, or that at its longest and hottest."""
    fastest = link.offers[0]
    if fastest.doubt is not None:
        falls_to = link.expected_mbps if link.assured else None
        return _not_assured(link, fastest, fastest.doubt, falls_to)
    if fastest.hot_doubt is not None:
        return say("reach-hot", mbps=fastest.mbps, **_where(link))
    return None


def _not_assured(link: Link, offer: Offer, doubt: str, falls_to: int | None) -> Say:
    parts = {"mbps": offer.mbps, "falls_to": falls_to, **_where(link)}
    if doubt == "loss" and offer.margin is not None:
        over = {"over_db": -offer.margin.db, "mhz": offer.margin.mhz}
        return say("reach-loss", **over, **parts)
    return say({"length": "reach-ordinary", "category": "reach-category"}[doubt], **parts)


RULES = (
    Rule("speed-mismatch", "IEEE 802.3 clause 28: no mode in common, no link", _speed_mismatch),
    Rule("reach", f"the port's sheet; else {DEFAULTS['reach'].source}, insertion loss", _reach),
)
