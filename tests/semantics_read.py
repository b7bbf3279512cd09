"""What a page says to a screen reader: its nodes, and which of them a name means."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

# One entry a named thing: what a screen reader would say, its role, and where it is, cut to
# what its scrolling parents let through. Told as one text: as values they take six times as long.
READ_SEMANTICS = """() => {
  const own = (el) => {
    const label = el.getAttribute("aria-label");
    if (label) return label;
    let text = "";
    for (const kid of el.childNodes) {
      if (kid.nodeType === 3 || kid.nodeName === "SPAN") text += kid.textContent;
    }
    return text;
  };
  const clipped = (el) => {
    const r = el.getBoundingClientRect();
    let box = [r.left, r.top, r.right, r.bottom];
    const cut = (l, t, rt, b) => {
      box = [Math.max(box[0], l), Math.max(box[1], t), Math.min(box[2], rt), Math.min(box[3], b)];
    };
    cut(0, 0, innerWidth, innerHeight);
    for (let up = el.parentElement; up; up = up.parentElement) {
      if (up.style.overflowY === "scroll" || up.style.overflowX === "scroll") {
        const p = up.getBoundingClientRect();
        cut(p.left, p.top, p.right, p.bottom);
      }
    }
    return {whole: [r.left, r.top, r.width, r.height],
            seen: [box[0], box[1], box[2] - box[0], box[3] - box[1]]};
  };
  const found = [];
  const wanted = "flt-semantics, flt-semantics input, flt-semantics textarea, " +
                 "flt-semantics h1, flt-semantics h2, flt-semantics h3, flt-semantics a";
  for (const el of document.querySelectorAll(wanted)) {
    const name = own(el).replace(/[ \\t]+/g, " ").trim();
    if (!name) continue;
    const field = el.nodeName === "INPUT" || el.nodeName === "TEXTAREA";
    const role = el.getAttribute("role") || (field ? "textbox" :
      /^H[1-6]$/.test(el.nodeName) ? "heading" : el.nodeName === "A" ? "link" : "text");
    const holder = el.closest("flt-semantics");
    const {whole, seen} = clipped(el);
    found.push({name, role, whole, seen, value: field ? el.value : "",
      tappable: field || holder.hasAttribute("flt-tappable") || role === "link",
      enabled: holder.getAttribute("aria-disabled") !== "true" && !el.disabled,
      checked: holder.getAttribute("aria-checked") ?? holder.getAttribute("aria-selected") ??
               holder.getAttribute("aria-current")});
  }
  return JSON.stringify(found);
}"""


@dataclass(frozen=True)
class Box:
    """A rectangle on the screen, in CSS pixels (1 px = 1 dp)."""

    x: float
    y: float
    width: float
    height: float

    @property
    def centre(self) -> tuple[float, float]:
        return self.x + self.width / 2, self.y + self.height / 2


@dataclass(frozen=True)
class Node:
    """One named thing on the screen. `name` has a newline between the lines of a button."""

    name: str
    role: str
    box: Box
    seen: Box
    tappable: bool
    enabled: bool
    checked: str | None
    value: str

    @property
    def visible(self) -> bool:
        """Whether at least a sliver of it is on the screen and not scrolled away."""
        return self.seen.width > 1 and self.seen.height > 1

    @property
    def line(self) -> str:
        """Its name on one line."""
        return one_line(self.name)

    @property
    def first_line(self) -> str:
        return self.name.split("\n")[0].strip()


def one_line(text: str) -> str:
    """`text` with every run of blanks, newlines and no-break spaces as one blank."""
    return " ".join(text.split())


RANKS: tuple[Callable[[Node, str], bool], ...] = (
    lambda node, name: node.line == name,
    lambda node, name: one_line(node.first_line) == name,
    lambda node, name: node.line.startswith(name),
    lambda node, name: name in node.line,
)


def best(nodes: Sequence[Node], name: str, *, exact: bool) -> list[Node]:
    """The nodes that `name` fits best: the whole name, its first line, its start, a part.

    With `exact` only the whole name or the whole first line counts.
    """
    wanted = one_line(name)
    for fits in RANKS[: 2 if exact else 4]:
        if found := [node for node in nodes if fits(node, wanted)]:
            return found
    return []
