from django.urls import path

from handover.photo import views

urlpatterns = [
    path("walk/<uuid:walk_id>/station/<int:number>/photo/", views.add_photo, name="add-photo"),
    path("photo/<uuid:pk>/", views.photo, name="photo"),
    path("photo/<uuid:pk>/look/", views.photo_page, name="photo-page"),
    path("photo/<uuid:pk>/mark/", views.mark_on_photo, name="mark-on-photo"),
    path("photo/<uuid:pk>/thumb/", views.photo_thumb, name="photo-thumb"),
    path("photo/<uuid:pk>/original/", views.photo_original, name="photo-original"),
    path("photo-pair/<uuid:pk>/", views.photo_pair, name="photo-pair"),
    path("photo-pair/<uuid:pk>/laid/", views.photo_laid, name="photo-laid"),
]
