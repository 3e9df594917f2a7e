from django.urls import path

from handover.paper import views

urlpatterns = [
    path("branch/<slug:code>/paper/", views.sheets, name="paper-sheets"),
    path("branch/<slug:code>/paper/print/", views.print_blanks, name="print-paper"),
    path("branch/<slug:code>/paper/<int:first>-<int:last>/", views.blanks, name="paper-blanks"),
    path("paper/<uuid:pk>/key-in/", views.keyed, name="key-in-paper"),
    path("paper/<uuid:pk>/lost/", views.lost, name="lose-paper"),
]
