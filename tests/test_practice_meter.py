"""The meter of a made-up site on the pad: what it shows, what is kept, and what a mending does to it."""

from __future__ import annotations

import pytest
from headless import Phone, warned
from practice_held import ELSEWHERE, TRUTH, at_pad, held, job, last_kept, metered, run
from practice_jobs import SPAN_HIGH, Doc, change, seed_of
from samples import sample

from engine.jobfile import read_job
from engine.log import fold
from engine.practice import made_up
from engine.practice.after import moment_at, site_now
from engine.practice.site import OPEN_OHMS
from fieldapp import words


@pytest.mark.parametrize("seed", [SPAN_HIGH, seed_of("joint.high"), seed_of("load.heavy")])
def test_the_meters_reading_is_that_of_the_site_and_is_kept_as_if_typed(seed):
    async def journey() -> None:
        doc = job(seed=seed)
        phone = await Phone.start(docs=(doc,))
        site = site_now(read_job(doc), fold(read_job(doc)))
        for at, kind in (("S.out", "volts"), ("L2.in", "volts"), ("L2.in", "milliamps")):
            file = read_job(await held(phone, doc["id"]))
            moment = moment_at(fold(file), at)
            want = site.shown(at, kind, "M1", moment=moment).value
            await at_pad(phone, at, kind)
            await phone.tap("made-up-meter")
            assert any(float(t) == want for t in phone.texts() if _is_number(t))
            await phone.tap("keep")
            kept = await last_kept(phone, doc)
            assert (kept["value"], kept["moment"], kept["meter"]) == (want, moment, "M1")
        phone.stop()

    run(journey)


def _is_number(text: str) -> bool:
    return text.replace(".", "", 1).isdigit()


def test_the_figure_can_be_typed_over_and_is_then_ones_own():
    async def journey() -> None:
        doc = job(seed=SPAN_HIGH)
        phone = await metered(doc, "S.out", "volts")
        for _ in range(7):
            await phone.tap("key-rub")
        await phone.digits("51.5")
        await phone.tap("keep")
        kept = await last_kept(phone, doc)
        assert kept["value"] == 51.5 and "moment" not in kept
        phone.stop()

    run(journey)


def test_each_pair_of_a_loop_is_kept_and_one_that_does_not_close_is_told():
    seed = seed_of("span.open", where="C4")

    async def journey() -> None:
        doc = job(seed=seed)
        phone = await metered(doc, "C4", "loop_ohms")
        assert phone.shows("open")
        await phone.tap("keep")
        kept = await last_kept(phone, doc)
        assert set(kept["pairs"]) == {"1", "2", "3", "4"} and "value" not in kept
        assert set(kept["pairs"].values()) == {OPEN_OHMS}
        phone.stop()

    run(journey)


def test_what_comes_and_goes_is_kept_as_unsteady():
    seed = seed_of("port.trip")

    async def journey() -> None:
        doc = job(seed=seed)
        phone = await metered(doc, "S.out", "volts")
        assert phone.shows("It moves between")
        await phone.tap("keep")
        kept = await last_kept(phone, doc)
        low, high = kept["unsteady"]
        assert low <= kept["value"] <= high
        phone.stop()

    run(journey)


def test_lights_are_shown_and_one_press_keeps_them():
    async def journey() -> None:
        doc = job(seed=SPAN_HIGH)
        phone = await metered(doc, "L2.in", "mbps")
        assert phone.shows(words.lights_show(1000))
        await phone.tap("speed-1000")
        kept = await last_kept(phone, doc)
        moment = moment_at(fold(read_job(doc)), "L2.in")
        assert (kept["value"], kept["moment"]) == (1000, moment)
        phone.stop()

    run(journey)


@pytest.mark.parametrize(
    ("at", "kind"),
    [
        *(("C4", "metres"), ("EB1", "earth_ohms"), ("hut", "celsius"), ("S.out", "watts")),
        *(("C4", "unbalance_ohms"), ("L2.in", "error_count")),
        *(("NOT.in", "volts"), ("Q9", "metres")),
    ],
)
def test_every_kind_of_pad_has_its_meter(at, kind):
    async def journey() -> None:
        phone = await metered(job(seed=SPAN_HIGH), at, kind)
        assert phone.takes("keep")
        phone.stop()

    run(journey)


def test_a_standing_that_is_changed_asks_for_another_reading():
    """What the meter showed with all running is not kept as what it shows at a bare end."""

    async def journey() -> None:
        doc = job(seed=seed_of("port.trip"))
        phone = await metered(doc, "S.out", "volts")
        await phone.tap("standing-open")
        assert not phone.shows("It moves between")
        await phone.tap("keep")
        kept = await last_kept(phone, doc)
        assert "unsteady" not in kept and kept["with"] == {"*": "off"}
        phone.stop()

    run(journey)


def test_a_real_site_has_no_such_meter_and_no_mark():
    async def journey() -> None:
        phone = await Phone.start(docs=(warned(sample("orchard-gate")),))
        for place in ("now", "run", "leave", "plan", "read/S.out/volts", "read/R1.in/mbps"):
            await phone.go(f"/j/ORCHARD-GATE/{place}")
            assert not phone.has("made-up") and not phone.has("made-up-meter")
        await phone.go("/")
        assert not phone.shows(words.capital(words.made_up()))
        phone.stop()

    run(journey)


def test_a_change_where_the_cause_is_mends_the_meter_and_elsewhere_it_does_not():
    plain = read_job({**sample("reedbed-hide"), "log": []})
    sites = {
        cause: made_up(plain, cause=cause, where=where, seed=SPAN_HIGH)
        for cause, where in (("none", None), (TRUTH.cause, TRUTH.where))
    }

    async def shows(cause: str, *log: Doc) -> None:
        doc = job(*log, seed=SPAN_HIGH)
        moment = moment_at(fold(read_job(doc)), TRUTH.where)
        want = sites[cause].shown(TRUTH.where, "loop_ohms", "M1", moment=moment)
        phone = await metered(doc, TRUTH.where, "loop_ohms")
        assert words.pairs_read(want.pairs) in phone.texts()
        phone.stop()

    async def journey() -> None:
        await shows(TRUTH.cause)
        await shows(TRUTH.cause, change(ELSEWHERE))
        await shows("none", change(TRUTH.where))

    run(journey)
