"""Practice on the phone: a site is made up, told at its end, and drawn in every look."""

from __future__ import annotations

import asyncio
import json
from typing import Any

import pytest
from headless import Phone
from practice_held import (
    ELSEWHERE,
    TRUTH,
    Seeded,
    at_pad,
    held,
    job,
    last_kept,
    note,
    past_cautions,
    run,
)
from practice_jobs import JOB, SOUND_SITE, SPAN_HIGH, Doc, change, found, reading, truth_of
from practice_jobs import job as made_up_site
from samples import sample

from engine.jobfile import load, read_job
from engine.judge import judge
from engine.practice import MADE_UP_KEY
from engine.practice.after import ONE_CAUSE, PERHAPS, PRACTICE, SHOWN, SOUND, hidden
from engine.predict import predict
from engine.sliced import finish
from engine.worked import worked
from fieldapp import words
from fieldapp.drawing.tokens import DARK, SUN
from fieldapp.messages import MakeUp
from fieldapp.model import Model
from fieldapp.paint import look_for
from fieldapp.practising import ID, made_up_job, showing_itself
from fieldapp.screens.practice import practice
from fieldapp.screens.reading import SPEEDS
from fieldapp.shipped import practice_files, practice_sites

NAMES = [site.name for site in practice_sites()]


# ---------------------------------------------------------------- where one begins


def test_the_copy_and_the_signature_wait_for_the_readings_where_all_else_stands_already():
    steps = worked(judge(read_job(made_up_site()))).steps
    kinds = [step.kind for step in steps if step.state == "open"]
    assert kinds[-2:] == ["copy", "sign"] and {"volts", "link"} <= set(kinds[:-2])


@pytest.mark.parametrize("path", practice_files(), ids=lambda path: path.stem)
def test_every_plan_to_practise_on_is_sound(path):
    """Of its own findings none stops, and each of its boxes has something that can be wrong."""
    prediction = predict(load(path).plan)
    assert prediction.operates
    assert "stop" not in {finding.severity for finding in prediction.findings}
    assert prediction.job.meters


def test_there_is_a_run_on_two_pairs_and_a_tree_and_all_have_names_of_their_own():
    sites = practice_sites()
    assert {site.pairs for site in sites} == {2, 4}
    assert {site.ends for site in sites} == {1, 2, 3}
    assert len({site.title for site in sites}) == len(sites) == 5
    assert [site.boxes for site in sites] == sorted(site.boxes for site in sites)


@pytest.mark.parametrize("docs", [(), (sample("orchard-gate"),)], ids=["empty", "list"])
def test_the_jobs_lead_to_the_made_up_sites(docs):
    async def journey() -> None:
        phone = await Phone.start(docs=docs)
        await phone.tap("practise")
        assert phone.route == "/practice"
        assert all(phone.has(f"site-{name}") for name in NAMES)
        await phone.back()
        assert phone.route == "/"
        phone.stop()

    run(journey)


def test_while_a_site_is_made_up_it_is_said_that_one_waits():
    def told(waiting: Any) -> str:
        model = Model(waiting=waiting, sites=practice_sites())
        return str(practice(model, print, look_for(False, 390, 844, 1.0)))

    assert words.making_up() in told(MakeUp(NAMES[0], ONE_CAUSE))
    assert words.making_up() not in told(None)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("level", [PERHAPS, ONE_CAUSE])
def test_a_press_makes_a_job_whose_next_step_is_to_measure(name, level):
    """The seed and how much is hidden are all that is stored of what is hidden."""

    async def journey() -> None:
        phone = await Phone.start(world=Seeded(77))
        await phone.go("/practice")
        await phone.tap(f"level-{level}")
        await phone.tap(f"site-{name}")
        ident = f"{ID}{name.upper()}"
        assert phone.route == f"/j/{ident}/now"
        doc = await held(phone, ident)
        made = doc[MADE_UP_KEY]
        assert set(made) == {"seed", "level"}
        assert (made["seed"], made["level"]) == (phone.world.next_seed - 1, level)
        assert finish(showing_itself(read_job({**doc, "log": []})))
        truth = truth_of(doc)
        assert truth.cause == "none" or truth.cause not in json.dumps(doc)
        assert doc["title"].endswith(words.made_up_title(""))
        assert phone.shows(words.capital(words.band_line(0, 0)))
        await past_cautions(phone)
        assert phone.shows(words.measure_at("S.out", "volts"))
        await phone.go("/practice")
        await phone.tap(f"site-{name}")
        assert (await held(phone, f"{ident}-2"))["title"].endswith("made up 2")
        phone.stop()

    run(journey)


