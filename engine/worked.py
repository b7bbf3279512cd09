"""The steps of a judged job in the order to be done, for one or two people."""

from __future__ import annotations

from engine.judge import Judgement
from engine.route import Work, plan_work
from engine.route_tasks import feeds_of_steps
from engine.steps.standing import in_turn


def worked(judgement: Judgement, people: int = 1) -> Work:
    """What is done first, as it was done; then the rest in the order with the least minutes."""
    job, steps = judgement.state.job, judgement.steps
    network = judgement.prediction.study.network
    return plan_work(
        job,
        steps,
        people,
        in_turn(judgement.state, steps),
        feeds_of_steps(job, network, steps),
    )
