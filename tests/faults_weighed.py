"""Jobs with a fault on a phone, their causes weighed."""

from __future__ import annotations

import asyncio
from typing import Any

from fault_jobs import EVERY, JOB
from headless import Phone, warned

from engine.diagnose.account import Account, account
from engine.jobfile import read_job
from engine.judge import Judgement, judge

NAME = "REEDBED-HIDE"


def judged(doc: dict[str, Any]) -> Judgement:
    return judge(read_job(doc))


def account_of(name: str) -> Account:
    return account(judged(EVERY[name]()))


async def weighed(phone: Phone) -> None:
    """Until nothing is looked for any more."""
    for _ in range(600):
        await asyncio.sleep(0.02)
        await phone.settle()
        if phone.has("slab"):
            return
    raise AssertionError(f"still looked for: {phone.texts()}")


async def opened(name: str, route: str = "fault", **how: Any) -> Phone:
    phone = await Phone.start(docs=(warned(EVERY[name]()),), link=f"{JOB}/{route}", **how)
    if route.startswith("fault"):
        await weighed(phone)
    return phone