@pytest.mark.parametrize("name", NAMES)
def test_what_is_hidden_shows_itself_to_a_careful_walk(name):
    """A patch lead with half as many ohms again is nothing that anybody could find: such sites
    are not handed out, and on every plan some of both kinds are drawn."""
    path = next(path for path in practice_files() if path.stem == name)
    files = [made_up_job(path, ONE_CAUSE, seed, "") for seed in range(24)]
    shown = [finish(showing_itself(file)) for file in files]
    assert sum(shown) >= 6
    sound = [made_up_job(path, PERHAPS, seed, "") for seed in range(24)]
    assert all(finish(showing_itself(file)) for file in sound if hidden(file).cause == "none")


def test_all_that_stands_before_one_comes_is_no_reading_of_what_is_hidden():
    async def journey() -> None:
        phone = await Phone.start(world=Seeded(5))
        await phone.go("/practice")
        await phone.tap("site-reedbed-hide")
        doc = await held(phone, f"{ID}REEDBED-HIDE")
        read = {entry["kind"] for entry in doc["log"] if entry["what"] == "reading"}
        assert read == {"earth_ohms"}
        await phone.go(f"{JOB}/leave")
        photos = [key for key in phone.keys if key.startswith("hold-photo")]
        assert photos and not any(not_waived(phone, key) for key in photos)
        phone.stop()

    run(journey)


def not_waived(phone: Phone, key: str) -> bool:
    return phone.has(f"waive-{key.removeprefix('hold-')}")


# ---------------------------------------------------------------- so far, and how it went


async def told(*log: Doc, seed: int, level: str = ONE_CAUSE) -> tuple[str, ...]:
    phone = await Phone.start(docs=(job(*log, seed=seed, level=level),))
    await phone.go(f"{JOB}/practice")
    texts = phone.texts()
    phone.stop()
    return texts


def plain(text: str) -> str:
    return words.plain(text)


LEFT = {"id": "left", "what": "leave", "open": []}
ENDS = [
    ("mended", (change(TRUTH.where),), SPAN_HIGH),
    ("mended", (note(SHOWN), change(TRUTH.where)), SPAN_HIGH),
    ("named", (found("span.high", TRUTH.where),), SPAN_HIGH),
    ("named", (found("joint.high", TRUTH.where),), SPAN_HIGH),
    ("shown", (note(SHOWN),), SPAN_HIGH),
    ("missed", (found("span.high", ELSEWHERE), change(ELSEWHERE)), SPAN_HIGH),
    ("missed", (note(SOUND),), SPAN_HIGH),
    ("left", (LEFT,), SPAN_HIGH),
    ("sound", (note(SOUND),), SOUND_SITE),
    ("sound", (LEFT,), SOUND_SITE),
    ("missed", (found("box.dead", "L1"),), SOUND_SITE),
    ("shown", (note(SHOWN),), SOUND_SITE),
]


@pytest.mark.parametrize(("outcome", "log", "seed"), ENDS)
def test_each_end_is_told_with_what_was_hidden(outcome, log, seed):
    level = PERHAPS if seed == SOUND_SITE else ONE_CAUSE
    truth = truth_of(job(seed=seed, level=level))

    async def journey() -> None:
        texts = await told(*log, seed=seed, level=level)
        assert plain(words.went(outcome)) in texts
        assert words.truth_line(truth.cause, truth.where, truth.end) in texts
        assert words.another_one() in texts and words.show_me() not in texts

    run(journey)


