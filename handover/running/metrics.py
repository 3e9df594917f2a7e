"""The figures in the form that Prometheus reads, beside the requests that were counted."""

from collections.abc import Iterator

from django.utils import timezone
from prometheus_client import generate_latest
from prometheus_client.core import GaugeMetricFamily, Metric
from prometheus_client.registry import Collector

from handover.running.figures import figures, named
from shared.running.counting import registry_with


class FromDatabase(Collector):
    """Read when they are asked for, so that it does not matter which process is asked."""

    def collect(self) -> Iterator[Metric]:
        told = figures(timezone.now())
        for name, meaning, value in named(told):
            if value is not None:
                yield GaugeMetricFamily(f"levelpeg_{name}", meaning, value=value)
        tasks = GaugeMetricFamily("levelpeg_tasks", "Tasks by state", labels=["state"])
        for state, count in told.tasks.items():
            tasks.add_metric([state.lower()], count)
        yield tasks


def exposition() -> bytes:
    return generate_latest(registry_with(FromDatabase()))
