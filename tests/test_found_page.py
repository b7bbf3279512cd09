"""What was found, counted from this phone's journals: the odds that follow, the page, counting anew."""

from __future__ import annotations

from typing import Any

import pytest
from headless import Phone, drive
from samples import sample

from engine.causes import KNOWN
from engine.faults.priors import WEIGHED, Tally, rates
from engine.faults.sizes import RATES, rate
from engine.judge import judge
from engine.practice import MADE_UP_KEY
from fieldapp import priors, words
from fieldapp.messages import FoundCounted, SettingPicked
from fieldapp.model import Model
from fieldapp.priors import NAME, count, found_in, rates_for, tally_of
from fieldapp.update import update

REEDS, ORCHARD = "REEDBED-HIDE", "ORCHARD-GATE"
Doc = dict[str, Any]


def logged(name: str, *bodies: Doc, device: str = "d0d0", after: int = 0, **keys: Any) -> Doc:
    """A job whose log was kept by a phone, counted from behind another entry of it."""
    entries = [
        {"id": f"{name[:3]}{n}", "device": device, "n": n, "by": "Orla", **body}
        for n, body in enumerate(bodies, after + 1)
    ]
    return {**sample(name), **keys, "log": entries}


VOLTS = {"what": "reading", "at": "S.out", "kind": "volts", "value": 53.5}
LEFT = {"what": "leave", "open": []}
JOINT = {"what": "found", "where": "C4", "cause": "joint.high", "sure": True}
MENDED = {"what": "change", "where": "C4", "did": "end made again"}
FOUND = logged("reedbed-hide", JOINT, MENDED)
CLEAN = logged("orchard-gate", VOLTS, LEFT, after=2)


async def counted(phone: Phone, *samples: str) -> Model:
    """A model with what the phone's jobs came to."""
    stays = await count(phone.shelf, samples)
    return update(Model(), FoundCounted(stays))[0]


def on_a_phone(*docs: Doc):
    """A test on a phone that holds these jobs."""

    def wrap(journey):
        def test() -> None:
            async def whole() -> None:
                phone = await Phone.start(docs=docs)
                await journey(phone)
                phone.stop()

            drive(whole)

        test.__name__, test.__doc__ = journey.__name__, journey.__doc__
        return test

    return wrap


# ---------------------------------------------------------------- counting


@on_a_phone(FOUND, CLEAN)
async def test_the_jobs_of_this_phone_are_counted(phone: Phone) -> None:
    model = await counted(phone)
    tally = tally_of(model, first=True)
    assert (tally.jobs, tally.clean, dict(tally.found)) == (2, 1, {"joint.high": 1})
    assert tally_of(model, first=False) == Tally()
    assert found_in(model) == {"joint.high": (1, 1)}


@on_a_phone(
    logged("reedbed-hide", JOINT, device="k9k9"),
    logged("orchard-gate", {**JOINT, "where": "C1"}, **{MADE_UP_KEY: {"seed": 3}}),
)
async def test_somebody_elses_finds_and_practice_do_not_count(phone: Phone) -> None:
    assert tally_of(await counted(phone), first=True) == Tally()


@on_a_phone(FOUND)
async def test_a_sample_is_no_site(phone: Phone) -> None:
    assert tally_of(await counted(phone, "test.json"), first=True) == Tally()
    assert tally_of(await counted(phone, "other.json"), first=True).jobs == 1


@on_a_phone(FOUND, CLEAN)
async def test_a_job_is_worked_out_again_only_when_its_log_has_grown(phone: Phone) -> None:
    first = await count(phone.shelf, ())
    judged: list[str] = []
    before = priors.judging

    def watched(file):
        judged.append(file.plan.id)
        return before(file)

    priors.judging = watched
    try:
        assert await count(phone.shelf, ()) == first and judged == []
        journal = await phone.shelf.journal(REEDS)
        phone.shelf.keep(journal, ({"what": "found", "where": "C3", "cause": "span.high"},))
        again = await count(phone.shelf, ())
    finally:
        priors.judging = before
    assert judged == [REEDS]
    assert [cause for cause, _ in again[REEDS][0].finds] == ["joint.high", "span.high"]
    assert again[ORCHARD] == first[ORCHARD]