@pytest.mark.parametrize("log", [(), (change(ELSEWHERE),), (reading("r", "L2.in"),)])
def test_while_it_goes_on_nothing_of_what_is_hidden_stands_on_any_screen(log):
    """Nor in what a screen reader hears: neither the cause's name nor its id."""
    name = words.cause_name(TRUTH.cause)

    async def journey() -> None:
        phone = await Phone.start(docs=(job(*log, seed=SPAN_HIGH),))
        places = ("practice", "now", "run", "leave", "steps", "hand", "plan", "read/L2.in/volts")
        for place in places:
            await phone.go(f"{JOB}/{place}")
            heard = (*phone.texts(), *phone.speech())
            assert not any(name in text or TRUTH.cause in text for text in heard), place
            assert any("made" in text.lower() and "up" in text for text in heard), place
        phone.stop()

    run(journey)


@pytest.mark.parametrize(
    ("key", "word"), [("show-me", SHOWN), ("nothing-wrong", SOUND)], ids=["shown", "sound"]
)
def test_one_press_ends_it_and_is_in_the_log(key, word):
    async def journey() -> None:
        doc = job(seed=SPAN_HIGH)
        phone = await Phone.start(docs=(doc,))
        await phone.go(f"{JOB}/now")
        await phone.tap("made-up")
        assert phone.route == f"{JOB}/practice"
        await phone.tap(key)
        assert phone.route == f"{JOB}/practice"
        kept = await last_kept(phone, doc)
        assert (kept["what"], kept[PRACTICE]) == ("note", word)
        assert phone.shows(words.how_it_went())
        await phone.tap("slab")
        assert phone.route == "/practice"
        phone.stop()

    run(journey)


def test_the_clock_counts_what_was_walked_and_read():
    log = (reading("a", "S.out", moment="1"), reading("b", "L2.in", moment="2"))

    async def journey() -> None:
        texts = await told(*log, seed=SPAN_HIGH)
        assert plain(words.took(2 + 463 / 50, 2, 463, 2)) in texts

    run(journey)


@pytest.mark.parametrize("press", ["point", "standing-known", ""])
def test_what_opens_over_the_pad_is_marked_as_well(press):
    """Cautions, the points, a known load: none of them has the meter's button."""

    async def journey() -> None:
        phone = await Phone.start(docs=(job() if press else made_up_site(),))
        await at_pad(phone, "S.out", "volts")
        if press:
            assert phone.has("made-up-meter") and not phone.has("made-up")
            await phone.tap(press)
        assert phone.has("made-up") and not phone.has("made-up-meter")
        phone.stop()

    run(journey)


def test_a_file_whose_seed_tells_nothing_is_marked_and_has_no_meter():
    async def journey() -> None:
        doc = {**job(), MADE_UP_KEY: {"seed": 3}}
        phone = await Phone.start(docs=(doc,))
        await phone.go(f"{JOB}/read/S.out/volts")
        assert phone.has("made-up") and not phone.has("made-up-meter")
        await phone.tap("made-up")
        assert phone.shows(words.so_far_title(""))
        assert not phone.has("show-me") and not phone.has("nothing-wrong")
        phone.stop()

    run(journey)


def test_the_mark_stands_in_the_list_and_in_the_table_of_readings():
    async def journey() -> None:
        doc = job(reading("a", "S.out"), seed=SPAN_HIGH)
        phone = await Phone.start(docs=(doc, sample("orchard-gate")))
        row = phone.find(f"job-{doc['id']}")
        assert words.capital(words.made_up()) in phone.texts(row)
        assert words.capital(words.made_up()) not in phone.texts(phone.find("job-ORCHARD-GATE"))
        phone.stop()

    run(journey)


WAY_OUT = ("S.out", "L1.out", "L1.in", "L2.in", "L2.out", "C.in")


