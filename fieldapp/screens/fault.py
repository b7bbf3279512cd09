"""Fault: the cause that the readings point to and why, the others, and the test that parts them."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import flet as ft

from engine.diagnose.account import Account, Fault
from engine.diagnose.asking import BACK, HERE
from engine.faults import OTHER
from engine.verdict import OUTSIDE
from fieldapp import faultview as view
from fieldapp import words
from fieldapp.bar import bar
from fieldapp.buttons import quiet, slab
from fieldapp.finding import found_of, is_troubled, told_apart
from fieldapp.framing import frame
from fieldapp.mending import can_be_mended
from fieldapp.messages import Go, MendingOpened
from fieldapp.model import Model
from fieldapp.paint import LARGE, MARGIN, Look
from fieldapp.parts import padded, text, told
from fieldapp.questions import here
from fieldapp.routes import Place, route_of
from fieldapp.screens import fault_parts as parts
from fieldapp.screens.mended import mended_actions, mended_body
from fieldapp.screens.shared import Parts, SendAny, ribbon_of, strip
from fieldapp.sending import Send

LONG = 90
"""letters from which on a sentence is set smaller"""


def fault(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """What is wrong, as far as the readings tell; one press goes to the next test."""
    found = found_of(model)
    read = any(one.current for one in model.open_job.judgement.verdicts)
    account = found.account if found is not None else None
    if model.mending is not None and account is not None:
        body, actions = mended_body(model, send, look), mended_actions(model, send, look)
    elif found is not None and found.gave_up:
        body, actions = _gave_up(model, send, look)
    elif not read:
        body, actions = [_title(words.nothing_read(), look)], [_go_on(model, send, look)]
    elif account is None:
        body, actions = _searching(found.share if found is not None else 0.0, model, send, look)
    else:
        body, actions = STATES[view.state_of(account)](account, model, send, look)
        actions = [*strip(model, send, look), *actions]
        if look.scale >= LARGE:  # the slab stands fast, the others scroll with the words
            body, actions = [*body, *map(padded, actions[1:])], actions[:1]
    top = [_ribbon(model, account, send, look), *told(look, model)]
    return frame(look, top=top, body=body, actions=actions, foot=bar(look, model, send))


def _ribbon(model: Model, account: Account | None, send: SendAny, look: Look) -> ft.Control:
    """The suspect striped, the walk to the next test dotted above it."""
    number = sum(one.current for one in model.open_job.judgement.verdicts)
    test = account.next_test if account is not None else None
    walk = (here(model), test.stop) if test is not None and test.way != HERE else None
    return ribbon_of(model, send, look, says=words.readings_count(number), walk=walk)


def _title(said: str, look: Look) -> ft.Control:
    return padded(text(look, said, 27 if len(said) < LONG else 23, cap=1.4), top=12)


def _go_on(model: Model, send: SendAny, look: Look) -> ft.Control:
    """Nothing to be done here: the steps go on."""
    now = Send(send, Go(route_of(Place("now", model.open_job.id))))
    return slab(look, words.on_to_now(), "", now)


# ---------------------------------------------------------------- nothing to point at


def _searching(share: float, model: Model, send: SendAny, look: Look) -> Parts:
    """Causes are still weighed; the readings stand there meanwhile."""
    line = ft.Semantics(
        content=text(look, words.weighing(share), 20, "soft", "TI", cap=1.6), live_region=True
    )
    seen = [
        one for one in model.open_job.judgement.verdicts if one.current and one.verdict == OUTSIDE
    ]
    rows = [parts.reading_row(one, look) for one in seen[:4]]
    return [padded(line, top=14), *rows], []


def _gave_up(model: Model, send: SendAny, look: Look) -> Parts:
    run = Send(send, Go(route_of(Place("run", model.open_job.id))))
    return [_title(words.gave_up(), look)], [slab(look, words.FIXED.see_run, "", run)]


def _agrees(account: Account, model: Model, send: SendAny, look: Look) -> Parts:
    """Nothing wrong by what was read, and what no reading sees."""
    best = account.best
    body = [
        _title(words.sentence(best.say), look),
        parts.odds_row(best.probability, look),
        *parts.evidence(model, best, look),
        padded(text(look, words.agree_not_proof(), 20, cap=1.8), top=4),
        *(parts.point_of(words.sentence(one), look) for one in account.unseen),
        *parts.others(account, best, model, send, look),
    ]
    on, test = _go_on(model, send, look), view.reading_of_test(account)
    if test is None:
        return body, [on]
    title, more = view.slab_words(model, test)
    to_test = Send(send, Go(view.route_to(model, test)))
    if is_troubled(model.open_job.judgement):  # what the sentence asks for comes first
        way = "left" if test.way == BACK else "right"
        now = Send(send, Go(route_of(Place("now", model.open_job.id))))
        later = _wide_quiet(words.on_to_now(), now, "go-on", look)
        return body, [slab(look, title, more, to_test, way=way), later]
    return body, [on, _wide_quiet(title, to_test, "next-test", look)]


def _misfit(account: Account, model: Model, send: SendAny, look: Look) -> Parts:
    """No cause explains the readings: the most doubtful one is taken again."""
    on_top = view.shown(model, account)
    nearest = [
        padded(text(look, words.nearest_is(), 18, "soft", "TI", cap=1.6)),
        padded(text(look, words.sentence(on_top.say), 20, cap=1.8)),
        parts.odds_row(on_top.probability, look),
    ]
    body = [
        _title(words.sentence(account.doubt or account.best.say), look),
        *(nearest if on_top.cause != OTHER else ()),
        *parts.evidence(model, on_top, look),
        *parts.others(account, on_top, model, send, look),
    ]
    doubtful = account.doubtful or view.read_again(account, account.best)
    again = Send(send, Go(view.again_route(model, doubtful)))
    body += _mend_quiet(on_top, model, send, look)
    return body, [slab(look, words.FIXED.measure_again, words.both_used(), again)]


# ---------------------------------------------------------------- a cause on top


def _on_top(
    account: Account, fault_: Fault, model: Model, send: SendAny, look: Look
) -> list[ft.Control]:
    """The cause, how likely, why, how large; then the others."""
    return [
        _title(words.sentence(fault_.say), look),
        parts.odds_row(fault_.probability, look),
        *parts.evidence(model, fault_, look),
        *parts.where_else(account, fault_, look),
    ]


def _settled(account: Account, model: Model, send: SendAny, look: Look) -> Parts:
    """One cause is sure: the slab is its mending."""
    on_top = view.shown(model, account)
    body = [
        *_on_top(account, on_top, model, send, look),
        *parts.what_it_may_be(on_top, look),
        *parts.how_to(on_top, look),
        *parts.others(account, on_top, model, send, look),
    ]
    return body, _mend_slab(account, on_top, model, send, look)


def _parted(account: Account, model: Model, send: SendAny, look: Look) -> Parts:
    """One test tells most: the slab leads to it."""
    on_top, test = view.shown(model, account), account.next_test
    assert test is not None  # the verdict of the account says that one parts them
    body = [
        *_on_top(account, on_top, model, send, look),
        *parts.others(account, on_top, model, send, look),
        *parts.next_test(test, view.foretold(model.open_job.judgement, account, on_top), look),
        *parts.what_it_may_be(on_top, look),
        *_mend_quiet(on_top, model, send, look),
    ]
    title, more = view.slab_words(model, test)
    press = Send(send, Go(view.route_to(model, test)))
    way = "left" if test.way == BACK else "right"
    return body, [slab(look, title, more, press, way=way)]


def _stuck(account: Account, model: Model, send: SendAny, look: Look) -> Parts:
    """No test parts them: what is cheap under both is mended first."""
    on_top = view.shown(model, account)
    following = next((one for one in account.faults if one is not on_top), None)
    same = following is not None and following.where == on_top.where != ""
    test = account.next_test
    told = words.no_test_more(same) if test is None else words.sentence(test.say)
    body = [
        *_on_top(account, on_top, model, send, look),
        *parts.others(account, on_top, model, send, look),
        padded(text(look, words.no_test(), 20, face="TB", cap=1.6), top=6),
        padded(text(look, told, 19, cap=1.8)),
        *parts.what_it_may_be(on_top, look),
        *parts.how_to(on_top, look),
    ]
    return body, _mend_slab(account, on_top, model, send, look)


def _mend_slab(
    account: Account, fault_: Fault, model: Model, send: SendAny, look: Look
) -> list[ft.Control]:
    """The mending; a slip of a figure is mended by reading it again."""
    title = words.plain(words.sentence(fault_.do)).rstrip(".") if fault_.do is not None else ""
    if view.misread(fault_) or not can_be_mended(model, fault_):
        again = Send(send, Go(view.again_route(model, view.read_again(account, fault_))))
        return [slab(look, title or words.FIXED.measure_again, words.both_used(), again)]
    opens = Send(send, MendingOpened(*told_apart(fault_)))
    return [slab(look, title, words.then_say(), opens)]


def _mend_quiet(fault_: Fault, model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """The way past the test, for who has found it already."""
    if view.misread(fault_) or not can_be_mended(model, fault_):
        return []
    press = Send(send, MendingOpened(*told_apart(fault_)))
    return [padded(_wide_quiet(words.found_already(), press, "mend", look), bottom=8)]


def _wide_quiet(title: str, press: Send, key: str, look: Look) -> ft.Control:
    return quiet(look, title, press, key=key, width=look.width - 2 * MARGIN)


STATES: Mapping[str, Callable[[Account, Model, SendAny, Look], Parts]] = {
    view.AGREES: _agrees,
    view.MISFIT: _misfit,
    view.SETTLED: _settled,
    view.PARTED: _parted,
    view.STUCK: _stuck,
}
"""the page by its state"""
