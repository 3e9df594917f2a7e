"""Findings about what was seen: photos of both walk-rounds, what the first can show, marks known before."""

from django.utils.timezone import localtime
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from handover.dispute.evidence.finding import Finding, Found, Side, in_the_ledger, of_walk, person_and_time
from handover.dispute.evidence.gathering import Gathered
from handover.dispute.evidence.photographs import Photographed
from handover.dispute.smallest import FIELD_DEGREES, PIXELS
from handover.photo.models import Photo, PhotoPair
from handover.record.figures import digest_groups
from shared.dates import dated_moment
from shared.phrasebook import inside


def photos(found: Gathered, shown: Photographed) -> Found:
    """Only where the thing is something that can be photographed."""
    if not found.thing.subjects:
        return
    if shown.out is None:
        words = _("No pickup photo of this panel.") if found.mark else _("No pickup photo of it.")
        yield Finding(words, _("photos of the pickup, looked through for its views"), Side.AGAINST)
    else:
        yield Finding(_("A pickup photo shows the same view."), _photo_words(shown.out), Side.FOR)
    if shown.back is None:
        yield Finding(
            _("No return photo of it."), _("photos of the return, looked through for its views"), Side.AGAINST
        )
    else:
        yield Finding(_("A return photo shows it."), _photo_words(shown.back), Side.FOR)
    if shown.pair:
        yield _laid(shown.pair)
    yield from _digests(found, shown)


def _photo_words(photo: Photo) -> str:
    return _("%(view)s, %(who)s, %(at)s, digest %(digest)s") % {
        "view": photo.view or _("photo"), "who": photo.by.short_name, "at": dated_moment(localtime(photo.at)),
        "digest": digest_groups(photo.kept_sha256, 12),
    }  # fmt: skip


def _digests(found: Gathered, shown: Photographed) -> Found:
    """What the rows say of the photos beside what the ledger said when they were kept."""
    shots = [photo for photo in (shown.out, shown.back) if photo]
    stated = {entry.subject: (told["kept_sha256"], entry) for entry, told in found.told("photo.added")}
    right = [photo for photo in shots if photo.pk in stated and stated[photo.pk][0] == photo.kept_sha256]
    for photo in shots:
        if photo not in right:
            yield Finding(
                _("The digest of this photo is not the one in the Ledger."), _photo_words(photo), Side.AGAINST
            )
    if right:
        rests = _(" and ").join(in_the_ledger(stated[photo.pk][1]) for photo in right)
        yield Finding(_("What is shown has the digest that the Ledger states."), rests, Side.FOR)


def _laid(pair: PhotoPair) -> Finding:
    rests = _("both photos laid over each other by a program, which proves nothing by itself")
    if pair.state != PhotoPair.State.ALIGNED:
        state = inside(pair.get_state_display())
        return Finding(_("The two photos: %(state)s.") % {"state": state}, rests)
    places = len(pair.regions)
    words = ngettext(
        "%(places)s place looks different between the two photos.",
        "%(places)s places look different between the two photos.",
        places,
    )
    return Finding(words % {"places": places}, rests)


def smallest(found: Gathered, shown: Photographed) -> Found:
    """What the pickup photo could have shown of a mark, by its pixels alone."""
    mark, least = found.mark, shown.smallest
    if mark is None or shown.out is None:
        return
    if least is None:
        yield Finding(
            _("How small a mark the pickup photo can show is not known."), _("the view has no camera place"), Side.FACT
        )
        return
    rests = _(
        "%(pixels)s pixels across, %(width)s px wide, %(distance)s mm away on the plan, a camera that sees "
        "%(degrees)s degrees along its longer side"
    ) % {"pixels": PIXELS, "width": shown.out.width, "distance": least.distance_mm, "degrees": FIELD_DEGREES}
    if not least.in_view:
        yield Finding(_("The place of the mark lies beside what the pickup photo shows."), rests, Side.AGAINST)
    elif least.shows(mark.size_mm):
        words = _("By its pixels the pickup photo can show a mark from %(least)s mm on; this one has %(size)s mm.")
        yield Finding(words % {"least": _up(least.least_mm), "size": mark.size_mm}, rests, Side.FOR)
    else:
        words = _("The pickup photo cannot show a mark under %(least)s mm; this one has %(size)s mm.")
        yield Finding(words % {"least": _up(least.least_mm), "size": mark.size_mm}, rests, Side.AGAINST)


def _up(millimetres: float) -> int:
    """Whole millimetres, in favour of who doubts it."""
    return -int(-millimetres // 1)


def before(found: Gathered, shown: Photographed) -> Found:
    """What was known of the place before this rental."""
    mark = found.mark
    if mark is None or found.out is None:
        return
    known = [
        row for row in found.marks
        if row.pk != mark.pk and row.station_number == mark.station_number and row.found_at < found.out.started_at
        and (row.repaired_at is None or row.repaired_at > found.out.started_at)
    ]  # fmt: skip
    if mark.found_at < found.out.started_at:
        words = _("The mark itself was known before the pickup: only its growth is charged.")
        yield Finding(words, person_and_time(mark.found_by, mark.found_at))
    for row in known:
        yield Finding(
            _("%(mark)s was known at this station before the pickup.") % {"mark": row},
            person_and_time(row.found_by, row.found_at), Side.AGAINST,
        )  # fmt: skip
    if not known and found.earlier and mark.found_at >= found.out.started_at:
        words = _("No mark was known at this station when the unit came back before.")
        yield Finding(words, of_walk(found.earlier), Side.FOR)
