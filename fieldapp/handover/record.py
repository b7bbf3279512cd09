"""From a judgement to the record of a job, as plain values. Pure: nothing of it is stored.

One function a section (``FRONT``, ``SECTIONS``), each from the judgement alone; times stand as the
log has them, with the zone they were written in.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from functools import partial

from attrs import frozen

from engine.cautions import called_for
from engine.copied import HANDED
from engine.diagnose.account import Account
from engine.entries import Entry
from engine.found import find_of, unmended
from engine.judge import Judgement
from engine.leave import Hold
from engine.log import State
from engine.practice.after import is_made_up
from engine.say import Say
from engine.sliced import Progress, finish
from engine.step import PHOTO
from engine.verdict import NO_BAND, OUTSIDE, UNCLEAR, Verdict, confirmed
from fieldapp import words
from fieldapp.drawing.falling import falling_line
from fieldapp.handover.assumed import assumed
from fieldapp.handover.page import (
    Cell,
    Drawing,
    Paragraph,
    Part,
    Parts,
    Photo,
    Record,
    Row,
    Section,
)
from fieldapp.handover.remarks import place_of, read_and_timed, remarks
from fieldapp.handover.rows import row, table, when
from fieldapp.handover.signatures import signed
from fieldapp.handover.standing import boxes, meters, remote_power
from fieldapp.handover.visits import since_left, visits
from fieldapp.runline import fall_points, floor_of, paths, run_length_m, run_line

WIDTH, HEIGHT = 680.0, 420.0
"""of the falling line: the width of the text at 96 to the inch, on either paper. [px]"""
FINDING = "finding."
LEAST_TOLD, MOST_TOLD = 0.05, 4
"""a cause less likely is not told; so many are"""


@frozen
class Source:
    """What a record is made from; ``account`` only where something is outside and was sought."""

    judgement: Judgement
    account: Account | None = None


def record(judgement: Judgement, account: Account | None = None) -> Record:
    """The record of a job.

    ``account`` is that of the diagnosis, told only where a reading is outside; without one the
    record says there that the causes were not worked out.
    """
    return finish(recording(judgement, account))


def recording(judgement: Judgement, account: Account | None = None) -> Progress[Record]:
    """The same in slices; yields the share done, 0 to 1."""
    source = Source(judgement, account if needs_account(judgement) else None)
    job = judgement.state.job
    made: dict[str, tuple[Part, ...]] = {}
    for name, make in (FRONT | SECTIONS).items():
        share = len(made) / (len(FRONT) + len(SECTIONS))
        parts: list[Part] = []
        for one in make(source):
            if one is None:
                yield share
            else:
                parts.append(one)
        made[name] = tuple(parts)
        yield share
    return Record(
        job.id,
        words.record_title(job.title),
        words.made_up() if is_made_up(judgement.state.doc) else "",
        tuple(_section(name, made[name]) for name in FRONT),
        tuple(_section(name, made[name]) for name in SECTIONS if made[name] or name not in QUIET),
        (logged(judgement.state) or (None,))[-1],
    )


def logged(state: State) -> tuple[str, ...]:
    """The times of a log, in its order; when a record was handed over is no news of the site."""
    return tuple(one.t for one in state.entries if one.t and HANDED not in one.body)


def needs_account(judgement: Judgement) -> bool:
    """Whether a reading that counts is outside, so that its cause is sought."""
    return any(one.current and one.verdict == OUTSIDE for one in judgement.verdicts)


def _section(name: str, parts: Iterable[Part]) -> Section:
    made = tuple(parts) or (Paragraph(words.record_nothing(name)),)
    return Section(name, words.record_head(name), made)


# ---------------------------------------------------------------- small helps


def _said(statement: Say) -> str:
    return words.plain(words.sentence(statement))


def _kept(source: Source, *kinds: str) -> Iterator[Entry]:
    """Entries of these kinds that were not taken back."""
    state = source.judgement.state
    return (one for one in state.entries if one.what in kinds and one.id not in state.voided)


def _is_stop_finding(hold: Hold) -> bool:
    return hold.id.startswith(FINDING)


def _waived(source: Source, *, findings: bool) -> Parts:
    rows = (
        (_said(hold.say), _answer(hold))
        for hold in source.judgement.holds
        if hold.waiver and _is_stop_finding(hold) == findings
    )
    return table("finding answered", rows)


def _answer(hold: Hold) -> str:
    waiver = hold.waiver
    if waiver is None:
        return ""
    return words.record_answered(waiver.by, waiver.role, when(waiver.t), waiver.reason)


# ---------------------------------------------------------------- the first page


def _built(source: Source) -> Parts:
    judgement = source.judgement
    state, job = judgement.state, judgement.state.job
    yield Paragraph(words.plain(verdict_sentence(judgement)), leads=True)
    main = paths(judgement.prediction).main
    ends = (main[0], main[-1]) if len(main) > 1 and job.spans else ("", "")
    yield Paragraph(words.record_built(len(job.boxes), run_length_m(judgement), *ends))
    if job.site.name:
        yield Paragraph(job.site.name)
    times = logged(state)
    names = tuple(dict.fromkeys(one.by for one in state.entries if one.by))
    first, last = (when(times[0]), when(times[-1])) if times else ("", "")
    yield Paragraph(f"{words.record_between(first, last)} {words.record_people(names)}")


def verdict_sentence(judgement: Judgement) -> str:
    """What the job comes to, in one sentence: the gravest thing first."""
    settled = confirmed(judgement.verdicts)
    seen = [v.verdict for v in judgement.verdicts if v.current and v.id not in settled]
    judged = [one for one in seen if one != NO_BAND]
    stops = sum(1 for hold in judgement.blockers if _is_stop_finding(hold))
    rows = (
        ("outside", seen.count(OUTSIDE)),
        ("collapse", not judgement.prediction.operates),
        ("stop", stops),
        ("nothing-read", not seen),
        ("unclear", seen.count(UNCLEAR)),
        ("no-band", not judged),
        ("open", len(judgement.blockers)),
    )
    state, number = next(((name, n) for name, n in rows if n), ("agrees", len(judged)))
    return words.record_verdict(state, int(number))


def _line(source: Source) -> Parts:
    judgement = source.judgement
    if not judgement.state.job.boxes:
        return
    floor, collapse = floor_of(judgement.prediction), judgement.prediction.collapse
    run = run_line(judgement)
    yield None
    fall = fall_points(judgement, today=True)
    yield None
    picture = falling_line(
        run,
        fall,
        floor[0] if floor else None,
        words.floor(*floor) if floor else "",
        None,
        WIDTH,
        HEIGHT,
        collapse=words.collapse_line(str(collapse.at), collapse.volts_needed) if collapse else "",
        wording=words.WORDING,
    )
    yield Drawing(picture, words.record_line_speech(judgement.state.job.title))


# ---------------------------------------------------------------- what was read


def _readings(source: Source) -> Parts:
    verdicts = sorted(source.judgement.verdicts, key=lambda one: one.reading.place)
    rows = (_reading(source, verdict) for verdict in verdicts)
    return table("time place kind value band verdict meter by", rows)


def _reading(source: Source, verdict: Verdict) -> Row:
    reading, band, state = verdict.reading, verdict.band, source.judgement.state
    standing = reading.standing
    stood = words.record_stood(
        sorted(standing.known.items()), sorted(standing.off), bool(standing.beyond)
    )
    meter = state.job.meters.get(reading.meter or "")
    word = words.record_word(verdict.verdict, verdict.current, verdict.id in state.voided)
    ends = (band.low, band.expected, band.high) if band else (None, None, None)
    cells = (
        when(reading.t),
        f"{words.point(reading.at)} ({stood})" if stood else words.point(reading.at),
        words.record_kind(reading.kind, reading.method),
        words.with_unit(reading.figure, reading.kind),
        words.record_band(*ends, reading.kind),
        Cell(word, verdict.verdict if verdict.current else ""),
        meter.name if meter else reading.meter or words.record_no_meter(),
        reading.by,
    )
    return row(cells, not verdict.current)


def _open(source: Source) -> Parts:
    job = source.judgement.state.job
    rows = ((place_of(job, hold.at), _said(hold.say)) for hold in source.judgement.blockers)
    return table("place finding", rows)


def _findings(source: Source) -> Parts:
    answers = {hold.id: _answer(hold) for hold in source.judgement.holds}
    rows = (
        (
            words.record_weight(one.severity),
            place_of(source.judgement.state.job, one.at),
            _said(one.say),
            answers.get(f"{FINDING}{one.id}", ""),
        )
        for one in source.judgement.prediction.findings
        if one.rule != "assumed"
    )
    return table("weight place finding answered", rows)


def _diagnosis(source: Source) -> Parts:
    account = source.account
    if account is None:
        if needs_account(source.judgement):
            yield Paragraph(words.plain(words.gave_up()))
        return
    told = [one for one in account.faults if one.probability >= LEAST_TOLD][:MOST_TOLD]
    rows = ((words.in_ten(one.probability), _said(one.say)) for one in told)
    yield from table("odds cause", rows)
    if account.doubt is not None:
        yield Paragraph(_said(account.doubt))
    for one in told[:1]:
        yield from (Paragraph(_said(each.say)) for each in one.because)
        if one.do is not None:
            yield Paragraph(words.record_do(_said(one.do)))
    if account.next_test is not None:
        test = account.next_test
        yield Paragraph(words.record_next(words.test_name(test.kind, test.at)))


def _faults(source: Source) -> Parts:
    state = source.judgement.state
    still = {one.entry for one in unmended(state)}
    rows = []
    for entry in _kept(source, "found", "change"):
        at = place_of(state.job, state.job.named(entry.body["where"]))
        if entry.what == "change":
            rows.append((when(entry.t), at, words.record_did(entry.body["did"]), "", entry.by))
            continue
        find = find_of(state.job, entry)
        said = words.record_found(words.cause_name(find.cause), entry.body.get("text", ""))
        mended = words.record_mended(entry.id in still) if find.is_fault else ""
        rows.append((when(entry.t), at, said, mended, entry.by))
    return table("time place done state by", rows)


# ---------------------------------------------------------------- what was done


def _steps(source: Source) -> Parts:
    judgement = source.judgement
    by_what = _kept_of(source)
    rows = []
    for step in judgement.steps:
        mark = judgement.state.steps.get(step.id)
        counts = mark is not None and (mark.state == "done") == (step.state == "done")
        state = words.record_step_state(step.state)
        why, who, at = state, "", None
        if mark is not None and counts:
            why = f"{state}: {mark.why}" if mark.why else state
            who, at = mark.by, mark.t
        elif step.asks is not None and step.state == "done":
            who, at = by_what.get((step.asks.at, step.asks.kind), ("", None))
        rows.append(
            (
                place_of(judgement.state.job, step.stop),
                words.plain(words.step(step.say).short),
                why,
                who,
                when(at),
            )
        )
    return table("stop step state by time", rows)


def _kept_of(source: Source) -> dict[tuple[str, str], tuple[str, str | None]]:
    """Who read or photographed what last, and when: that is what such a step is done by.

    A reading that no longer counts does it too, of a span by itself; one that counts goes before.
    """
    voided = source.judgement.state.voided
    kept = [one for one in source.judgement.verdicts if one.id not in voided]
    read = [one.reading for one in sorted(kept, key=_last_that_counts)]
    out = {(one.at, one.kind): (one.by, one.t) for one in read}
    for entry in _kept(source, "photo"):
        out[entry.body["of"], PHOTO] = entry.by, entry.t
    return out


def _last_that_counts(one: Verdict) -> tuple[bool, int]:
    return one.current, one.reading.place


def _notes(source: Source) -> Parts:
    return remarks(source.judgement.state.job, _kept(source, "note"))


def _read_and_timed(source: Source) -> Parts:
    return read_and_timed(source.judgement.state.job, _kept(source, "note"))


def _odd(source: Source) -> Parts:
    return (Paragraph(_said(one.say)) for one in source.judgement.state.oddities)


def _photos(source: Source) -> Parts:
    for entry in _kept(source, "photo"):
        caption = words.record_photo(entry.body["of"], when(entry.t), entry.by)
        yield Photo(entry.body["sha256"], caption, words.record_no_photo())


# ---------------------------------------------------------------- what it holds by


def _cautions(source: Source) -> Parts:
    state = source.judgement.state
    said = (_said(one) for step in source.judgement.steps for one in called_for(state, step))
    for sentence in (*dict.fromkeys(said), words.record_limits()):
        yield Paragraph(sentence)


def _signatures(source: Source) -> Parts:
    return signed(source.judgement.state)


Make = Callable[[Source], Parts]

FRONT: dict[str, Make] = {"built": _built, "waived": partial(_waived, findings=True), "line": _line}
"""the first page"""

SECTIONS: dict[str, Make] = {
    "since": lambda source: since_left(source.judgement),
    "readings": _readings,
    "findings": _findings,
    "open": _open,
    "answered": partial(_waived, findings=False),
    "diagnosis": _diagnosis,
    "faults": _faults,
    "steps": _steps,
    "visits": lambda source: visits(source.judgement),
    "notes": _notes,
    "odd": _odd,
    "photos": _photos,
    "boxes": lambda source: boxes(source.judgement),
    "remote-power": lambda source: remote_power(source.judgement),
    "meters": lambda source: meters(source.judgement),
    "assumed": lambda source: assumed(source.judgement),
    "cautions": _cautions,
    "heeded": _read_and_timed,
    "signatures": _signatures,
}
"""all that follows, in order"""

QUIET = frozenset({"since", "diagnosis", "notes", "odd", "remote-power", "heeded"})
"""sections that are not there where they have nothing to tell"""
