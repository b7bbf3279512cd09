"""What property tests draw from. Apart from ``jobs``, which needs no Hypothesis."""

from __future__ import annotations

from hypothesis import strategies as st
from random_jobs import random_job

any_job = st.integers(0, 10**6).map(random_job)
"""jobs of any shape"""
