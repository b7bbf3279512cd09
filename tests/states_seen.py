"""What is seen of a solved run: points, feeds, states."""

from __future__ import annotations

from math import sqrt

from engine.job import Point
from engine.jobfile import read_job
from engine.predict import predict
from engine.study import Prediction

OHMS_PER_M = 66.6 / 1000
"""of one conductor of the cable that these runs are made of, at 20 °C"""


def seen(doc) -> Prediction:
    """The prediction of a document."""
    return predict(read_job(doc).plan)


def at(prediction: Prediction, point: str):
    """What is predicted at a point."""
    return prediction.points[Point.parse(point)]


def feed(prediction: Prediction, point: str = "S1.out"):
    """What is predicted of a feed."""
    return prediction.sources[Point.parse(point)]


def states(prediction: Prediction) -> dict[str, str]:
    """The state of each point."""
    return {str(point): shown.state for point, shown in prediction.points.items()}


def told(prediction: Prediction) -> dict[str, str]:
    """Findings by their id, with their severity."""
    return {finding.id: finding.severity for finding in prediction.findings}


def upper_root(volts: float, ohms: float, watts: float) -> float:
    """Volts at one constant-power load behind a resistance. [V]"""
    return (volts + sqrt(volts**2 - 4 * ohms * watts)) / 2
