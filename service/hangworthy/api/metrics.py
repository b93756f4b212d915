"""Figures for Prometheus: requests by route and status, their durations, evaluations by outcome, the queue. Never a fact, never a name."""

from bisect import bisect_left
from collections.abc import Iterator
from itertools import accumulate
from threading import Lock

from prometheus_client import CollectorRegistry, Gauge, generate_latest
from prometheus_client.core import CounterMetricFamily, HistogramMetricFamily, Metric
from prometheus_client.registry import Collector

MEDIA_TYPE = "text/plain; version=0.0.4; charset=utf-8"
_BUCKETS = (0.0005, 0.001, 0.0025, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1.0, 2.5, 5.0, 10.0)
_NAMES = (*map(str, _BUCKETS), "+Inf")
_METHODS = frozenset(("GET", "HEAD", "POST", "PUT", "DELETE", "OPTIONS"))


class _Durations:
    """How long the requests to one route took: how many fell between two bounds, and their sum in seconds."""

    __slots__ = ("counts", "seconds")

    def __init__(self) -> None:
        self.counts, self.seconds = [0] * len(_NAMES), 0.0


class Metrics(Collector):
    """The figures of one process. Routes are told by their template, so that their number is bounded and no address is kept.

    Every request is counted here with a few additions, and put into the library's form only when somebody reads the figures: its own
    counters would take longer than many a request has.
    """

    def __init__(self) -> None:
        """Start at zero, in a registry of its own: two applications in one process do not add up."""
        self._registry = CollectorRegistry()
        self._requests: dict[tuple[str, str, int], int] = {}
        self._durations: dict[str, _Durations] = {}
        self._evaluations: dict[tuple[str, bool], int] = {}
        self._lock = Lock()  # long answers are made, and counted, beside the event loop
        self._registry.register(self)
        self._waiting = Gauge("hangworthy_queue_waiting", "Evaluations that wait to be written.", registry=self._registry)
        self._capacity = Gauge("hangworthy_queue_capacity", "How many may wait.", registry=self._registry)

    def answered(self, method: str, route: str | None, status: int, seconds: float) -> None:
        """Count one request."""
        route = route or "(unknown)"
        key = (method if method in _METHODS else "other", route, status)
        with self._lock:
            self._requests[key] = self._requests.get(key, 0) + 1
            durations = self._durations.get(route)
            if durations is None:
                durations = self._durations[route] = _Durations()
            durations.counts[bisect_left(_BUCKETS, seconds)] += 1
            durations.seconds += seconds

    def evaluated(self, outcome: str, recorded: bool) -> None:
        """Count one evaluation by its outcome."""
        key = (outcome, recorded)
        with self._lock:
            self._evaluations[key] = self._evaluations.get(key, 0) + 1

    def queue(self, waiting: int, capacity: int) -> None:
        """Note how full the queue is."""
        self._waiting.set(waiting)
        self._capacity.set(capacity)

    def collect(self) -> Iterator[Metric]:
        """Yield all that was counted, in the library's form."""
        requests = CounterMetricFamily("hangworthy_requests", "Requests answered.", labels=["method", "route", "status"])
        seconds = HistogramMetricFamily("hangworthy_request_seconds", "Time to answer a request.", labels=["route"])
        evaluations = CounterMetricFamily("hangworthy_evaluations", "Evaluations answered.", labels=["outcome", "recorded"])
        with self._lock:
            for (method, route, status), count in self._requests.items():
                requests.add_metric([method, route, str(status)], count)
            for route, one in self._durations.items():
                seconds.add_metric([route], [*zip(_NAMES, accumulate(one.counts), strict=True)], one.seconds)
            for (outcome, recorded), count in self._evaluations.items():
                evaluations.add_metric([outcome, "true" if recorded else "false"], count)
        yield from (requests, seconds, evaluations)

    def text(self) -> bytes:
        """Return all figures as Prometheus reads them."""
        return generate_latest(self._registry)
