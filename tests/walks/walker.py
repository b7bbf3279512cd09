"""One person with a phone who only taps what is there: no address is typed, nothing is skipped."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING

from app_presses import type_figure
from app_process import start_app
from fingers import draw, scrawl
from real_app import ENVIRONMENT, FIXED, kept
from test_journey_install import COPY, PICTURE, Installer, next_of

from engine.fitted import fitted
from engine.jobfile import JobFile, read_job
from engine.judge import Judgement, judge
from engine.practice import sound
from engine.practice.after import moment_at, site_now
from engine.practice.site import Site
from engine.reel import ReelReading, check_reel
from engine.step import Step
from engine.verdict import OUTSIDE, UNCLEAR
from fieldapp import words
from fieldapp.screens.reading import SPEEDS
from fieldapp.store.journal import head_of
from walks.diary import Diary

if TYPE_CHECKING:
    from app_process import App
    from browser import Phone

PACE = 10
"""so many times faster than a watch does the app's clock run: a quarter of an hour is sat out"""
QUICK = """import runpy
from datetime import UTC, datetime, timedelta
from fieldapp import services
begun = datetime.now(UTC)
early = begun.replace(hour=7, minute=30, second=0, microsecond=0)
class World(services.World):
    def now(self):
        return early + {pace} * (datetime.now(UTC) - begun)
    def seed(self):
        return {seed}
services.World = World
runpy.run_module("fieldapp", run_name="__main__", alter_sys=True)"""
"""the app from half past seven on, with a quick clock, and with what is drawn said beforehand"""
FREE_MARK = 612
"""the mark at the free end of a reel [m]"""
MOST_AGAIN = 4
"""so many readings more that a verdict may ask for"""
PLACES = {"volts": 2, "loop_ohms": 1, "earth_ohms": 1, "metres": 0}
"""digits behind the point on the display of an ordinary meter"""
PATIENT = 60.0
"""for what is worked out between taps [s]"""


@contextmanager
def app_on(data: Path, *files: Path, seed: int = 0) -> Iterator[App]:
    """The app on a folder of its own."""
    code = QUICK.format(pace=PACE, seed=seed)
    args = ["--no-browser", "--port", "0", "--data", str(data), *map(str, files)]
    app = start_app([sys.executable, "-c", code, *args], ENVIRONMENT)
    try:
        yield app
    finally:
        app.kill9()


