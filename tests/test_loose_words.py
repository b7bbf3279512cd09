"""Words stand in their rooms alone, and none of them that nobody says: the sources, read."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator, Mapping
from dataclasses import fields
from pathlib import Path

import pytest

from fieldapp import words
from fieldapp.faces import FACES
from fieldapp.words.english import FIXED

ROOT = Path(__file__).parent.parent

# ---------------------------------------------------------------- words only in their place

SHOWN_AT = {
    "text": (1,),
    "Text": (0,),
    "TextSpan": (0,),
    "slab": (1, 2),
    "quiet": (1,),
    "half": (1, 2),
    "tag": (1,),
    "header": (2, 3),
    "spoken": (2,),
    "pressable": (2,),
    "field": (1, 2),
    "_bar_button": (1,),
    "Button": (0,),
    "FilledButton": (0,),
    "OutlinedButton": (0,),
    "TextButton": (0,),
    "AppBar": (0,),
    "SnackBar": (0,),
}
"""where the parts of a screen take words that are shown"""
SHOWN_AS = {
    "content",
    "title",
    "more",
    "subtitle",
    "label",
    "value",
    "text",
    "semantics_label",
    "tooltip",
    "hint",
    "hint_text",
    "helper",
    "helper_text",
    "error",
    "prefix_text",
    "suffix_text",
    "counter",
    "says",
}
"""names under which controls and parts take words that are shown"""
FAMILIES = {face.family for face in FACES.values()}
SCREENS = [
    *sorted((ROOT / "fieldapp" / "screens").glob("*.py")),
    *(ROOT / "fieldapp" / name for name in ("parts.py", "app.py", "paint.py")),
]
WORDLESS = [
    *SCREENS,
    *(
        ROOT / "fieldapp" / f"{name}.py"
        for name in ("stepview", "runline", "update", "model", "drafts", "pad", "questions")
    ),
]


def called(node: ast.Call) -> str:
    """The last name of what is called."""
    function = node.func
    return function.attr if isinstance(function, ast.Attribute) else getattr(function, "id", "")


def loose_words(source: str) -> list[tuple[int, str]]:
    """(line, text) of words written where they are shown, straight or by way of a name."""
    out = []
    tree = ast.parse(source)
    for scope in _scopes(tree):
        names = _assigned(scope)
        for node in _own_nodes(scope):
            if isinstance(node, ast.Call):
                for shown in _shown_arguments(node):
                    out += [
                        (piece.lineno, piece.value)
                        for piece in _pieces(shown, names, 3)
                        if re.search(r"[^\W\d_]", piece.value)
                    ]
    return sorted(set(out))


def prose(source: str) -> list[tuple[int, str]]:
    """(line, text) of literals that read like a person's words, wherever they stand."""
    tree = ast.parse(source)
    docs = {
        node.body[0].value
        for node in ast.walk(tree)
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef)
        and node.body
        and isinstance(node.body[0], ast.Expr)
    }
    docs |= {node.value for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    return [
        (node.lineno, node.value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant)
        and isinstance(node.value, str)
        and node not in docs
        and node.value not in FAMILIES
        and re.search(r"[^\W\d_][.,:;?]? [^\W\d_]|^[A-Z][a-z]{2,}|[a-z]{2,}[?!]$", node.value)
    ]


def _scopes(tree: ast.AST) -> list[ast.AST]:
    kinds = ast.FunctionDef | ast.AsyncFunctionDef
    return [tree, *(node for node in ast.walk(tree) if isinstance(node, kinds))]


def _own_nodes(scope: ast.AST) -> Iterator[ast.AST]:
    """The nodes of a scope without those of functions inside it."""
    waiting = list(ast.iter_child_nodes(scope))
    while waiting:
        node = waiting.pop()
        yield node
        if not isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            waiting.extend(ast.iter_child_nodes(node))


def _assigned(scope: ast.AST) -> dict[str, list[ast.expr]]:
    """What names stand for: by ``=``, and in loops over written rows."""
    out: dict[str, list[ast.expr]] = {}

    def bind(target: ast.expr, value: ast.expr) -> None:
        if isinstance(target, ast.Name):
            out.setdefault(target.id, []).append(value)
        elif isinstance(target, ast.Tuple) and isinstance(value, ast.Tuple | ast.List):
            for one, its in zip(target.elts, value.elts, strict=False):
                bind(one, its)

    for node in _own_nodes(scope):
        if isinstance(node, ast.Assign):
            for target in node.targets:
                bind(target, node.value)
        elif isinstance(node, ast.AnnAssign) and node.value is not None:
            bind(node.target, node.value)
        elif isinstance(node, ast.For | ast.comprehension) and isinstance(
            node.iter, ast.Tuple | ast.List
        ):
            for row in node.iter.elts:
                bind(node.target, row)
    return out


def _shown_arguments(node: ast.Call) -> Iterator[ast.expr]:
    places = SHOWN_AT.get(called(node), ())
    yield from (node.args[i] for i in places if i < len(node.args))
    yield from (pair.value for pair in node.keywords if pair.arg in SHOWN_AS)


def _pieces(node: ast.expr, names: Mapping[str, list[ast.expr]], depth: int) -> Iterator:
    """The written strings that an expression can turn into."""
    match node:
        case ast.Constant(value=str()):
            yield node
        case ast.Name(id=name) if depth and name in names:
            for value in names[name]:
                yield from _pieces(value, names, depth - 1)
        case ast.JoinedStr(values=values):
            for value in values:
                yield from _pieces(value, names, depth)
        case ast.FormattedValue(value=value) | ast.NamedExpr(value=value):
            yield from _pieces(value, names, depth)
        case ast.IfExp(body=body, orelse=orelse):
            yield from _pieces(body, names, depth)
            yield from _pieces(orelse, names, depth)
        case ast.BinOp(left=left, right=right):
            yield from _pieces(left, names, depth)
            yield from _pieces(right, names, depth)
        case ast.BoolOp(values=values) | ast.Tuple(elts=values) | ast.List(elts=values):
            for value in values:
                yield from _pieces(value, names, depth)
        case ast.Subscript(value=value):
            yield from _pieces(value, names, depth)
        case ast.Dict(values=values):
            for value in values:
                yield from _pieces(value, names, depth)
        case ast.Call(func=ast.Attribute(value=value), args=args) if (
            not isinstance(value, ast.Name) or value.id in names
        ):
            # a method of a written string gives written words back
            yield from _pieces(value, names, depth)
            if isinstance(value, ast.Constant):
                for one in args:
                    yield from _pieces(one, names, depth)
        case ast.Call(func=ast.Name(id="str" | "format")):
            for one in node.args:
                yield from _pieces(one, names, depth)


@pytest.mark.parametrize("path", SCREENS, ids=lambda path: path.name)
def test_no_words_are_written_where_they_are_shown(path):
    assert loose_words(path.read_text(encoding="utf-8")) == []


@pytest.mark.parametrize("path", WORDLESS, ids=lambda path: path.name)
def test_nothing_that_reads_like_words_stands_outside_words(path):
    assert prose(path.read_text(encoding="utf-8")) == []


PLANTED = [
    'text(look, "Hello")',
    'text(look, "free")',
    'text(look, f"{n} boxes")',
    'text(look, "a" if n else words.b())',
    'text(look, content="left")',
    'ft.Text("x")',
    'ft.Text(value="x")',
    'ft.TextField(label="Volts", key="v")',
    'ft.Button(content="go", key="b")',
    'slab(look, words.a(), "and more", press)',
    'slab(look, fixed.a, more="and more")',
    'quiet(look, "back", press, key="back")',
    'half(look, fixed.a, "all on", press, chosen=True, key="k")',
    'spoken(look, picture, "a drawing")',
    'ft.Semantics(label="a drawing", content=drawn)',
    'ft.Semantics(label="a " + name, content=drawn)',
    'padded(ft.Row([text(look, "deep", 18)]))',
    'header(look, None, "jobs", "", None)',
    'field(look, "metres", value, press, key="m")',
    'text(look, "{} boxes".format(n))',
    'text(look, "boxes".upper())',
    'text(look, {"a": "inside"}[word])',
    'text(look, ("one", "two")[n])',
    'text(look, ", ".join(["one", "two"]))',
    'def f(look):\n    title = "hello"\n    return text(look, title)',
    'def f(look):\n    a, b = "hello", 3\n    return text(look, a)',
    'def f(look):\n    return [text(look, t) for k, t in (("a", "one"), ("b", "two"))]',
    'def f(look):\n    for t in ("one", "two"):\n        rows.append(text(look, t))',
    'async def f(look):\n    return slab(look, "go on")',
]
INNOCENT = [
    'text(look, words.a("volts"), 18, "soft", "TI", strong="TMI")',
    'text(look, f"**{fixed.why}**  {said.why}", 20, strong="TMI")',
    'text(look, ".", 38, face="TM")',
    'quiet(look, fixed.back, press, key="back", height=56)',
    'quiet(look, title, press, key=f"reason-{reason}")',
    'slab(look, words.a(), "", None, way="left", key="keep")',
    'ft.Button(key="b", content=ft.Row([canvas(look, picture)], key="row"))',
    'half(look, title, words.b(x, "watts"), Send(send, StandingPicked("open")), key="k")',
    'text(look, words.plain(x) if at == "volts" else fixed.a)',
    'ft.Text("", semantics_label=touch.name)',
    'def f(look):\n    kind = "volts"\n    return text(look, words.figure(3, kind))',
]


@pytest.mark.parametrize("snippet", PLANTED)
def test_words_planted_in_a_screen_are_found(snippet):
    assert loose_words(snippet)


@pytest.mark.parametrize("snippet", INNOCENT)
def test_keys_and_tokens_are_no_words(snippet):
    assert loose_words(snippet) == []


def test_words_planted_in_a_real_screen_are_found():
    source = (ROOT / "fieldapp" / "screens" / "now.py").read_text(encoding="utf-8")
    planted = f'{source}\n\ndef more(look):\n    return [text(look, "Hello")]\n'
    assert [text for _, text in loose_words(planted)] == ["Hello"]
    assert ("Hello there" in [text for _, text in prose(source + '\nX = "Hello there"\n')]) is True


def test_prose_is_told_from_tokens():
    for text in ("Hello", "go on", "Nothing here.", "it stops, then", "why?"):
        assert prose(f"x = {text!r}"), text
    for text in (
        "volts",
        "step-left",
        "L2.in",
        "TMI",
        "Farend Text",
        "/settings",
        "#0A0F12",
        "finding.",
    ):
        assert not prose(f"x = {text!r}"), text


# ---------------------------------------------------------------- no words that nobody says


def _named(node: ast.AST) -> set[str]:
    """The names a piece of source asks for, but for those it makes itself."""
    inside = list(ast.walk(node))
    own = {
        one.arg
        for args in inside
        if isinstance(args, ast.arguments)
        for one in (*args.args, *args.kwonlyargs)
    }
    names = {one.id for one in inside if isinstance(one, ast.Name)}
    names |= {one.name for said in inside if isinstance(said, ast.ImportFrom) for one in said.names}
    return names - own if isinstance(node, ast.FunctionDef) else names


def _asked_for() -> set[str]:
    """The names of words that the app asks for, whatever language is spoken."""
    out: set[str] = set()
    for path in (ROOT / "fieldapp").rglob("*.py"):
        if "words" not in path.parts:
            for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
                match node:
                    case ast.Attribute(value=ast.Name(id="words"), attr=name):
                        out.add(name)
                    case ast.ImportFrom(module=str(module), names=names) if module.startswith(
                        words.__name__
                    ):
                        out |= {one.name for one in names}
    return out


def unsaid(language: str, asked_for: set[str]) -> set[str]:
    """Public names of a language's words that nobody says: neither the app nor other words."""
    needs: dict[str, set[str]] = {}
    waiting = set(asked_for)
    for path in (Path(words.__file__).parent / language).glob("*.py"):
        for node in ast.parse(path.read_text(encoding="utf-8")).body:
            match node:
                case ast.FunctionDef(decorator_list=[_, *_]):  # said by its code
                    waiting |= _named(node)
                case ast.FunctionDef(name=name) | ast.ClassDef(name=name):
                    needs.setdefault(name, set()).update(_named(node))
                case ast.Assign(targets=targets):
                    for target in targets:
                        if isinstance(target, ast.Name):
                            needs.setdefault(target.id, set()).update(_named(node.value))
                case ast.AnnAssign(target=ast.Name(id=name), value=value) if value is not None:
                    needs.setdefault(name, set()).update(_named(value))
                case ast.Import() | ast.ImportFrom():
                    pass
                case _:
                    waiting |= _named(node)
    said: set[str] = set()
    while waiting:
        name = waiting.pop()
        if name in needs and name not in said:
            said.add(name)
            waiting |= needs[name]
    return {name for name in needs.keys() - said if not name.startswith("_")}


@pytest.mark.parametrize("language", ["english", "german"])
def test_there_are_no_words_that_nobody_says(language):
    asked = _asked_for()
    assert len(asked) > 300
    assert unsaid(language, asked) == set()


def test_words_that_nobody_says_would_be_seen():
    assert "measure_at" in unsaid("english", _asked_for() - {"measure_at"})


def test_what_stands_by_itself_is_said_somewhere():
    sources = [path.read_text(encoding="utf-8") for path in (ROOT / "fieldapp").rglob("*.py")]
    used = set(re.findall(r"(?:FIXED|fixed)\.(\w+)", "\n".join(sources)))
    assert {one.name for one in fields(FIXED)} - used == set()