def test_a_run_from_the_first_reading_to_how_it_went_by_presses_alone():
    """Volts and amps outwards by the made-up meter, the tests that the fault page asks for, what is
    then settled mended, and told."""

    async def journey() -> None:
        phone = await Phone.start(docs=(job(seed=SPAN_HIGH),))
        for at in WAY_OUT:
            for kind in ("volts", "milliamps"):
                await at_pad(phone, at, kind)
                await phone.tap("made-up-meter")
                await phone.tap("keep")
        tests = 0
        while not phone.has("was-that"):
            await phone.go(f"{JOB}/fault")
            await weighed(phone)
            await phone.tap("slab")  # the next test, or what is settled
            if "/test/" in phone.route:
                tests += 1
                if not phone.takes("slab"):
                    await phone.tap("off-S")
                await phone.tap("slab")
            if "/read/" in phone.route:
                if phone.has("understood"):  # what to know before this reading, once a stop
                    await phone.tap("understood")
                await phone.tap("made-up-meter")
                lit = next((n for n in SPEEDS if phone.shows(words.lights_show(n))), None)
                await phone.tap("keep" if phone.has("keep") else f"speed-{lit}")
        assert 1 <= tests <= 4
        await phone.tap("was-that")
        await phone.tap("mended-slab")
        assert phone.route == f"{JOB}/practice"
        assert phone.shows(words.went("mended"))
        assert phone.shows(words.truth_line(TRUTH.cause, TRUTH.where, TRUTH.end))
        phone.stop()

    run(journey)


async def weighed(phone: Phone) -> None:
    """Until the page of the fault knows what it is."""
    for _ in range(600):
        if phone.has("slab"):
            return
        await asyncio.sleep(0.02)
        await phone.settle()
    raise AssertionError(phone.texts())


# ---------------------------------------------------------------- every state in every look

PAGES = {
    "list": ("/practice", ()),
    "so-far": (f"{JOB}/practice", (reading("a", "S.out"), change(ELSEWHERE))),
    "went": (f"{JOB}/practice", (found("joint.high", ELSEWHERE), change(TRUTH.where))),
    "now": (f"{JOB}/now", ()),
    "run": (f"{JOB}/run", ()),
    "leave": (f"{JOB}/leave", ()),
    "plan": (f"{JOB}/plan", ()),
    "pad": (f"{JOB}/read/L2.in/volts", ()),
    "lights": (f"{JOB}/read/L2.in/mbps", ()),
    "ohms": (f"{JOB}/read/C4/loop_ohms", ()),
}


@pytest.mark.parametrize("name", PAGES)
@pytest.mark.parametrize(
    ("look", "size", "scale"),
    [
        *(("sun", (390, 844), 1.0), ("dark", (390, 844), 2.0)),
        *(("dark", (1180, 820), 1.0), ("sun", (844, 390), 1.0)),
    ],
)
def test_every_page_stands_in_both_looks_large_letters_and_other_windows(name, look, size, scale):
    place, log = PAGES[name]

    async def journey() -> None:
        phone = await Phone.start(
            docs=(job(*log, seed=SPAN_HIGH),), look=look, size=size, scale=scale
        )
        await phone.go(place)
        assert phone.grounds == {(DARK if look == "dark" else SUN)["ground"]}
        if phone.has("made-up-meter"):
            await phone.tap("made-up-meter")
        marks = [key for key in phone.keys if key == "made-up"]
        own = name in ("list", "so-far", "went", "pad", "lights", "ohms")
        assert len(marks) == (0 if own else 1)
        phone.stop()

    run(journey)


def test_large_letters_shorten_the_button_and_a_screen_reader_hears_it_whole():
    async def journey() -> None:
        phone = await Phone.start(docs=(job(),), scale=2.0)
        await at_pad(phone, "S.out", "volts")
        assert phone.texts(phone.find("made-up-meter")) == (words.take_made_up_short(),)
        assert words.take_made_up() in phone.speech()
        phone.stop()

    run(journey)


def test_the_mark_can_be_touched_and_read():
    """56 dp high, and ink on its sheet: 16 to 1 and more in both looks."""

    async def journey() -> None:
        phone = await Phone.start(docs=(job(),))
        await phone.go(f"{JOB}/now")
        assert phone.find("made-up").height >= 56
        phone.stop()

    run(journey)
    for tokens in (SUN, DARK):
        assert _contrast(tokens["ink"], tokens["sheet"]) >= 15
    assert look_for(False, 390, 844, 1.0).above is None


def _contrast(one: str, two: str) -> float:
    """WCAG 2: relative luminances with 0.05 of flare."""
    light, dark = sorted((_luminance(one), _luminance(two)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def _luminance(colour: str) -> float:
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    lit = [c / 12.92 if c <= 0.03928 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * lit[0] + 0.7152 * lit[1] + 0.0722 * lit[2]
