"""Setting up prices and Extras, and the bookings. Importing a module registers its pages."""

from handover.admin import customer, prices, rental

__all__ = ["customer", "prices", "rental"]
