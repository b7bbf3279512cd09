"""States of every screen: the jobs on the phone, where one goes, what one does there, what is seen."""

from __future__ import annotations

from screen_states.readings import READ_AND_LEFT
from screen_states.work import AT_WORK

STATES = (*AT_WORK, *READ_AND_LEFT)
