"""Change one small thing of a module at a time, and see whether its tests notice.

Each mutant is one change in the syntax tree: a comparison moved to its other edge or turned
round, an operator exchanged, a number or a truth value changed, a condition turned round, ``not``
dropped, ``min`` for ``max``, a part of a call or a whole statement left out, a function that
returns nothing. Words are left alone: what is said has tests of its own; so are defaults and the
fields of classes.

The tests are collected once. Forks of that process run them, watched, each in one of its own, so
that none is spared a line by what another has worked out and kept: a mutant is held against those
alone that get to its line, the shortest first. Each mutant is a fork too, in which
the changed function's code, or the number's name in every module, is put in place of the old: no
file is written, and nothing is imported twice. A mutant is *killed* where a test fails, *lost*
where it takes far longer than it should; one that *survived* is printed again at the end: either
it cannot be told from the original, or a test is missing.

Run: ``python tests/bench/mutate.py engine/verdict.py --tests tests/test_verdict.py
[--sample N] [--seed S] [--only NUMBER ...] [--seconds MOST]``. Modules may be folders.
"""

from __future__ import annotations

import argparse
import ast
import gc
import json
import os
import resource
import signal
import sys
import traceback
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import accumulate
from math import inf
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory
from types import CodeType, FunctionType

import coverage
import pytest
from hypothesis import Phase, settings

HOUSE = Path(__file__).resolve().parents[2]
PATIENCE, LEAST_SECONDS = 5, 20
"""a mutant is lost after so many times what its tests took of the processor, and never before so
many seconds of it: how busy the machine is does not matter"""
MOST_BYTES = 4 << 30
ENDS = {0: "survived", 1: "killed", -signal.SIGXCPU: "lost", -signal.SIGKILL: "lost"}

Change = Callable[[], None]
Variant = tuple[str, Change]

EDGES = {ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt}
TURNED = {
    ast.Lt: ast.GtE,
    ast.LtE: ast.Gt,
    ast.Gt: ast.LtE,
    ast.GtE: ast.Lt,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.Is: ast.IsNot,
    ast.IsNot: ast.Is,
    ast.In: ast.NotIn,
    ast.NotIn: ast.In,
}
EXCHANGED = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
    ast.FloorDiv: ast.Mult,
    ast.Mod: ast.Mult,
    ast.Pow: ast.Mult,
    ast.BitOr: ast.BitAnd,
    ast.BitAnd: ast.BitOr,
    ast.And: ast.Or,
    ast.Or: ast.And,
}
NAMES = {"min": "max", "max": "min", "any": "all", "all": "any"}


# ---------------------------------------------------------------- mutants


def variants(node: ast.AST) -> Iterator[Variant]:
    """What can be changed of one node, each change in place."""

    def put(name: str, value: object) -> Change:
        return lambda: setattr(node, name, value)

    match node:
        case ast.Compare(ops=ops):
            for i, op in enumerate(ops):
                for table in (EDGES, TURNED):
                    if new := table.get(type(op)):
                        yield new.__name__, put("ops", [*ops[:i], new(), *ops[i + 1 :]])
        case ast.BinOp(op=op) | ast.AugAssign(op=op) | ast.BoolOp(op=op) if type(op) in EXCHANGED:
            yield EXCHANGED[type(op)].__name__, put("op", EXCHANGED[type(op)]())
        case ast.UnaryOp(op=ast.Not()):
            yield "not dropped", put("operand", ast.UnaryOp(ast.Not(), node.operand))
        case ast.UnaryOp(op=ast.USub()):
            yield "minus dropped", put("op", ast.UAdd())
        case ast.Constant(value=bool(value)):
            yield str(not value), put("value", not value)
        case ast.Constant(value=int(value)):
            yield str(value + 1), put("value", value + 1)
        case ast.Constant(value=float(value)):
            yield str(2 * value or 1.0), put("value", 2 * value or 1.0)
        case ast.If(test=test) | ast.IfExp(test=test) | ast.While(test=test):
            if not isinstance(test, ast.Compare):
                yield "turned round", put("test", ast.UnaryOp(ast.Not(), test))
        case ast.comprehension(ifs=[_, *_]):
            yield "no condition", put("ifs", [])
        case ast.Return(value=ast.expr() as value) if not is_nothing(value):
            yield "returns nothing", put("value", ast.Constant(None))
        case ast.Name(id=name, ctx=ast.Load()) if name in NAMES:
            yield NAMES[name], put("id", NAMES[name])
        case ast.Call(keywords=keywords):
            for i, one in enumerate(keywords):
                yield f"no {one.arg}", put("keywords", keywords[:i] + keywords[i + 1 :])
    for name in ("body", "orelse"):
        block = getattr(node, name, None)
        for i, one in enumerate(block if isinstance(block, list) else ()):
            if isinstance(one, ast.AugAssign | ast.Continue | ast.Break) or is_work(one):
                what = f"left out: {ast.unparse(one)}"
                yield what, put(name, [*block[:i], ast.Pass(), *block[i + 1 :]])


