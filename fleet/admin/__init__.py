"""Setting up what the operator owns. Importing a module registers its pages."""

from fleet.admin import branch, layout, person, topic, unit

__all__ = ["branch", "layout", "person", "topic", "unit"]
