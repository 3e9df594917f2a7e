from django.urls import path

from handover.dispute.views import case, opening, papers

urlpatterns = [
    path("branch/<slug:code>/disputes/", case.disputes, name="disputes"),
    path("dispute/<uuid:pk>/", case.dispute, name="dispute"),
    path("dispute/<uuid:pk>/decide/", case.decide_dispute, name="decide-dispute"),
    path("dispute/<uuid:pk>/hand-on/", case.hand_on_dispute, name="hand-on-dispute"),
    path("dispute/<uuid:pk>/bundle/", papers.order, name="order-bundle"),
    path("dispute-bundle/<uuid:pk>/bundle.zip", papers.bundle, name="dispute-bundle"),
    path("dispute-letter/<uuid:pk>/letter.pdf", papers.letter, name="dispute-letter"),
    path("dispute-letter/<uuid:pk>/again/", papers.letter_again, name="dispute-letter-again"),
    path("dispute-photo/<uuid:pk>/", papers.photo, name="dispute-photo"),
    path("statement/<uuid:pk>/line/<int:number>/dispute/", opening.line, name="open-dispute"),
    path("rental/<uuid:pk>/chargeback/", opening.chargeback, name="open-chargeback"),
]
