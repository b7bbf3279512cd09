"""Pictures of what is handed over, signed and left, and of a return."""

from __future__ import annotations

from typing import TYPE_CHECKING

import fingers

from engine.say import say
from fieldapp import words
from shots.shot import JOB, Shot, found, pressed, scrolled, weighed

if TYPE_CHECKING:
    from browser import Phone


def _back_again(hand: Phone) -> None:
    hand.tap(words.visit_reason("other"), role="button")
    hand.wait_gone(words.visit_why())
    hand.go(f"{JOB}/now?step=photo.L1")
    hand.wait_for(words.photo_missing())


def _begun(hand: Phone) -> None:
    hand.tap(words.visit_reason("storm"), role="button")
    hand.wait_gone(words.visit_why())


def _out(hand: Phone, what: str) -> None:
    """A document put into a file, and what is then known of it."""
    hand.tap(words.speak_hand(words.document(what), words.to_a_file()), role="button")
    hand.wait_for(words.labels_line(1, 2).split()[-1])


def _shared_nowhere(hand: Phone) -> None:
    hand.tap(words.all_at_once(3), role="button")
    hand.wait_for(words.sentence(say("told-share-unknown")))


GONE_HOME = (
    Shot("visit", f"{JOB}/now"),
    Shot("leave-left", f"{JOB}/leave"),
    Shot("leave-still-in", f"{JOB}/leave", lambda hand: hand.scroll_to(words.it_is_out())),
    Shot("leave-copy", f"{JOB}/leave", lambda hand: hand.scroll_to(words.copy_it())),
    Shot("now-photo-missing", f"{JOB}/now", _back_again),
)
HANDED = (
    Shot("hand-older", f"{JOB}/hand"),
    Shot("hand-foot", f"{JOB}/hand", lambda hand: hand.scroll_to(words.report_as())),
    Shot("hand-strip", f"{JOB}/hand", found(words.paper("strip"))),
    Shot("hand-made", f"{JOB}/hand", lambda hand: _out(hand, "report")),
    Shot("hand-bare", "/j/BARE/hand"),
)


def _signed_with_a_finger(hand: Phone) -> None:
    hand.type_into(words.sign_name_label(), "P. Quill")
    hand.tap(words.SIGN_ROLES[1], role="button")
    fingers.draw(hand, words.speak_sign_field(0), *fingers.scrawl())
    hand.wait_for(words.speak_sign_field(3))


SIGNED = (
    Shot("hand-signed", f"{JOB}/hand", lambda hand: hand.scroll_to(words.sign_title())),
    Shot("sign-empty", f"{JOB}/sign"),
    Shot("sign-drawn", f"{JOB}/sign", _signed_with_a_finger),
    Shot("sign-step", f"{JOB}/now?step=sign.site"),
)
SHARED = (
    Shot("hand-share", f"{JOB}/hand"),
    Shot("hand-share-unknown", f"{JOB}/hand", _shared_nowhere),
)
TWO_PLANS = (
    Shot("leave-two-plans", f"{JOB}/leave", lambda hand: hand.scroll_to(words.choose())),
    Shot("leave-choose", f"{JOB}/leave", found(words.choose())),
    Shot("leave-odd", f"{JOB}/leave", pressed(words.oddities(2))),
    Shot("run-two-plans", f"{JOB}/run"),
    Shot("plan-two-plans", f"{JOB}/plan"),
)
RETURN_LEFT = (
    Shot("return-jobs", "/"),
    Shot("return-visit", f"{JOB}/now"),
    Shot("return-two", f"{JOB}/now", found(words.capital(words.people(2)))),
    Shot("return-begun", f"{JOB}/now", _begun),
    Shot("return-leave-none", f"{JOB}/leave"),
    Shot("return-steps", f"{JOB}/steps"),
)
RETURN_MANY = (Shot("return-visit-many", f"{JOB}/now"),)
RETURN_DRIFTED = (
    Shot("return-leave", f"{JOB}/leave"),
    Shot("return-leave-light", f"{JOB}/leave", scrolled(words.spot("C.in"))),
    Shot("return-leave-unsure", f"{JOB}/leave", scrolled(words.since_steady(3))),
    Shot("return-verdict", f"{JOB}/verdict/r2-L2.in"),
    Shot("return-verdict-steady", f"{JOB}/verdict/r2-J1.a"),
    Shot("return-run", f"{JOB}/run?at=J1.a"),
    Shot("return-now", f"{JOB}/now?step=again.L1.out.volts"),
    Shot("return-over", f"{JOB}/now?step=lookover.hide"),
    Shot("return-pad", f"{JOB}/read/L2.out/volts"),
    Shot("return-fault", f"{JOB}/fault", weighed),
)
RETURN_STEADY = (Shot("return-leave-steady", f"{JOB}/leave"),)
