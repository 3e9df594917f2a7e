"""Which tables there are, by the pages they stand on. The key of a table is the name of its function."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeAlias

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from handover.insight.asking import Asked
from handover.insight.audit import damage as audit_damage
from handover.insight.audit import disputes as audit_disputes
from handover.insight.audit import due, evidence, money, numbering
from handover.insight.audit import readings as audit_readings
from handover.insight.audit import waivers as audit_waivers
from handover.insight.baseline import tables as baseline
from handover.insight.metrics import (
    charges,
    damage,
    deposits,
    disputes,
    handovers,
    readings,
    things,
    times,
    waivers,
)
from handover.insight.repeatability import tables as repeatability
from handover.insight.table import Table

Build: TypeAlias = Callable[[Asked], Table]
Words: TypeAlias = str | Promise


def key_of(build: Build) -> str:
    return build.__name__.replace("_", "-")


@dataclass(frozen=True, slots=True)
class Chapter:
    """One page of tables; `words` say in a sentence what it tells."""

    key: str
    title: Words
    words: Words
    builds: tuple[Build, ...]


@dataclass(frozen=True, slots=True)
class Elsewhere:
    """Another page that answers: its URL name, what it needs of "branch", and its words."""

    url: str
    words: Words
    of_branch: bool = False


@dataclass(frozen=True, slots=True)
class Question:
    """What an auditor asks, by its number in the list of the trade; `beside` says what no page can answer."""

    number: int
    title: Words
    builds: tuple[Build, ...] = ()
    elsewhere: tuple[Elsewhere, ...] = ()
    beside: Words = ""


CHAPTERS = (
    Chapter(
        "handovers", _("Handovers"), _("How long they take, what baseline they leave, how topics are told."),
        (handovers.pickup_minutes, handovers.return_minutes, handovers.minutes_by_layout,
         handovers.baseline_completeness, handovers.topic_seconds, handovers.topics_skipped, handovers.refusals),
    ),
    Chapter(
        "charges", _("Charges and waivers"),
        _("What is kept of what was charged, what Extras pay, what is not charged and why."),
        (charges.kept_of_charges, charges.uncharged_by_reason, waivers.waivers_by_reason, waivers.waivers_by_host,
         waivers.waivers_by_approver, charges.prepaid_margin),
    ),
    Chapter(
        "disputes", _("Disputes"), _("How many, how long they take, how they end; chargebacks."),
        (disputes.disputes_by_line, disputes.days_to_decision, disputes.chargebacks),
    ),
    Chapter(
        "damage", _("Damage and things"), _("Marks for each 1,000 days, where they are found, kits and items."),
        (damage.damage_by_part, damage.damage_by_layout, damage.damage_by_host, damage.where_found,
         things.kits_used, things.missing_items, things.surplus_items),
    ),
    Chapter(
        "times", _("Units and times"), _("Late returns, turnaround, units not ready, swaps, faults, deposits."),
        (times.late_returns, times.turnaround_hours, times.not_ready, times.swaps, times.faults,
         deposits.release_days, deposits.expired_holds),
    ),
    Chapter(
        "readings", _("Readings"), _("Gauges against pump receipts, corrections, and how closely two people read "
        "the same level."),
        (readings.gauge_against_pump, readings.corrections, repeatability.spread_by_instrument,
         repeatability.spread_by_branch, repeatability.spread_by_person),
    ),
    Chapter(
        "baselines", _("Missing baselines"), _("What could not be charged for want of a reading, a count or a photo."),
        (baseline.baseline_by_host, baseline.baseline_missing),
    ),
)  # fmt: skip

LEDGER = Elsewhere("day-seals", _("Day seals: is the Ledger whole?"))
QUESTIONS = (
    Question(1, _("Which terms did the customer sign, and are they as they were?"), (numbering.terms_kept,),
             (Elsewhere("rate-cards", _("Rate cards, every version"), of_branch=True), LEDGER)),
    Question(2, _("Which readings were changed, by whom and why?"), (audit_readings.reading_changes,)),
    Question(3, _("Does a statement come to the same sum when it is priced again?"),
             elsewhere=(Elsewhere("rate-cards", _("Rate cards, every version"), of_branch=True),),
             beside=_("On the server, manage.py reprice prices every kept statement again and names each that would "
                      "differ. The workings of each line stand on the page of its statement.")),
    Question(4, _("Are there gaps in numbering?"), (numbering.numbering_gaps,)),
    Question(5, _("Were waivers given above a limit, or confirmed by oneself?"), (audit_waivers.waivers_above_limit,)),
    Question(6, _("Was damage charged and never repaired?"), (audit_damage.damage_not_repaired,)),
    Question(7, _("Was one mark charged to two customers?"), (audit_damage.marks_charged_twice,)),
    Question(8, _("Are deposits held too long, or captured without a statement?"), (money.deposits_to_explain,),
             (Elsewhere("settlements", _("What is still to move"), of_branch=True),)),
    Question(9, _("Which tax class has each line, and why?"), (money.tax_classes,),
             (Elsewhere("settlements", _("Every line with net, tax and gross, to download"), of_branch=True),)),
    Question(10, _("Were gas and fire checks up to date on the day of pickup?"), (due.checks_at_pickup,)),
    Question(11, _("Who had access to customers’ data?"), (evidence.links_made,),
             (Elsewhere("retention", _("How long data is kept, what was erased, what is held"), of_branch=True),)),
    Question(12, _("Are the photos whole, and by whose clock?"), (evidence.photo_times,), (LEDGER,)),
    Question(13, _("What was entered later, and by whom?"), (evidence.entered_late,)),
    Question(14, _("Did refunds go back the way they came?"), (money.refunds,)),
    Question(15, _("Were complaints answered on time?"), (audit_disputes.disputes_answered,),
             (Elsewhere("disputes", _("Open disputes by their deadline"), of_branch=True),)),
)  # fmt: skip

TABLES: dict[str, Build] = {key_of(build): build for page in (*CHAPTERS, *QUESTIONS) for build in page.builds}
