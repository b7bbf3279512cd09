"""Labels as a phone's camera would have them: printed pages made worse by ImageMagick's ``convert``."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from attrs import frozen

from fieldapp.handover.sheets import Grid

DPI = 200
"""what a page is drawn at before it is made worse: a label of 70 mm fills 551 dots, while a phone
that holds it across its picture has 3,000 or more (common practice)"""


@frozen
class Harm:
    """What is done to a label's picture.

    ``blur`` is the spread of the blur [dots at ``DPI``], ``turn`` the angle [degrees], ``noise``
    the share of a shade that chance adds, ``lean`` how much nearer one side is, ``dim`` how much
    of the light there is; ``dpi`` is what is left of the dots.
    """

    blur: float = 0.0
    turn: float = 0.0
    noise: float = 0.0
    lean: float = 0.0
    dim: float = 1.0
    dpi: float = DPI


HANDHELD = Harm(blur=1.0, turn=7.0, noise=0.3, lean=0.1, dim=0.6, dpi=150.0)
"""held askew in poor light, a bit out of focus: 1 dot is 0.13 mm, a quarter of a module of the
finest code (ours); ``bench/labels.py`` goes on from here until nothing is read"""


def page(outside: Callable[..., bytes], pdf: Path, dpi: float = DPI, number: int = 1) -> Path:
    """A page of a PDF as a grey picture."""
    head = pdf.with_name(f"{pdf.stem}-{dpi:g}-{number}")
    outside("pdftoppm", "-r", dpi, "-gray", "-f", number, "-l", number, "-singlefile", pdf, head)
    return head.with_suffix(".pgm")


def frame(grid: Grid, place: int, dpi: float = DPI) -> str:
    """Where a label lies on its page, as ImageMagick takes it."""
    x = grid.left + place % grid.across * grid.step_x if grid.down > 1 else place * grid.step_x
    y = grid.top + place // grid.across * grid.step_y if grid.down > 1 else grid.top
    dots = [round(one * dpi / 25.4) for one in (grid.size.width, grid.size.height, x, y)]
    return f"{dots[0]}x{dots[1]}+{dots[2]}+{dots[3]}"


def harmed(
    outside: Callable[..., bytes], picture: Path, at: str, harm: Harm, seed: int = 7
) -> Path:
    """One label cut out of its page's picture, then made worse; chance is drawn from ``seed``."""
    out = picture.with_name(f"{picture.stem}-{at}-{harm.blur:g}-{harm.turn:g}-{seed}.pgm")
    width, height = (int(one) for one in at.partition("+")[0].split("x"))
    lean = round(harm.lean * height)
    corners = (
        f"0,0 0,{lean} {width},0 {width - lean},0 "
        f"0,{height} {lean},{height} {width},{height} {width},{height - lean}"
    )
    outside(
        "convert",
        *(picture, "-crop", at, "+repage"),
        *("-virtual-pixel", "white", "-distort", "Perspective", corners),
        *("-background", "white", "-rotate", harm.turn),
        *("-blur", f"0x{harm.blur}"),
        *("-resize", f"{100 * harm.dpi / DPI}%"),
        *("-evaluate", "multiply", harm.dim),
        *("-seed", seed, "-attenuate", harm.noise, "+noise", "Gaussian"),
        *("-colorspace", "gray", "-depth", "8", out),
    )
    return out


def codes_in(outside: Callable[..., bytes], picture: Path) -> list[str]:
    """The texts of the square codes that a general reader finds in a picture; none is no fault."""
    # 4: it looked and found nothing
    return outside("zbarimg", "--raw", "-q", picture, fine=(0, 4)).decode().split()