@on_a_phone(FOUND, CLEAN)
async def test_what_the_catalogue_remembers_can_be_lost_or_nonsense(phone: Phone) -> None:
    first = await count(phone.shelf, ())
    for nonsense in (None, 3, {}, {"by": "x"}, {**phone.store.derived(NAME), "jobs": {REEDS: 4}}):
        phone.store.put_derived(NAME, nonsense)
        assert await count(phone.shelf, ()) == first
    phone.store.put_derived(NAME, None)
    assert await count(phone.shelf, (), afresh=False) == {}


def test_a_start_knows_what_the_catalogue_remembers() -> None:
    async def journey() -> None:
        phone = await Phone.start(docs=(FOUND, CLEAN))
        await phone.go(f"/j/{REEDS}/now")  # opening a job counts
        phone.stop()
        again = await Phone.start(phone.disk)
        await again.go("/settings/found")
        assert again.shows(words.found_times(1, 1))
        again.stop()

    drive(journey)


# ---------------------------------------------------------------- the odds of a job


@on_a_phone(FOUND, CLEAN)
async def test_the_odds_of_a_job_rest_on_all_other_jobs(phone: Phone) -> None:
    """In the job where it was found the readings speak for it: it is not told twice."""
    model = await counted(phone)
    for job, raised in ((REEDS, False), (ORCHARD, True)):
        judgement = judge(await phone.shelf.read(job))
        own = rates_for(model, job, judgement)
        assert (own("joint.high") > rate("joint.high")) is raised
        assert (own("span.high") < rate("span.high")) is not raised
    assert rates_for(Model(), REEDS, judgement)("joint.high") == rate("joint.high")


@on_a_phone(FOUND, CLEAN)
async def test_counting_anew_gives_the_table_back_and_can_be_undone(phone: Phone) -> None:
    model = await counted(phone)
    before = rates(tally_of(model, first=True))
    anew, effects = update(model, SettingPicked("found_from", priors.counted_up_to(model)))
    assert tally_of(anew, first=True) == Tally() and found_in(anew) == {}
    assert len(effects) == 1, "a setting, and nothing else"
    undone, _ = update(anew, SettingPicked("found_from", 0))
    after = rates(tally_of(undone, first=True))
    assert [after(cause) for cause in WEIGHED] == [before(cause) for cause in WEIGHED]


# ---------------------------------------------------------------- the page


@on_a_phone(FOUND, CLEAN)
async def test_the_page_tells_what_was_found_and_both_rates(phone: Phone) -> None:
    await phone.go("/settings")
    await phone.tap("found")
    assert phone.route == "/settings/found"
    tally = tally_of(await counted(phone), first=True)
    own = rates(tally)("joint.high")
    unit = RATES["joint.high first"].unit
    lines = phone.texts(phone.find("cause-joint.high"))
    assert words.found_times(1, 1) in lines
    assert words.table_says(words.often("joint.high", rate("joint.high"), unit)) in lines
    assert words.yours_say(words.often("joint.high", own, unit)) in lines
    assert own > rate("joint.high")
    shown = [key for key in phone.keys if key.startswith("cause-")]
    assert shown[0] == "cause-joint.high" and len(shown) == len(WEIGHED)
    await phone.tap("back")
    assert phone.route == "/settings"


@on_a_phone(FOUND, CLEAN)
async def test_counting_anew_is_one_press_and_so_is_taking_it_back(phone: Phone) -> None:
    await phone.go("/settings/found")
    assert not phone.has("all")
    await phone.tap("anew")
    assert phone.shows(words.counted_anew()) and phone.shows(words.found_more(0, 0))
    assert not phone.has("anew") and phone.store.setting("found_from") == 4
    await phone.tap("all")
    assert phone.shows(words.found_more(1, 2)) and phone.has("anew")
    assert phone.store.setting("found_from") == 0
    assert (await phone.shelf.read(REEDS)).entries, "nothing is gone"


