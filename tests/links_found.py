"""The links of a job document, as the engine finds them."""

from __future__ import annotations

from jobs import chain

from engine.jobfile import read_job
from engine.links import Link, find
from engine.network import build


def links_of(doc) -> dict[tuple[str, str], Link]:
    """The links of a document by their two ends, nearest the feed first."""
    job = read_job(doc).plan
    return {(str(link.start), str(link.end)): link for link in find(job, build(job))}


def only_link(*parts) -> Link:
    """The one link of a short chain."""
    (link,) = links_of(chain(*parts)).values()
    return link


def reach(**metres) -> dict:
    """Ports whose sheet has a reach table: ``reach(s1000=280)``."""
    table = {name.removeprefix("s"): value for name, value in metres.items()}
    return {name: {"faces": "any", "reach_m": table} for name in ("in", "out")}
