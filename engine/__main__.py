"""The engine's command line: ``python -m engine predict|judge|steps|advise|check|merge|practice …``."""

from __future__ import annotations

import argparse
import json
import os
import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager, redirect_stderr, redirect_stdout
from pathlib import Path
from typing import Any

from engine import report_json, report_text, sources_text
from engine.advise import advise, still_works
from engine.advise_json import advice_json
from engine.advise_text import advice_text
from engine.crowds import admitted
from engine.format import schema
from engine.jobfile import BadFile, JobFile, load, write
from engine.judge import judge
from engine.merge import NotOneJob, merged, twins
from engine.phrases import practice as told
from engine.practice import NotHere, document, made_up
from engine.showable import Shown, escaped


def _print_json(value: Mapping[str, Any]) -> None:
    plain = (sys.stdout.encoding or "").lower().replace("-", "") != "utf8"
    print(escaped(json.dumps(value, ensure_ascii=plain, indent=2)))


def _predict(file: JobFile, args: argparse.Namespace) -> None:
    prediction = judge(file).prediction
    if args.json:
        _print_json(report_json.prediction_json(prediction))
    else:
        print(report_text.prediction_text(prediction), end="")


def _judge(file: JobFile, args: argparse.Namespace) -> None:
    judgement = judge(file)
    if args.json:
        _print_json(report_json.judgement_json(judgement))
    else:
        print(report_text.judgement_text(judgement), end="")


def _steps(file: JobFile, args: argparse.Namespace) -> None:
    judgement = judge(file)
    if args.json:
        _print_json(report_json.steps_json(judgement, args.people))
    else:
        print(report_text.steps_text(judgement, args.people), end="")


def _advise(file: JobFile, args: argparse.Namespace) -> None:
    judgement = judge(file)
    doc = judgement.state.doc
    advice, limits = advise(doc), still_works(doc)
    if args.json:
        _print_json(advice_json(judgement.state.job, advice, limits))
    else:
        print(advice_text(judgement.prediction, advice, limits), end="")


def _check(file: JobFile, args: argparse.Namespace) -> None:
    if args.json:
        _print_json(report_json.check_json(()))
    else:
        job = file.plan
        print(
            f"{job.id} can be read: {len(job.boxes)} boxes, {len(job.spans)} spans, "
            f"{len(file.entries)} log entries."
        )


def _merge(args: argparse.Namespace) -> None:
    """Write the union; what two entries wrote under one id is told on standard error."""
    whole = merged(admitted(load(path)).doc for path in args.files)
    for ident in twins(whole):
        print(f"{ident} stands for two different entries; both are kept.", file=sys.stderr)
    if args.out:
        _write(Path(args.out), write(whole))
    else:
        print(write(whole), end="")


def _practice(args: argparse.Namespace) -> None:
    """Write a job with readings of a made-up site; what is wrong there is told only if asked."""
    seed = 0 if args.seed is None else args.seed
    site = made_up(admitted(load(args.file)), cause=args.cause, where=args.where, seed=seed)
    sentences = [told.made(seed)] if args.seed is None else []
    if args.reveal:
        hidden = site.truth
        sentences.append(
            told.truth(hidden.cause, hidden.where, hidden.kind, hidden.size, hidden.end)
        )
    text = write(document(site))
    if args.out:
        _write(Path(args.out), text)
    else:
        print(text, end="")
    for sentence in sentences:
        print(sentence, file=sys.stdout if args.out else sys.stderr)


def _write(path: Path, text: str) -> None:
    """Write a file beside its place and move it there: what stood there is whole until then."""
    part = path.with_name(f"{path.name}.part")
    part.write_text(text, encoding="utf-8")
    part.replace(path)


WITH_FILE: dict[str, tuple[Callable[[JobFile, argparse.Namespace], None], str]] = {
    "predict": (_predict, "what each box should show"),
    "judge": (_judge, "the readings against their bands, and what holds you on site"),
    "steps": (_steps, "the work in its order"),
    "advise": (_advise, "the smallest changes that mend the plan, and what would still work"),
    "check": (_check, "whether a file can be read"),
}
COMMANDS = (*WITH_FILE, "merge", "practice", "schema", "sources")


def parser(name: str = "python -m engine") -> argparse.ArgumentParser:
    """The command line's grammar."""
    top = argparse.ArgumentParser(prog=name, description=__doc__.split("\n")[0])
    commands = top.add_subparsers(dest="command", required=True, metavar="COMMAND")
    for command, (_, about) in WITH_FILE.items():
        one = commands.add_parser(command, help=about)
        one.add_argument("file", metavar="FILE")
        one.add_argument("--json", action="store_true", help="for programs")
        if command == "steps":
            one.add_argument("--people", type=int, choices=(1, 2), default=1)
    merge = commands.add_parser("merge", help="the logs of two files of one job in one")
    merge.add_argument("files", metavar="FILE", nargs="+")
    merge.add_argument("-o", dest="out", metavar="OUT", help="the file to write")
    practice = commands.add_parser("practice", help="a made-up site with a hidden cause")
    practice.add_argument("file", metavar="FILE")
    practice.add_argument("--cause", metavar="ID", help="what is wrong; drawn without it")
    practice.add_argument("--where", metavar="W", help="a box, span or point; drawn without it")
    practice.add_argument("--seed", type=int, metavar="N", help="the same site again; 0 without it")
    practice.add_argument("-o", dest="out", metavar="OUT", help="the file to write")
    practice.add_argument("--reveal", action="store_true", help="say what is wrong")
    commands.add_parser("schema", help="the JSON Schema of a job file")
    sources = commands.add_parser("sources", help="every published number, and where it is used")
    sources.add_argument("--json", action="store_true", help="for programs")
    return top


def main(arguments: Sequence[str] | None = None, name: str = "python -m engine") -> int:
    """Run one command; 0, or 2 when a file cannot be read."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):  # a terminal of few letters gets escapes, no traceback
            stream.reconfigure(errors="backslashreplace")
    try:
        with unsteered():
            status = _run(parser(name).parse_args(arguments))
            sys.stdout.flush()
    except BrokenPipeError:  # the reader of a pipe has seen enough
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    return status


@contextmanager
def unsteered() -> Iterator[None]:
    """Nothing that a file or an argument brings steers the terminal while this lasts."""
    with redirect_stdout(Shown(sys.stdout)), redirect_stderr(Shown(sys.stderr)):
        yield


def _run(args: argparse.Namespace) -> int:
    if args.command == "schema":
        _print_json(schema())
        return 0
    if args.command == "sources":
        if args.json:
            _print_json(sources_text.sources_json())
        else:
            print(sources_text.sources_text(), end="")
        return 0
    try:
        if args.command == "merge":
            _merge(args)
        elif args.command == "practice":
            _practice(args)
        else:
            act, _ = WITH_FILE[args.command]
            act(admitted(load(args.file)), args)
    except NotOneJob as trouble:
        print(trouble, file=sys.stderr)
        return 2
    except NotHere as trouble:
        sentence = told.not_here(trouble.cause, trouble.where, trouble.possible, trouble.near)
        print(sentence, file=sys.stderr)
        return 2
    except OSError as trouble:
        print(f"{trouble.filename}: {(trouble.strerror or 'not written').lower()}", file=sys.stderr)
        return 2
    except BadFile as bad:
        if args.command == "check" and args.json:
            _print_json(report_json.check_json(bad.problems))
        else:
            print(report_text.problems_text(bad.problems), end="", file=sys.stderr)
        return 2
    return 0


if __name__ == "__main__":
    sys.exit(main())