@on_a_phone(
    logged("reedbed-hide", VOLTS, LEFT, {"what": "visit"}, {**JOINT, "cause": "joint.wet"}),
    logged("orchard-gate", {**JOINT, "where": "E", "cause": "arrestor.reversed"}, after=4),
)
async def test_returns_are_shown_apart_and_what_has_no_odds_says_so(phone: Phone) -> None:
    await phone.go("/settings/found")
    await phone.tap(f"visit-{words.returns()}")
    assert phone.route == "/settings/found?return=1"
    assert phone.shows(words.found_more(1, 1))
    assert words.no_rate() in phone.texts(phone.find("cause-arrestor.reversed"))
    await phone.tap(f"visit-{words.first_visits()}")
    assert phone.shows(words.found_more(0, 1))
    assert words.table_says("never") in phone.texts(phone.find("cause-joint.wet"))


@on_a_phone()
async def test_without_a_find_the_page_is_the_table(phone: Phone) -> None:
    await phone.go("/settings/found")
    assert phone.shows(words.found_more(0, 0))
    assert not phone.has("anew") and not phone.has("all")


@pytest.mark.parametrize("scale", [1.0, 2.0])
def test_the_page_stands_in_large_letters_and_wide_windows(scale: float) -> None:
    async def journey() -> None:
        for size in ((390, 844), (844, 390), (1180, 820)):
            phone = await Phone.start(docs=(FOUND, CLEAN), size=size, scale=scale)
            await phone.go("/settings/found")
            assert phone.shows(words.found_more(1, 2))
            phone.stop()

    drive(journey)


# ---------------------------------------------------------------- found and not mended


@on_a_phone(logged("reedbed-hide", JOINT))
async def test_a_found_fault_holds_one_until_a_repair_there_is_logged(phone: Phone) -> None:
    await phone.go(f"/j/{REEDS}/leave")
    assert phone.shows("Found at C4, not mended")
    await phone.tap("mend-found.ree1")
    await phone.tap("where-J1")
    await phone.tap(f"did-{words.MENDED[0]}")
    await phone.tap("keep-mended")
    await phone.go(f"/j/{REEDS}/leave")
    assert not phone.has("hold-found.ree1")


@on_a_phone(logged("reedbed-hide", JOINT))
async def test_a_find_that_was_none_is_taken_back_from_its_hold(phone: Phone) -> None:
    await phone.go(f"/j/{REEDS}/leave")
    assert phone.has("waive-found.ree1")
    await phone.tap("back-found.ree1")
    assert phone.route == f"/j/{REEDS}/leave" and not phone.has("hold-found.ree1")
    assert tally_of(await counted(phone), first=True) == Tally()


# ---------------------------------------------------------------- words


def test_every_cause_has_a_short_name_and_every_rate_its_places() -> None:
    assert set(words.CAUSES) == set(KNOWN)
    assert {row.unit for row in RATES.values()} == set(words.PLACES)


@pytest.mark.parametrize(
    ("cause", "each", "said"),
    [
        ("contact.high", 0.02, "1 in 100 ends"),
        ("joint.high", 0.006, "1 in 330 ends"),
        ("span.high", 0.02, "1 in 50 spans"),
        ("span.short", 0.001, "1 in 1000 spans"),
        ("span.open", 0.00123, "1 in 810 spans"),
        ("span.high", 0.3, "3 in 10 spans"),
        ("span.high", 0.96, "9 in 10 spans"),
        ("joint.wet", 0.0, "never"),
    ],
)
def test_a_rate_is_said_as_one_in_so_many(cause: str, each: float, said: str) -> None:
    assert words.often(cause, each, "per span") == said
