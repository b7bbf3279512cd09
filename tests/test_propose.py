"""A first plan: what is offered as working has nothing that stops it; nonsense is refused."""

import pytest

from engine.jobfile import read_job
from engine.planning import BadPlan
from engine.predict import predict
from engine.propose import MATTERS, propose

pytestmark = pytest.mark.pure


def proposed(metres, **keys):
    job = read_job(propose(metres, title="Trial", ident="T", **keys)).plan
    return job, predict(job)


def active(job):
    return sum(box.sheet.facts.active for box in job.boxes.values())


@pytest.mark.parametrize(
    ("metres", "watts"),
    [(20, 5), (20, 60), (90, 13), (100, 13), (101, 5), (180, 13), (300, 13), (463, 5)],
)
def test_it_works_at_worst_where_it_can(metres, watts):
    job, prediction = proposed(metres, watts=watts)
    said = [(f.rule, f.at, f.severity) for f in prediction.findings]
    assert [one for one in said if one[2] == "stop" or one[0] in MATTERS] == []
    total = sum(span.length_m.expected for span in job.spans.values())
    assert total == pytest.approx(metres, abs=0.1)


@pytest.mark.parametrize("metres", [600, 1000, 2000])
def test_too_far_is_a_whole_job_whose_findings_speak(metres):
    job, prediction = proposed(metres, watts=60)
    assert {f.rule for f in prediction.findings} & {"collapse", "volts-low", "port-trip"}
    assert job.stops["far"].at_m == metres


def test_farther_never_takes_fewer_boxes():
    counts = [active(proposed(metres, watts=5)[0]) for metres in (20, 100, 101, 300, 463)]
    assert counts == sorted(counts)
    assert counts[:2] == [2, 2]


def test_indoors_there_is_no_arrestor():
    job, _ = proposed(90, outdoor=False)
    assert {box.kind for box in job.boxes.values()} == {"source", "endpoint"}


@pytest.mark.parametrize("metres", [0, -5, float("nan"), float("inf"), 1e9])
def test_nonsense_is_refused(metres):
    with pytest.raises(BadPlan):
        propose(metres, title="Trial", ident="T")


@pytest.mark.parametrize("keys", [{"watts": 0}, {"watts": float("nan")}, {"mbps": 7}])
def test_a_load_no_run_has_is_refused(keys):
    with pytest.raises(BadPlan):
        propose(50, title="Trial", ident="T", **keys)


@pytest.mark.parametrize("metres", [101, 180, 300])
def test_within_reach_of_long_span_units_nothing_stands_on_the_way(metres):
    job, _ = proposed(metres, watts=5)
    assert set(job.stops) == {"hut", "far"}
    assert [box.kind for box in job.boxes.values()].count("long-span") == 2


@pytest.mark.parametrize("metres", [101, 180])
def test_a_hundred_megabits_go_over_repeaters(metres):
    job, _ = proposed(metres, watts=5, mbps=100)
    assert "repeater" in {box.kind for box in job.boxes.values()}