def is_nothing(value: ast.expr) -> bool:
    """Whether returning nothing in place of this is no change."""
    return isinstance(value, ast.Constant) and value.value is None


def is_work(one: ast.stmt) -> bool:
    """A call, or an entry put into something: what is done and not said."""
    if isinstance(one, ast.Expr):
        return isinstance(one.value, ast.Call)
    return isinstance(one, ast.Assign) and isinstance(one.targets[0], ast.Subscript)


def nodes(tree: ast.Module) -> Iterator[tuple[ast.AST, ast.AST | None]]:
    """All nodes that do something, each with the function it is in; always in one order."""

    def walk(node: ast.AST, inside: ast.AST | None) -> Iterator[tuple[ast.AST, ast.AST | None]]:
        yield node, inside
        if isinstance(node, ast.FunctionDef):
            inside = node
        for name, value in ast.iter_fields(node):
            if name in ("annotation", "returns", "decorator_list"):
                continue
            for one in value if isinstance(value, list) else [value]:
                if isinstance(one, ast.AST):
                    yield from walk(one, inside)

    yield from walk(tree, None)


@dataclass
class Mutant:
    """One change: the module, its place there, and the module's tree that has it."""

    path: Path
    line: int
    what: str
    change: tuple[str, int, int]
    lines: frozenset[int]
    """where a test must get to, to see it"""
    names: frozenset[str]
    """of the module, that mean something else now; none where it is in a function"""

    @property
    def tree(self) -> ast.Module:
        """The module with the change."""
        source, number, turn = self.change
        tree = ast.parse(source)
        node = next(one for i, (one, _) in enumerate(nodes(tree)) if i == number)
        list(variants(node))[turn][1]()
        return ast.fix_missing_locations(tree)


def mutants(path: Path) -> Iterator[Mutant]:
    """All mutants of a module, in one order."""
    source = (HOUSE / path).read_text(encoding="utf-8")
    plain = ast.parse(source)
    for number, (node, inside) in enumerate(nodes(plain)):
        lines, names = near(plain, node, inside)
        if not lines:
            continue
        first = getattr(node, "lineno", min(lines))
        for turn, (what, _) in enumerate(variants(node)):
            said = (
                ast.unparse(node) if isinstance(node, ast.expr) else source.splitlines()[first - 1]
            )
            told = f"{said.strip().splitlines()[0]}  ->  {what}"
            yield Mutant(path, first, told, (source, number, turn), lines, names)


def near(
    tree: ast.Module, node: ast.AST, inside: ast.AST | None
) -> tuple[frozenset[int], frozenset[str]]:
    """The lines of a node in a function; of a number with a name, those that use the name, and it.

    Nothing for what is neither.
    """
    if inside is not None and not any(node is one for one in ast.walk(inside.args)):
        parts = [node] if hasattr(node, "lineno") else list(ast.iter_child_nodes(node))
        ends = [(one.lineno, one.end_lineno) for one in parts if hasattr(one, "lineno")]
        return frozenset(n for first, last in ends for n in range(first, last + 1)), frozenset()
    for one in tree.body if inside is None else ():
        if isinstance(one, ast.Assign) and any(node is part for part in ast.walk(one.value)):
            parts = [part for target in one.targets for part in ast.walk(target)]
            names = frozenset(part.id for part in parts if isinstance(part, ast.Name))
            uses = (use for use in ast.walk(tree) if isinstance(use, ast.Name) and use.id in names)
            return frozenset(u.lineno for u in uses if isinstance(u.ctx, ast.Load)), names
    return frozenset(), frozenset()


