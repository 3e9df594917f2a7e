"""What the pure modules of this room say, and what is kept in the house language, for the phrase book."""

from handover.ratecard.choices import CHOICES, YES_NO
from handover.ratecard.labels import LABELS, SECTIONS
from handover.sayings.cards import CARDS
from handover.sayings.charges import CHARGES
from handover.sayings.documents import DOCUMENTS
from handover.sayings.kept import KEPT, RECORDS, REPRICED

RATE_CARDS = (
    *SECTIONS.values(),
    *(words for label in LABELS.values() for words in (label.words, label.unit, label.help)),
    *(words for choices in CHOICES.values() for words in choices.values()),
    *YES_NO.values(),
)
SAYINGS = (*CARDS, *CHARGES, *DOCUMENTS, *KEPT, *RECORDS, *REPRICED, *RATE_CARDS)
