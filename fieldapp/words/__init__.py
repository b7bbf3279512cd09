"""Every sentence the app shows: functions with named parts, so that another language can follow.

``**`` marks the point of a sentence, which is set heavier. A number and its unit never
part: a no-break space stands between them. Numbers, units and the decimal mark are
formatted here and nowhere else.
"""

from __future__ import annotations

# One face: callers say ``words.NAME`` and need not know in which part it is written.
from fieldapp.words.advice import *  # noqa: F403
from fieldapp.words.causes import *  # noqa: F403
from fieldapp.words.comparing import *  # noqa: F403
from fieldapp.words.door import *  # noqa: F403
from fieldapp.words.evidence import *  # noqa: F403
from fieldapp.words.exchange import *  # noqa: F403
from fieldapp.words.faults import *  # noqa: F403
from fieldapp.words.figures import *  # noqa: F403
from fieldapp.words.finding import *  # noqa: F403
from fieldapp.words.found import *  # noqa: F403
from fieldapp.words.handing import *  # noqa: F403
from fieldapp.words.judged import *  # noqa: F403
from fieldapp.words.labels import *  # noqa: F403
from fieldapp.words.onsite import *  # noqa: F403
from fieldapp.words.pictures import *  # noqa: F403
from fieldapp.words.planning import *  # noqa: F403
from fieldapp.words.plans import *  # noqa: F403
from fieldapp.words.practice import *  # noqa: F403
from fieldapp.words.record import *  # noqa: F403
from fieldapp.words.reel import *  # noqa: F403
from fieldapp.words.remedies import *  # noqa: F403
from fieldapp.words.returning import *  # noqa: F403
from fieldapp.words.said import *  # noqa: F403
from fieldapp.words.screens import *  # noqa: F403
from fieldapp.words.sheeting import *  # noqa: F403
from fieldapp.words.sheets import *  # noqa: F403
from fieldapp.words.signing import *  # noqa: F403
from fieldapp.words.sitesteps import *  # noqa: F403
from fieldapp.words.steps import *  # noqa: F403
from fieldapp.words.tabling import *  # noqa: F403
from fieldapp.words.trying import *  # noqa: F403
from fieldapp.words.work import *  # noqa: F403
