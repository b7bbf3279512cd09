"""What can happen and what is to be done then, under one name: callers say ``m.NAME`` of all."""

from __future__ import annotations

from fieldapp.comfortmessages import *  # noqa: F403
from fieldapp.effects import *  # noqa: F403
from fieldapp.faultmessages import *  # noqa: F403
from fieldapp.gathermessages import *  # noqa: F403
from fieldapp.handmessages import *  # noqa: F403
from fieldapp.jobmessages import *  # noqa: F403
from fieldapp.keptmessages import *  # noqa: F403
from fieldapp.metermessages import *  # noqa: F403
from fieldapp.padmessages import *  # noqa: F403
from fieldapp.phonemessages import *  # noqa: F403
from fieldapp.planmessages import *  # noqa: F403
from fieldapp.practicemessages import *  # noqa: F403
from fieldapp.reelmessages import *  # noqa: F403
from fieldapp.sheetmessages import *  # noqa: F403
from fieldapp.signmessages import *  # noqa: F403
from fieldapp.sitemessages import *  # noqa: F403
from fieldapp.tablemessages import *  # noqa: F403
from fieldapp.trialmessages import *  # noqa: F403
