"""Photographs of every screen in both looks: `python -m tests.shots DIR [WAY...] [NAME...]`.

Run it at the root of the repository. It starts the app on the samples, goes to each place,
brings it into its state by accessible names, and writes SCREEN-STATE-LOOK.png. A way is
`large`: the browser's letters are twice as big, on the screens where that hurts most; or a window
other than a phone's: `wide`, `wider`, `turned`; `sun` or `dark` takes that look alone. With names
only the pictures are taken whose names begin so. `german` has the app speak German.
"""

from __future__ import annotations

import sys
from pathlib import Path

ROOT = Path(__file__).parent.parent.parent
sys.path[:0] = [str(ROOT), str(ROOT / "tests")]  # as pytest finds them

from fieldapp import words  # noqa: E402

if "german" in sys.argv[2:]:  # before the pictures look names up
    words.speak(words.Manner("de"))

from shots.taking import WAYS, take_all  # noqa: E402

if __name__ == "__main__":
    if len(sys.argv) < 2:
        print(__doc__, file=sys.stderr)
        sys.exit(2)
    asked = sys.argv[2:]
    ways = tuple(one for one in asked if one in WAYS)
    wanted = tuple(one for one in asked if one not in ways)
    sys.exit(take_all(Path(sys.argv[1]), ways, wanted))