def codes(code: CodeType) -> Iterator[CodeType]:
    """A compiled module's functions, and theirs."""
    for one in code.co_consts:
        if isinstance(one, CodeType):
            yield one
            yield from codes(one)


def put_in_place(mutant: Mutant) -> None:
    """Make the running process one with this change."""
    path = str(HOUSE / mutant.path)
    code = compile(mutant.tree, path, "exec")
    if mutant.names:
        module = next(one for one in modules() if one.__file__ == path)
        fresh = {"__name__": module.__name__, "__file__": path}
        exec(code, fresh)
        for name in mutant.names:
            old = getattr(module, name)
            for other in modules():
                if other.__dict__.get(name) is old:
                    setattr(other, name, fresh[name])
        return
    new = {(one.co_qualname, one.co_firstlineno): one for one in codes(code)}
    for one in gc.get_objects():
        if isinstance(one, FunctionType) and one.__code__.co_filename == path:
            key = one.__code__.co_qualname, one.__code__.co_firstlineno
            one.__code__ = new.get(key, one.__code__)


def modules() -> list:
    """Everything that was imported from a file of the house."""
    return [
        one
        for one in [*sys.modules.values()]
        if str(getattr(one, "__file__", "")).startswith(str(HOUSE))
    ]


# ---------------------------------------------------------------- tests


class Bench:
    """A plugin of pytest: in place of running the tests once it runs them on each mutant."""

    def __init__(self, chosen: dict[int, Mutant], most: float) -> None:
        self.chosen, self.most = chosen, most

    def pytest_collection(self) -> None:
        """The same examples for every mutant, and nothing is made smaller where one fails."""
        phases = (Phase.explicit, Phase.generate)
        settings.register_profile(
            "mutant", settings(), derandomize=True, database=None, phases=phases
        )
        settings.load_profile("mutant")

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        """Watch, then go through the mutants, a line each as it comes, and count."""
        self.items = {item.nodeid: item for item in session.items}
        self.seconds: dict[str, float] = {}
        self.seen: dict[tuple[str, int], set[str]] = {}
        with TemporaryDirectory(prefix="mutate-") as folder:
            for ident in self.items:
                self.watch(ident, Path(folder) / "seen.json")
        print(f"{len(self.items)} tests, {sum(self.seconds.values()):.0f} s", flush=True)
        counts: Counter[str] = Counter()
        alive = []
        for number, mutant in self.chosen.items():
            word, many = self.word_on(mutant)
            counts[word] += 1
            line = f"{number:5} {mutant.path}:{mutant.line}  {mutant.what}  ({many} tests)"
            print(f"{word:8} {line}", flush=True)
            if word == "survived":
                alive.append(line)
        print("\n".join(["", "survived:", *alive, ""]))
        caught = counts["killed"] + counts["lost"]
        print(
            f"{sum(counts.values())} mutants: {', '.join(f'{n} {w}' for w, n in counts.items())};"
        )
        print(f"{100 * caught / max(sum(counts.values()), 1):.0f} in 100 noticed", flush=True)
        return True

    def watch(self, ident: str, seen: Path) -> None:
        """Run a test, and remember how long it took and where it got to."""

        def work() -> bool:
            begun = sum(os.times()[:2])
            watching.start()
            passes = self.passes([ident])
            watching.stop()
            seconds, data = sum(os.times()[:2]) - begun, watching.get_data()
            lines = {file: data.lines(file) for file in data.measured_files()}
            seen.write_text(json.dumps({"seconds": seconds, "lines": lines}))
            return passes

        files = {str(HOUSE / mutant.path) for mutant in self.chosen.values()}
        watching = coverage.Coverage(data_file=None, include=sorted(files), config_file=False)
        watching.set_option("run:disable_warnings", ["no-data-collected"])
        if self.forked(work, inf) != "survived":
            sys.exit(f"{ident} fails without any change")
        told = json.loads(seen.read_text())
        self.seconds[ident] = told["seconds"]
        for file, lines in told["lines"].items():
            for line in lines:
                self.seen.setdefault((file, line), set()).add(ident)

    def word_on(self, mutant: Mutant) -> tuple[str, int]:
        """What its tests say of a mutant, and how many there are."""
        path = str(HOUSE / mutant.path)
        met = {ident for line in mutant.lines for ident in self.seen.get((path, line), ())}
        run = sorted(met, key=lambda ident: (self.seconds[ident], ident))
        spent = list(accumulate(self.seconds[ident] for ident in run))
        run = [ident for ident, so_far in zip(run, spent, strict=True) if so_far <= self.most]
        if not run:
            return "survived", 0

        def work() -> bool:
            put_in_place(mutant)
            return self.passes(run)

        usual = sum(self.seconds[ident] for ident in run)
        return self.forked(work, LEAST_SECONDS + PATIENCE * usual), len(run)

    def passes(self, run: list[str]) -> bool:
        """Whether these tests pass."""
        for ident in run:
            item = self.items[ident]
            item.config.hook.pytest_runtest_protocol(item=item, nextitem=None)
            if item.session.testsfailed:
                return False
        return True

    def forked(self, work: Callable[[], bool], most: float) -> str:
        """The word on what is done in a process of its own."""
        sys.stdout.flush()
        child = os.fork()
        if child:
            return ENDS[os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])]
        code = 3
        try:
            resource.setrlimit(resource.RLIMIT_AS, (MOST_BYTES, MOST_BYTES))
            if most < inf:
                resource.setrlimit(resource.RLIMIT_CPU, (int(most), int(most) + 5))
            os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
            code = 0 if work() else 1
        except BaseException:
            code = 1
            if most == inf:
                traceback.print_exc()
        finally:
            os._exit(code)


