"""The functional core of Farend: a job in, predictions, verdicts, steps and blockers out.

Values in, values out. Nothing here reads a clock, draws a random number, opens a
file (``jobfile`` and ``__main__`` excepted) or knows what a screen is.
"""

__version__ = "0.1.0"
