from django.urls import path

from handover.briefing import views

urlpatterns = [
    path("walk/<uuid:walk_id>/station/<int:number>/language/", views.choose_language, name="choose-language"),
    path("briefing/", views.briefing, name="briefing"),
    path("briefing/<slug:layout>/<slug:language>/", views.translations, name="translations"),
    path("briefing/text/<uuid:pk>/approve/", views.approve_text, name="approve-translation"),
    path("briefing/text/<uuid:pk>/take-back/", views.take_text_back, name="take-translation-back"),
]
