"""Setting up what the operator owns. Importing a module registers its pages."""

from fleet.admin import branch, device, layout, lockout, person, topic, unit

__all__ = ["branch", "device", "layout", "lockout", "person", "topic", "unit"]
