from django.urls import path, re_path

from handover.search import views

urlpatterns = [
    path("search/", views.search, name="search"),
    re_path(r"^search/found\.(?P<form>csv|xlsx|json)$", views.export, name="search-export"),
    path("search/views/keep/", views.keep, name="keep-view"),
    path("search/views/<uuid:pk>/rename/", views.rename, name="rename-view"),
    path("search/views/<uuid:pk>/remove/", views.remove, name="remove-view"),
]
