"""Setting up prices and Extras, and the bookings. Importing a module registers its pages."""

from handover.admin import prices, rental

__all__ = ["prices", "rental"]
