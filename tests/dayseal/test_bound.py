"""Every table of what happens is bound to the ledger, or says why not."""

from django.apps import apps

from handover.dayseal.bound import KEPT_BESIDE, NOT_BOUND, WRITTEN_BY_ACTIONS
from shared.ledger.rows import BOUND


def test_every_table_has_been_thought_of():
    bound = {*WRITTEN_BY_ACTIONS.split(), *KEPT_BESIDE.split()}
    happenings = {model._meta.label for model in apps.get_app_config("handover").get_models()}
    assert happenings - bound == set(NOT_BOUND)
    assert {label.lower() for label in bound} == set(BOUND)
