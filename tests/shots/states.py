"""Which pictures are taken of which jobs, and how the app is started for them."""

from __future__ import annotations

from collections.abc import Iterator

import pictured_jobs as jobs
import plan_jobs
import practice_jobs
from samples import NAMES, sample

from shots import beginning, finding, leaving, planning, working
from shots.shot import Shot

LARGE = ("now-first", "now-fit", "steps-fresh", "read-empty", "read-typed", "leave-held")
LARGE += ("verdict-outside", "verdict-unclear", "change-ready", "taken-back", "load-used")
LARGE += ("load-set", "leave-choose", "leave-worked", "leave-outside", "run-today")
LARGE += ("caution-many", "wires-one", "now-full-runs", "power-waits", "power-dark", "visit")
LARGE += (
    "now-photo-taken",
    "steps-worked",
    "run-photo",
    "caution-pad",
    "now-pairs-short",
    "now-energise-short",
)
LARGE += ("whatif-longer", "whatif-typing", "whatif-gauge")
LARGE += ("sheets-box", "newsheet-begin", "newsheet-band", "newsheet-speeds", "newsheet-last")
LARGE += ("jobs-code", "jobs-code-refused", "run-gone")
LARGE += ("jobs-more", "compare-list", "compare-copy", "spans-refused")
LARGE += ("plan", "plan-span", "plan-box", "plan-weak", "plan-ways", "plan-length", "plan-stop")
LARGE += ("plan-names", "plan-names-box", "plan-bonding", "plan-moving", "new-load")
LARGE += (
    "fault-walk",
    "fault-dead",
    "fault-mend",
    "fault-load",
    "fault-test",
    "fault-truth",
    "fault-agree",
)
LARGE += ("practice-list", "practice-jobs", "practice-so-far", "practice-now", "practice-went")
LARGE += ("practice-taken", "practice-lights", "practice-pairs")
LARGE += ("return-visit", "return-visit-many", "return-leave", "return-leave-light", "return-begun")
LARGE += ("return-leave-unsure", "return-verdict", "return-jobs")
LARGE += tuple(
    shot.name
    for shots in (
        working.ALL_DONE,
        working.READ_TWICE,
        working.SET_ASIDE,
        planning.FORTY,
        planning.LONG_NAMES,
        planning.SPLIT,
        planning.COLLAPSED,
    )
    for shot in shots
)
LARGE += ("put-in", "reel-sound", "reel-clad", "reel-ohms", "reel-none")
LARGE += ("hand-signed", "sign-empty", "sign-drawn")
LARGE += ("settings", "settings-foot", "settings-meters", "settings-away", "everything")
LARGE += ("shapes", "shapes-verdicts", "shapes-foot", "meter-begin", "meter-volts", "meter-day")
LARGE += ("meter-last", "meter-changed")
LARGE += ("phone-tab", "phone-foot", "phone-newer", "jobs-copies", "jobs-newer", "leave-copies")
LARGE += ("hand-older", "hand-made", "hand-share", "hand-foot")
AS_PHONE = """import runpy, flet
flet.PagePlatform.is_mobile = lambda self: True
runpy.run_module("fieldapp", run_name="__main__", alter_sys=True)"""
"""the app where every page is a phone's: sharing is offered there. A browser that only says so
gives no names without a finger on its glass."""
AS_INSTALLED = """import asyncio, runpy
from fieldapp import services
from fieldapp.installed import Installed
class Link:
    async def states(self):
        yield {state!r}
        await asyncio.Event().wait()
    async def ask_to_stay(self):
        pass
real = services.Services
services.Services = lambda *means: real(*means, link=Link())
runpy.run_module("fieldapp", run_name="__main__", alter_sys=True)"""
"""the app where every page was installed, and knows this of itself"""


def states() -> tuple[tuple[tuple[Shot, ...], tuple[dict, ...], bool], ...]:
    """What is photographed: shots, the jobs they are of, and whether the page is a phone's."""
    begun, mended, trips, broken = (jobs.warned(doc()) for doc in practice_jobs.PICTURED)
    samples = tuple(sample(name) for name in NAMES)
    faulty = tuple(doc() for doc in jobs.FAULTY)
    one_page = (
        (beginning.BEGIN, ()),
        (beginning.SETTLED, (jobs.planned(),)),
        (beginning.CAUTIONED, samples),
        (working.PLANNED, (jobs.planned(),)),
        (working.HALF_WAY, (jobs.half_way(),)),
        (working.GONE_DARK, (jobs.gone_dark(),)),
        (working.READS_LOW, (jobs.reads_low(),)),
        (leaving.GONE_HOME, (jobs.gone_home(),)),
        (working.WORKED, (jobs.worked_on(),)),
        (leaving.HANDED, (jobs.handed_over(), jobs.without_boxes())),
        (leaving.SHARED, (jobs.handed_over(),)),
        (leaving.SIGNED, (jobs.signed(),)),
        (working.ACCEPTED, (jobs.accepted(),)),
        (leaving.TWO_PLANS, (jobs.two_plans(),)),
        (planning.LETS_GO, (jobs.lets_go(),)),
        (planning.POOR, (jobs.poor(),)),
        (planning.REELS_GOOD, (jobs.reels_good(),)),
        (planning.REELS_ODD, (jobs.reels_odd(),)),
        (planning.REELS_OPEN, (jobs.reels_open(),)),
        (planning.EDITED, plan_jobs.pictured()),
        (planning.EDITING, (jobs.planned(),)),
        (beginning.NEW_RUN, ()),
        (planning.COMPARED, (jobs.planned(), jobs.farther(), samples[-1])),
        (planning.LOOSE, (jobs.loose(),)),
        (finding.FAULTS, faulty),
        (working.ALL_DONE, (jobs.all_done(),)),
        (working.READ_TWICE, (jobs.read_twice(),)),
        (working.SET_ASIDE, (jobs.set_aside(),)),
        (planning.FORTY, (jobs.forty(),)),
        (planning.LONG_NAMES, (jobs.long_named(),)),
        (planning.SPLIT, (jobs.split(),)),
        (planning.COLLAPSED, (jobs.collapsed(),)),
        (planning.TWO_BOXES, (jobs.warned(plan_jobs.of_boxes(2)),)),
        (leaving.RETURN_LEFT, (jobs.left_again(),)),
        (leaving.RETURN_MANY, (jobs.left_much_open(),)),
        (leaving.RETURN_DRIFTED, (jobs.drifted_since(),)),
        (leaving.RETURN_STEADY, (jobs.as_it_was(),)),
        (finding.PRACTICE, (begun,)),
        (finding.PRACTISED, (mended,)),
        (finding.TRIPS, (trips,)),
        (finding.BROKEN, (broken,)),
    )
    return tuple(
        (shots, tuple(map(jobs.counted, docs)), shots is leaving.SHARED) for shots, docs in one_page
    )


def every_page() -> Iterator[tuple[tuple[Shot, ...], tuple[dict | str, ...], str]]:
    """Shots, the jobs they are of, and what starts the app for them where that is not its own."""
    for shots, docs, as_phone in states():
        yield shots, docs, AS_PHONE if as_phone else ""
    yield beginning.TORN, (jobs.planned(), "TORN-ONE"), ""
    for shots, installed in beginning.ON_A_PHONE:
        yield shots, (jobs.worked_on(),), AS_INSTALLED.format(state=installed)
