from django.urls import path

from handover.counter.views import crediting, finding, line, objection, reading, reopening

urlpatterns = [
    path("statement/<uuid:pk>/line/<int:number>/", line.line, name="line"),
    path("statement/<uuid:pk>/line/<int:number>/waive/", line.waive_line, name="waive-line"),
    path("statement/<uuid:pk>/line/<int:number>/object/", line.object_line, name="object-line"),
    path("statement/<uuid:pk>/line/<int:number>/withdraw/<uuid:waiver>/", line.withdraw, name="withdraw-waiver"),
    path("objection/<uuid:pk>/", objection.objection, name="objection"),
    path("statement/<uuid:pk>/line/<int:number>/correct/<uuid:reading>/", reading.correct, name="correct-reading"),
    path("rental/<uuid:pk>/read-again/", reading.again, name="read-again"),
    path("statement/<uuid:pk>/credit/", crediting.credit, name="give-credit"),
    path("statement/<uuid:pk>/reopen/", reopening.reopen_statement, name="reopen-statement"),
    path("rental/<uuid:pk>/found/", finding.found, name="found"),
    path("rental/<uuid:pk>/found/zone/", finding.zone, name="found-zone"),
    path("rental/<uuid:pk>/found/tanks/", finding.tanks, name="found-tanks"),
    path("rental/<uuid:pk>/found/kit/", finding.kit, name="found-kit"),
    path("rental/<uuid:pk>/found/thing/", finding.thing, name="found-thing"),
]
