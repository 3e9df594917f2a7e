"""The API: its resources in the order of its page."""

from handover.api import bookings, readings, records, rentals_change, settlement, statements, units
from handover.api.problems import handled
from handover.api.schema import new_api
from handover.api.webhooks import resource as webhooks

api = new_api()
handled(api)
for resource in (bookings, rentals_change, units, readings, statements, records, settlement, webhooks):
    api.add_router("", resource.router)
