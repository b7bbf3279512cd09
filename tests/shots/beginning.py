"""Pictures from before there is work: jobs, settings, meters, the signs, the installed page."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from engine.sheets import STARTER
from fieldapp import words
from fieldapp.handover.codes import code_text
from fieldapp.installed import Installed
from shots.shot import FIXED, JOB, SETTLE, Shot, found, on_pad, scrolled

if TYPE_CHECKING:
    from browser import Phone

CODE = code_text("REEDBED-HIDE", "A2")


def _code(text: str, *keys: str) -> Callable[[Phone], object]:
    """A label's code typed in Jobs, and keys behind it."""

    def act(hand: Phone) -> None:
        hand.scroll_to(words.code_label())
        hand.type_into(words.code_label(), text)
        hand.press(*keys)
        hand.pause(SETTLE)

    return act


BEGIN = (
    Shot("jobs-empty", "/"),
    Shot("new", "/new"),
    Shot("settings", "/settings"),
    Shot("found", "/settings/found"),
)


ON_A_PHONE = (
    (
        (
            Shot("phone-tab", "/settings/phone"),
            Shot("phone-foot", "/settings/phone", scrolled(words.phone_version("4f2c9a"))),
            Shot("jobs-copies", "/"),
            Shot("leave-copies", f"{JOB}/leave", scrolled(words.copy_it())),
            Shot("settings-phone", "/settings", scrolled(words.phone_title())),
        ),
        Installed("4f2c9a", stays=False),
    ),
    (
        (Shot("phone-newer", "/settings/phone"), Shot("jobs-newer", "/")),
        Installed("4f2c9a", offline=True, stays=False, newer=True),
    ),
    (
        (Shot("phone-home", "/settings/phone"), Shot("jobs-offline", "/")),
        Installed("4f2c9a", offline=True, stays=True, on_home=True),
    ),
)
"""the app as an installed page, with what it knows of itself, half way through a job"""


def _meter_typed(hand: Phone) -> None:
    """A meter of one's own: its volts."""
    hand.tap(words.sheet_name(STARTER["generic.meter"]), role="button")
    hand.wait_for(words.own_question_meter("volts"))
    for key in ("0", FIXED.reading_key_point, "3"):
        hand.tap(key, exact=True)


def _meter_day(hand: Phone) -> None:
    """What was half typed is still there; on to the day."""
    hand.tap(words.own_take("").strip(), role="button")
    for kind in ("watts", "milliamps", "loop_ohms", "earth_ohms", "celsius"):
        hand.wait_for(words.own_question_meter(kind))
        hand.tap(words.own_keep("").strip(), role="button")
    hand.wait_for(words.meter_day_question())
    for key in "14062024":
        hand.tap(key, exact=True)


def _meter_last(hand: Phone) -> None:
    hand.tap(words.own_take("").strip(), role="button")
    hand.type_into(words.meter_name(), "Ida’s")
    hand.type_into(words.meter_serial(), "QX-4471")


def _meter_kept(hand: Phone) -> None:
    hand.tap(words.meter_keep(False), role="button")
    hand.wait_for(words.setting_name("lengths"))
    hand.scroll_to(words.meter_add())


def _meter_changed(hand: Phone) -> None:
    hand.scroll_to(words.meter_add())
    hand.tap("Ida’s", role="button")
    hand.wait_for(words.meter_take_away())


def _meter_away(hand: Phone) -> None:
    _meter_changed(hand)
    hand.tap(words.meter_take_away(), role="button")
    hand.wait_for(FIXED.undo)


def _everything_out(hand: Phone) -> None:
    hand.tap(words.to_a_file(), role="button")
    hand.wait_for("farend-")


SETTLED = (
    Shot("shapes", "/shapes"),
    Shot("shapes-cable", "/shapes", scrolled(words.speak_sign("branch"))),
    Shot("shapes-verdicts", "/shapes", scrolled(words.speak_sign("earlier"))),
    Shot("shapes-foot", "/shapes", scrolled(words.speak_sign("odds"))),
    Shot("meter-begin", "/settings/meter"),
    Shot("meter-volts", "/settings/meter", _meter_typed),
    Shot("meter-day", "/settings/meter", _meter_day),
    Shot("meter-last", "/settings/meter", _meter_last),
    Shot("settings-meters", "/settings/meter", _meter_kept),
    Shot("meter-changed", "/settings", _meter_changed),
    Shot("meter-on-pad", f"{JOB}/read/L2.in/volts", found("Orla's meter")),
    Shot("settings-away", "/settings", _meter_away),
    Shot("everything", "/settings/everything"),
    Shot("everything-out", "/settings/everything", _everything_out),
    Shot("settings-foot", "/settings", scrolled(words.everything_title())),
)
CAUTIONED = (
    Shot("jobs-three", "/"),
    Shot("jobs-code", "/", _code(CODE[:-4])),
    Shot("jobs-code-refused", "/", _code(CODE[:-1], "Enter")),
    Shot("jobs-code-no-job", "/", _code(code_text("HERON-HIDE", "L1"), "Enter")),
    Shot("run-gone", f"{JOB}/run?at=A9"),
    Shot("caution-first", f"{JOB}/now"),
    Shot("caution-many", f"{JOB}/now?step=fit.A2"),
    Shot("caution-pad", f"{JOB}/read/L2.in/volts"),
)


def _what_load(hand: Phone) -> None:
    hand.wait_for(words.how_far())
    typed = words.far_metres("463")  # as the picture before left it
    if not any(typed in node.line for node in hand.nodes()):
        on_pad("463")(hand)
    hand.tap(words.next_button())


NEW_RUN = (
    Shot("new-metres", "/new", on_pad("463")),
    Shot("new-load", "/new", _what_load),
)
TORN = (
    Shot("jobs-torn", "/"),
    Shot("jobs-torn-told", "/j/TORN-ONE/now"),
    Shot("plan-nobody", f"{JOB}/plan/NOBODY/length"),
)
