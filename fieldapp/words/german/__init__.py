"""Every sentence the app shows, in German: the same names and parts as ``fieldapp.words.english``.

``**`` marks the point of a sentence. A number has a decimal comma and never parts from its unit.
Order, case and plural are the language's own; what has no words in it is the English module's.
"""

from __future__ import annotations

from fieldapp.words.german.advice import *  # noqa: F403
from fieldapp.words.german.assumed import *  # noqa: F403
from fieldapp.words.german.causes import *  # noqa: F403
from fieldapp.words.german.comparing import *  # noqa: F403
from fieldapp.words.german.door import *  # noqa: F403
from fieldapp.words.german.evidence import *  # noqa: F403
from fieldapp.words.german.exchange import *  # noqa: F403
from fieldapp.words.german.faults import *  # noqa: F403
from fieldapp.words.german.figures import *  # noqa: F403
from fieldapp.words.german.finding import *  # noqa: F403
from fieldapp.words.german.findings import *  # noqa: F403
from fieldapp.words.german.fixed import *  # noqa: F403
from fieldapp.words.german.found import *  # noqa: F403
from fieldapp.words.german.handing import *  # noqa: F403
from fieldapp.words.german.judged import *  # noqa: F403
from fieldapp.words.german.labels import *  # noqa: F403
from fieldapp.words.german.onsite import *  # noqa: F403
from fieldapp.words.german.page import *  # noqa: F403
from fieldapp.words.german.phone import *  # noqa: F403
from fieldapp.words.german.pictures import *  # noqa: F403
from fieldapp.words.german.planning import *  # noqa: F403
from fieldapp.words.german.plans import *  # noqa: F403
from fieldapp.words.german.practice import *  # noqa: F403
from fieldapp.words.german.record import *  # noqa: F403
from fieldapp.words.german.reel import *  # noqa: F403
from fieldapp.words.german.reelfound import *  # noqa: F403
from fieldapp.words.german.remedies import *  # noqa: F403
from fieldapp.words.german.returning import *  # noqa: F403
from fieldapp.words.german.said import *  # noqa: F403
from fieldapp.words.german.screens import *  # noqa: F403
from fieldapp.words.german.settings import *  # noqa: F403
from fieldapp.words.german.shapes import *  # noqa: F403
from fieldapp.words.german.sheeting import *  # noqa: F403
from fieldapp.words.german.sheetlist import *  # noqa: F403
from fieldapp.words.german.sheetnames import *  # noqa: F403
from fieldapp.words.german.sheets import *  # noqa: F403
from fieldapp.words.german.signing import *  # noqa: F403
from fieldapp.words.german.sitesteps import *  # noqa: F403
from fieldapp.words.german.steps import *  # noqa: F403
from fieldapp.words.german.tabling import *  # noqa: F403
from fieldapp.words.german.troubles import *  # noqa: F403
from fieldapp.words.german.trying import *  # noqa: F403
from fieldapp.words.german.work import *  # noqa: F403
