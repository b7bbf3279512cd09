"""A technician's own rates against SciPy's Dirichlet distribution."""

from __future__ import annotations

import pytest
from scipy.stats import dirichlet
from test_priors import PLACES, chances, tally

from engine.faults.priors import WORTH, rates
from engine.faults.sizes import rate


@pytest.mark.parametrize("first", [True, False])
def test_the_mean_is_that_of_a_dirichlet_distribution(first: bool) -> None:
    """Held against SciPy's, for eight jobs alike: three clean, six finds on the others."""
    found = [("joint.high",)] * 3 + [("joint.high", "span.high")] + [("reading.typed",)]
    seen = tally(*((one, PLACES) for one in (*found, (), (), ())))
    before = chances(lambda cause: rate(cause, first=first), PLACES)
    counts = {"none": 3, "joint.high": 4, "span.high": 1, "reading.typed": 1}
    names = [name for name, chance in before.items() if chance]  # SciPy wants alphas above 0
    mean = dirichlet([WORTH * before[name] + counts.get(name, 0) for name in names]).mean()

    after = chances(rates(seen, first=first), PLACES)
    assert [after[name] for name in names] == pytest.approx(list(mean), rel=1e-12)
    assert sum(after.values()) == pytest.approx(1, abs=1e-12)
