"""What can be chosen on a rate card, in the words of the trade. Pure data."""

from typing import Final

YES_NO: Final = {"yes": "yes", "no": "no"}
TOLERANCE: Final = {
    "threshold": "within it nothing, above it all",
    "deductible": "only what is above it",
    "instrument": "what the instruments cannot tell",
}
CHOICES: Final = {
    "fuel.policy": {"same_to_same": "as it left", "full_to_full": "full"},
    "fuel.target_when_out_below_full": {"full": "it comes back full", "out_level": "it comes back as it left"},
    "fuel.tolerance_mode": TOLERANCE,
    "fuel.litres_rounding": {"none": "not", "up_to_whole": "up to whole litres", "0.1": "to 0.1 L"},
    "fuel.service_fee_per": {"leg": "unit used", "rental": "rental"},
    "fuel.surplus": {
        "no_refund": "no refund",
        "refund": "is paid back",
        "set_off": "is set against other lines",
    },
    "fuel.measure": {"gauge": "the gauge", "pump": "the pump’s receipt"},
    "fuel.swap_leg_policy": {
        "settle_each_leg": "each unit by itself",
        "carry_litres": "litres go along",
        "waive_failed_leg": "the failed unit is free",
    },
    "gas.policy": {
        "by_weight": "by weight",
        "by_cylinder": "by refill below a level",
        "swap": "by swapped cylinder",
        "included": "not, it is included",
    },
    "gas.tolerance_mode": TOLERANCE,
    "gas.receipts": {"none": "never", "operator_fault": "when ours ran short", "all": "always"},
    "gas.flat_use.per": {"night": "night", "rental": "rental"},
    "kits.*.mode": {"whole_kit": "whole once opened", "per_item": "by the item"},
    "late.count_from": {"scheduled": "the agreed time", "end_of_grace": "the end of grace"},
    "late.clock": {
        "elapsed": "time that passed",
        "wall": "the clock on the wall",
        "lower_of_both": "the lower of both",
    },
    "late.after_hours": {"actual_drop": "counts when it was left", "deemed_next_opening": "counts at the next opening"},
    "late.deemed_for": {"risk": "the risk alone", "risk_and_lateness": "risk and lateness"},
    "distance.unit": {"km": "km", "mi": "miles"},
    "distance.charged_days_basis": {"24h": "24 hours", "calendar_days": "calendar days", "nights": "nights"},
    "distance.tier_mode": {"marginal": "what lies in its tier", "whole_amount": "the whole distance"},
    "damage.excess_per": {"event": "event", "rental": "rental"},
    "damage.exclusion_scope": {"item_only": "that item alone", "whole_event": "the whole event"},
    "damage.allocation": {"pro_rata": "in proportion", "in_order": "in the order of the list"},
    "damage.pricing": {
        "estimate": "estimate",
        "invoice": "invoice, never above its estimate",
        "matrix": "the repair matrix",
        "minimum_repair": "the lowest of all",
    },
    "damage.recovery": {"customer_first": "to the customer first", "pro_rata": "to both in proportion"},
    "loss_of_use.proof": {"none": "no", "utilisation": "that all units were booked"},
    "admin.toll_fee_per": {"passage": "passage", "day": "day", "rental": "rental"},
    "prepaid.late_purchase": {"reject_and_refund": "is paid back", "from_now": "counts from then"},
    "prepaid.fuel_tanks_order": {"highest_first": "the dearest leg first", "in_time_order": "the first leg first"},
}