def main() -> int:
    ask = argparse.ArgumentParser(description=__doc__.split("\n", 1)[0])
    ask.add_argument("modules", nargs="+", help="modules or folders, from the house's root")
    ask.add_argument("--tests", nargs="+", required=True, help="files of tests, or single ones")
    ask.add_argument("--sample", type=int, help="so many mutants, drawn by chance; else all")
    ask.add_argument("--seed", type=int, default=1)
    ask.add_argument("--only", type=int, nargs="+", help="the mutants of these numbers")
    ask.add_argument("--seconds", type=float, default=inf, help="of tests a mutant, at most")
    ask.add_argument("--list", action="store_true", help="print the mutants, run nothing")
    given = ask.parse_args()
    paths = [
        path.relative_to(HOUSE)
        for name in given.modules
        for path in (sorted((HOUSE / name).rglob("*.py")) or [HOUSE / name])
    ]
    every = [one for path in paths for one in mutants(path)]
    numbers = list(range(len(every)))
    if given.only:
        numbers = given.only
    elif given.sample and given.sample < len(every):
        numbers = sorted(Random(given.seed).sample(numbers, given.sample))
    print(f"{len(every)} mutants, {len(numbers)} of them", flush=True)
    if given.list:
        for number in numbers:
            print(f"{number:5} {every[number].path}:{every[number].line}  {every[number].what}")
        return 0
    os.chdir(HOUSE)
    sys.path.insert(0, str(HOUSE))
    quiet = ["-q", "-s", "--no-header", "--tb=no", "-rN", "-p", "no:cacheprovider"]
    quiet += ["-m", "not slow and not long and not browser"]
    quiet += ["-W", "ignore::pytest.PytestAssertRewriteWarning"]
    bench = Bench({number: every[number] for number in numbers}, given.seconds)
    return int(pytest.main([*quiet, *given.tests], plugins=[bench]))


if __name__ == "__main__":
    sys.exit(main())
