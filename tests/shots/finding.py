"""Pictures of the search for a fault, on real sites and on made-up ones."""

from __future__ import annotations

from typing import TYPE_CHECKING

import fault_jobs
import practice_jobs

from fieldapp import words
from shots.shot import SETTLE, Shot, found, scrolled, weighed

if TYPE_CHECKING:
    from browser import Phone


def _mending(hand: Phone) -> None:
    weighed(hand)
    hand.tap(words.TO_DO["do-load"].format(at="C").split("**")[1], role="button")
    hand.wait_for(words.was_it_that())


def _truth(hand: Phone) -> None:
    _mending(hand)
    hand.pause(SETTLE)  # what was opened stands still before it is turned
    hand.tap(words.it_was_else(), role="button")


FAULTS = (
    *(Shot(f"fault-{name}", f"/j/F-{name.upper()}/fault", weighed) for name in fault_jobs.EVERY),
    Shot("fault-dead-more", "/j/F-DEAD/fault", scrolled(words.one_test(2))),
    Shot("fault-picked", "/j/F-WALK/fault?where=L1&cause=box.no-pass"),
    Shot("fault-test", "/j/F-DEAD/test/C5/loop_ohms"),
    Shot("fault-mend", "/j/F-LOAD/fault", _mending),
    Shot("fault-truth", "/j/F-LOAD/fault", _truth),
    Shot("fault-run", "/j/F-BOX/run"),
    Shot("fault-verdict", "/j/F-WALK/verdict/r0"),
    Shot("fault-leave", "/j/F-LINK/leave", scrolled(words.find_fault())),
    Shot("fault-jobs", "/"),
)
PRACTICE = (
    Shot("practice-list", "/practice"),
    Shot("practice-jobs", "/"),
    Shot("practice-so-far", f"{practice_jobs.JOB}/practice"),
    Shot("practice-now", f"{practice_jobs.JOB}/now"),
    Shot("practice-run", f"{practice_jobs.JOB}/run"),
    Shot("practice-leave", f"{practice_jobs.JOB}/leave"),
    Shot("practice-plan", f"{practice_jobs.JOB}/plan"),
    Shot("practice-verdict", f"{practice_jobs.JOB}/verdict/b"),
    Shot("hand-practice", f"{practice_jobs.JOB}/hand"),
    Shot("practice-pad", f"{practice_jobs.JOB}/read/L2.in/volts"),
    Shot("practice-taken", f"{practice_jobs.JOB}/read/L2.in/volts", found(words.take_made_up())),
    Shot("practice-lights", f"{practice_jobs.JOB}/read/L2.in/mbps", found(words.take_made_up())),
)
PRACTISED = (Shot("practice-went", f"{practice_jobs.JOB}/practice"),)
TRIPS = (
    Shot("practice-moves", f"{practice_jobs.JOB}/read/S.out/volts", found(words.take_made_up())),
)
BROKEN = (
    Shot("practice-pairs", f"{practice_jobs.JOB}/read/C4/loop_ohms", found(words.take_made_up())),
)
