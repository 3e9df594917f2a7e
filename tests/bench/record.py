"""A record against bare WeasyPrint of the same HTML, and what its seal costs."""

from weasyprint import HTML

from handover.record import render as rendering
from handover.record.document import content_from
from handover.record.faces import style_and_faces
from handover.record.keys import sealing_key
from handover.record.page import page_context
from handover.record.seal import seal
from shared.canonical import canonical
from tests.bench.pairing import alternating, say
from tests.record import sample


def run() -> None:
    document = sample.return_record()
    content, photos, attachment = content_from(document), sample.PHOTOS, canonical(document)
    html = rendering.render_to_string("record/record.html", page_context(content, plan=""))
    fetcher = rendering.RecordFetcher(
        {**style_and_faces("record.css", "record/record.css"), **rendering._images(content.photos(), photos)}
    )  # fmt: skip
    pdf = rendering.render(content, photos, attachment=attachment)
    with sealing_key() as signer:
        ours, bare, sealed = alternating(
            lambda: rendering.render(content, photos, attachment=attachment),
            lambda: HTML(string=html, url_fetcher=fetcher, base_url="rec:").write_pdf(),
            lambda: seal(pdf, signer=signer, reason="bench"),
        )
    say("record render : bare WeasyPrint, same HTML", f"{ours / bare:.2f}", "goal 1.15 or less")
    say("seal : record render", f"{sealed / ours:.2f}", f"{sealed * 1000:.0f} ms here, now")
