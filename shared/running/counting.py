"""Requests counted as they are answered, by the page's name; over several processes when they share a folder.

PROMETHEUS_MULTIPROC_DIR names that folder (.deploy/gunicorn.conf.py does); without it a process tells of itself alone.
"""

import os

from prometheus_client import CollectorRegistry, Histogram
from prometheus_client.multiprocess import MultiProcessCollector
from prometheus_client.registry import Collector

METHODS = frozenset({"GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS"})
OWN = CollectorRegistry()
SECONDS = Histogram(
    "levelpeg_request_seconds",
    "How long requests took, by the name of the page, method and class of the answer.",
    ("url", "method", "status"),
    buckets=(0.01, 0.025, 0.05, 0.1, 0.15, 0.25, 0.5, 1, 2.5, 5, 10),
    registry=OWN,
)


def count_request(*, url: str, method: str, status: int, seconds: float) -> None:
    """An invented method is counted as other, so that nobody can fill the memory with names."""
    told = method if method in METHODS else "other"
    SECONDS.labels(url or "none", told, f"{status // 100}xx").observe(seconds)


def registry_with(collector: Collector) -> CollectorRegistry:
    """What a scrape reads: requests of this process, or of all, and what `collector` reads at this moment."""
    if not os.environ.get("PROMETHEUS_MULTIPROC_DIR"):
        return _both(OWN, collector)
    every = CollectorRegistry()
    MultiProcessCollector(every)  # type: ignore[no-untyped-call]
    return _both(every, collector)


def _both(registry: CollectorRegistry, collector: Collector) -> CollectorRegistry:
    both = CollectorRegistry()
    both.register(registry)
    both.register(collector)
    return both
