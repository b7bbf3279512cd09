"""Every sentence the app shows, in British trade English: functions with named parts.

``**`` marks the point of a sentence, which is set heavier. A number and its unit never
part: a no-break space stands between them.
"""

from __future__ import annotations

from fieldapp.words.english.advice import *  # noqa: F403
from fieldapp.words.english.assumed import *  # noqa: F403
from fieldapp.words.english.causes import *  # noqa: F403
from fieldapp.words.english.comparing import *  # noqa: F403
from fieldapp.words.english.door import *  # noqa: F403
from fieldapp.words.english.evidence import *  # noqa: F403
from fieldapp.words.english.exchange import *  # noqa: F403
from fieldapp.words.english.faults import *  # noqa: F403
from fieldapp.words.english.figures import *  # noqa: F403
from fieldapp.words.english.finding import *  # noqa: F403
from fieldapp.words.english.findings import *  # noqa: F403
from fieldapp.words.english.fixed import *  # noqa: F403
from fieldapp.words.english.found import *  # noqa: F403
from fieldapp.words.english.handing import *  # noqa: F403
from fieldapp.words.english.judged import *  # noqa: F403
from fieldapp.words.english.labels import *  # noqa: F403
from fieldapp.words.english.onsite import *  # noqa: F403
from fieldapp.words.english.page import *  # noqa: F403
from fieldapp.words.english.phone import *  # noqa: F403
from fieldapp.words.english.pictures import *  # noqa: F403
from fieldapp.words.english.planning import *  # noqa: F403
from fieldapp.words.english.plans import *  # noqa: F403
from fieldapp.words.english.practice import *  # noqa: F403
from fieldapp.words.english.record import *  # noqa: F403
from fieldapp.words.english.reel import *  # noqa: F403
from fieldapp.words.english.reelfound import *  # noqa: F403
from fieldapp.words.english.remedies import *  # noqa: F403
from fieldapp.words.english.returning import *  # noqa: F403
from fieldapp.words.english.said import *  # noqa: F403
from fieldapp.words.english.screens import *  # noqa: F403
from fieldapp.words.english.settings import *  # noqa: F403
from fieldapp.words.english.shapes import *  # noqa: F403
from fieldapp.words.english.sheeting import *  # noqa: F403
from fieldapp.words.english.sheetlist import *  # noqa: F403
from fieldapp.words.english.sheetnames import *  # noqa: F403
from fieldapp.words.english.sheets import *  # noqa: F403
from fieldapp.words.english.signing import *  # noqa: F403
from fieldapp.words.english.sitesteps import *  # noqa: F403
from fieldapp.words.english.steps import *  # noqa: F403
from fieldapp.words.english.tabling import *  # noqa: F403
from fieldapp.words.english.troubles import *  # noqa: F403
from fieldapp.words.english.trying import *  # noqa: F403
from fieldapp.words.english.work import *  # noqa: F403
