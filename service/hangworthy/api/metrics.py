"""Figures for Prometheus: requests by route and status, their durations, evaluations by outcome, the queue. Never a fact, never a name."""

from prometheus_client import CollectorRegistry, Counter, Gauge, Histogram, generate_latest

MEDIA_TYPE = "text/plain; version=0.0.4; charset=utf-8"
_BUCKETS = (0.0005, 0.001, 0.0025, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1.0, 2.5, 5.0, 10.0)
_METHODS = frozenset(("GET", "HEAD", "POST", "PUT", "DELETE", "OPTIONS"))


class Metrics:
    """The figures of one process. Routes are told by their template, so that their number is bounded and no address is kept."""

    def __init__(self) -> None:
        """Start at zero, in a registry of its own: two applications in one process do not add up."""
        self._registry = CollectorRegistry()
        self._requests = Counter(
            "hangworthy_requests", "Requests answered.", ["method", "route", "status"], registry=self._registry
        )  # fmt: skip
        self._seconds = Histogram(
            "hangworthy_request_seconds", "Time to answer a request.", ["route"], registry=self._registry, buckets=_BUCKETS
        )  # fmt: skip
        self._evaluations = Counter(
            "hangworthy_evaluations", "Evaluations answered.", ["outcome", "recorded"], registry=self._registry
        )  # fmt: skip
        self._waiting = Gauge("hangworthy_queue_waiting", "Evaluations that wait to be written.", registry=self._registry)
        self._capacity = Gauge("hangworthy_queue_capacity", "How many may wait.", registry=self._registry)
        # A labelled figure is looked up once: the library's own look-up costs more than the counting.
        self._known: dict[tuple[str, str, int], tuple[Counter, Histogram]] = {}
        self._outcomes: dict[tuple[str, bool], Counter] = {}

    def answered(self, method: str, route: str | None, status: int, seconds: float) -> None:
        """Count one request."""
        key = (method if method in _METHODS else "other", route or "(unknown)", status)
        counters = self._known.get(key)
        if counters is None:
            counters = self._known[key] = self._requests.labels(key[0], key[1], str(status)), self._seconds.labels(key[1])
        counters[0].inc()
        counters[1].observe(seconds)

    def evaluated(self, outcome: str, recorded: bool) -> None:
        """Count one evaluation by its outcome."""
        counter = self._outcomes.get((outcome, recorded))
        if counter is None:
            counter = self._outcomes[outcome, recorded] = self._evaluations.labels(outcome, "true" if recorded else "false")
        counter.inc()

    def queue(self, waiting: int, capacity: int) -> None:
        """Note how full the queue is."""
        self._waiting.set(waiting)
        self._capacity.set(capacity)

    def text(self) -> bytes:
        """Return all figures as Prometheus reads them."""
        return generate_latest(self._registry)
