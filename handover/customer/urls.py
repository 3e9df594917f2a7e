from django.urls import path

from handover.customer.views import late, phone, report, staff, statement

urlpatterns = [
    path("rental/<uuid:pk>/customer/", staff.links, name="customer-links"),
    path("rental/<uuid:pk>/customer/make/", staff.make, name="make-customer-link"),
    path("customer-link/<uuid:pk>/revoke/", staff.revoke, name="revoke-customer-link"),
    path("customer-link/<uuid:pk>/send/", staff.send, name="send-customer-link"),
    path("noticed-photo/<uuid:pk>/", staff.noticed_photo, name="noticed-photo"),
    path("c/<str:token>/", phone.page, name="customer-page"),
    path("c/<str:token>/cab-card/", phone.cab_card, name="customer-cab-card"),
    path("c/<str:token>/topics/", phone.topics, name="customer-topics"),
    path("c/<str:token>/record/<uuid:pk>/", phone.record, name="customer-record"),
    path("c/<str:token>/photo/<uuid:pk>/", phone.photo, name="customer-photo"),
    path("c/<str:token>/told/<uuid:pk>/", phone.own_photo, name="customer-own-photo"),
    path("c/<str:token>/statement/", statement.statement, name="customer-statement"),
    path("c/<str:token>/statement/<int:number>/", statement.object_to, name="customer-object"),
    path("c/<str:token>/late/", late.late, name="customer-late"),
    path("c/<str:token>/report/", report.report, name="customer-report"),
]