class Walker(Installer):
    """Does what the screen offers, by taps alone; on a made-up site with its meter, else by hand
    with the figures that a sound site of ``seed`` would show. Who ``has_lead`` reads milliamps too."""

    def __init__(
        self,
        hand: Phone,
        data: Path,
        job: str,
        diary: Diary,
        *,
        seed: int = 0,
        has_lead: bool = True,
    ) -> None:
        self.job, self.diary, self.seed = job, diary, seed
        self.has_lead = has_lead
        self.stops_outside = True
        """whether a reading that is outside is one too many"""
        super().__init__(hand, lambda: kept(data, job))

    # --- what is so -----------------------------------------------------------------------

    def file(self) -> JobFile:
        """The job as its journal on the disk has it."""
        held = self.held()
        return read_job({**head_of(held, self.job).plan, "log": list(held.records[1:])})

    def now(self) -> Judgement:
        return judge(self.file())

    def site(self) -> Site:
        """What is out there: the job's own made-up site, or a sound one."""
        file, state = self.file(), self.now().state
        return site_now(file, state) or sound(file, self.seed, state=state)

    def shown(self, at: str, kind: str) -> float:
        """What the meter shows there."""
        site = self.site()
        return site.shown(at, kind, moment=moment_at(site.state, at)).value

    # --- one thing after another ----------------------------------------------------------

    def settles(self) -> None:
        """What the verdict asks for besides: the milliamps, or the same once more."""
        hand = self.hand
        for _ in range(MOST_AGAIN):
            asks = [FIXED.and_milliamps] if self.has_lead else []
            asks += [FIXED.measure_again] if hand.has(words.VERDICTS[UNCLEAR]) else []
            there = [name for name in asks if name in self.offered()]
            if "/verdict/" not in hand.route or not there:
                return
            hand.tap(there[0], role="button")
            self.reads()
            hand.frames()

    def takes_out(self) -> bool:
        """What is still in after a test holds one on Leave, and comes out there."""
        one = self.now()
        step = next_of(one)
        if step is None or step.kind not in ("take-back", "energise") or not _still_in(one):
            return False
        self.diary.about = step.kind
        if step.kind == "energise":
            return self._takes_shorts_out(one)
        self.hand.tap(words.leave_bar(len(one.blockers)), exact=True)
        self.hand.wait_route(f"/j/{self.job}/leave")
        while there := _still_in(self.now()):
            self.hand.tap(f"{words.it_is_out()} {words.spot(there[0])}", role="button")
            self.hand.wait_until(lambda was=there: _still_in(self.now()) != was, 10, "it to be out")
        self.hand.tap(FIXED.now, exact=True)
        return True

    def _takes_shorts_out(self, one: Judgement) -> bool:
        """Each by its press on the page that switches on; whether there were any."""
        shorts = [words.is_out_again(each.what, each.at) for each in fitted(one.state)]
        for name in shorts:
            self.hand.wait_for(name)
            self.diary.here()
            self.press(name)
        return bool(shorts)

    def goes_on(self) -> None:
        if self.takes_out():
            return
        one = self.now()
        asks = [(step.asks.at, step.asks.kind) for step in one.steps if step.asks]
        self.measures |= {words.measure_at(*ask): ask for ask in asks if ask[1] != "photo"}
        super().goes_on()

    def _does(self, here: set[str], step: Step | None) -> None:
        self.diary.about = step.kind if step is not None else ""
        # with a quick clock the feed's wait ends under the finger
        if words.lights_are_up() in here:
            self.hand.wait_gone(words.lights_are_up(), timeout=PATIENT)
            return
        if words.take_photo() in here and step is not None and step.asks is not None:
            self._photographs(step)
        else:
            super()._does(here, step)

    def _photographs(self, step: Step) -> None:
        self.hand.take_photo(words.take_photo(), PICTURE)
        self.hand.wait_until(lambda: self._is_done(step), 10, step.id)

    def _is_done(self, step: Step) -> bool:
        return any(one.id == step.id and one.state == "done" for one in self.now().steps)

    def press(self, name: str) -> None:
        self.hand.tap(name, role="button")
        self.hand.wait_gone(name)

    def goes_on_measuring(self) -> None:
        """One thing more, whatever a reading comes to: what is outside ends it."""
        self.stops_outside = False
        try:
            self.goes_on()
        finally:
            self.stops_outside = True

    def works(self, done: Callable[[Judgement], bool], most: int = 400) -> None:
        """Go on until it is so."""
        for _ in range(most):
            if done(self.now()):
                return
            self.goes_on()
        raise AssertionError(f"not done after {most} times; there is:\n{self.hand.texts()}")

    # --- the pad --------------------------------------------------------------------------

    def _types(self) -> None:
        self.reads()
        self.settles()
        assert not self.stops_outside or self.now().verdicts[-1].verdict != OUTSIDE, (
            self.held().records[-1]
        )

    def reads(self) -> None:
        """On the pad that is there: what the meter shows, kept."""
        hand = self.hand
        hand.wait_until(lambda: "/read/" in hand.route, 10, "the pad")
        at, kind = hand.route.partition("/read/")[2].split("?")[0].split("/")
        ready = (words.understood(), words.take_made_up(), FIXED.type_it, self._speed(1000))
        hand.wait_until(lambda: any(map(hand.has, ready)), 10, "the pad")
        while hand.has(words.understood()):
            self.press(words.understood())
        made_up = hand.has(words.take_made_up())
        if made_up:
            hand.tap(words.take_made_up(), role="button")
        if kind == "mbps":
            hand.tap(self._speed(self._light(at, made_up)), role="button")
        elif made_up:
            keep = words.keep_slab("0", kind).split()[0]
            hand.wait_until(lambda: hand._called(keep, False, "button"), 10, keep)
            hand.tap(keep, role="button")
        else:
            digits = f"{self.shown(at, kind):.{PLACES[kind]}f}"
            hand.wait_for(FIXED.type_it)
            type_figure(hand, digits, kind)
            hand.tap(words.keep_slab(digits, kind), role="button")
        hand.wait_until(lambda: "/verdict/" in hand.route, 10, "the verdict")
        hand.wait_until(
            lambda: any(map(hand.has, words.VERDICTS.values())), PATIENT, "the word on it"
        )
        self.diary.here()

    def _speed(self, mbps: float) -> str:
        return words.capital(words.speed(mbps))

    def _light(self, at: str, made_up: bool) -> float:
        """The speed that the light beside the port tells."""
        if not made_up:
            return self.shown(at, "mbps")
        said = {words.plain(words.lights_show(float(one))): one for one in SPEEDS}
        self.hand.wait_until(lambda: any(map(self.hand.has, said)), 10, "what the light shows")
        return next(one for text, one in said.items() if self.hand.has(text))

    # --- steps that are more than a press -------------------------------------------------

    def _terminates(self, step: Step) -> None:
        self.press(words.wires_slab(step.span))
        span = self.now().state.job.spans[step.span]
        for end in (str(span.a), str(span.b)):
            self.press(words.end_slab(end, False))
        self.press(words.on_to_now())

    def _checks_reel(self, step: Step) -> None:
        """Both marks, the pair's ohms by the sheet's own wire; the sentence says that it is that."""
        hand, span = self.hand, self.now().state.job.spans[step.span]
        self.press(words.reel_slab(step.span))
        first, long = FREE_MARK, round(span.length_m.expected * 1.06) + 4
        marks = {"first": first, "second": first - long}
        reading = ReelReading(float(first), float(first - long), span.length_m.expected)
        ohms = check_reel(self.now().state.job, span, reading).planned.expected
        figures = {**{name: str(mark) for name, mark in marks.items()}, "ohms": f"{ohms:.1f}"}
        hand.tap(words.reel_type("first"), role="button")
        for name, digits in figures.items():
            hand.wait_until(lambda name=name: hand.route.endswith(f"/{name}"), 10, name)
            for key in digits:
                hand.tap(FIXED.reading_key_point if key == "." else key, exact=True)
            hand.tap(words.reel_keep(digits, words.reel_unit(name)), role="button")
        hand.wait_for(words.reel_pull())
        self.diary.picture("reel-checked")
        self.press(words.reel_pull())

    def _copies(self) -> None:
        with self.hand.page.expect_download() as loaded:
            self.hand.tap(COPY, role="button")
        copy = Path(loaded.value.path()).read_bytes()
        self.hand.wait_until(lambda: self.held().records[-1]["what"] == "export", 10, "the copy")
        assert self.held().records[-1]["sha256"] == sha256(copy).hexdigest()

    def _signs(self) -> None:
        """With a finger, whoever stands by."""
        hand = self.hand
        hand.tap(words.sign_title(), role="button")
        hand.wait_for(words.sign_lacks())
        hand.type_into(words.sign_name_label(), "P. Quill")
        hand.tap(words.SIGN_ROLES[0], role="button")
        draw(hand, words.speak_sign_field(0), *scrawl())
        hand.wait_for(words.speak_sign_field(3))
        self.diary.picture("signed")
        hand.tap(words.sign_slab(), role="button")
        hand.wait_until(lambda: self.held().records[-1]["what"] == "sign", 10, "the name")
        self.diary.here()
        hand.tap(FIXED.now, exact=True)

    def _waits(self, step: Step, title: str) -> None:
        """A clock is sat out, as often as it is asked for."""
        self.press(title)
        after, again = words.step(step.say).after, words.off_again(10)

        def over() -> bool:
            return any(n.enabled and n.first_line in (after, again) for n in self.hand.nodes())

        self.diary.here()
        for _ in range(2):
            self.hand.wait_until(over, PATIENT, "the clock")
            if not self.hand.has(again):
                break
            self.press(again)
        self.hand.wait_until(over, PATIENT, "the clock")
        self.press(after)


def _still_in(one: Judgement) -> list[str]:
    """Where something that was put in for a test holds one."""
    return [hold.at for hold in one.blockers if hold.id.startswith("fitted.")]
