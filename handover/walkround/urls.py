from django.urls import path

from handover.walkround.views import answering, ending, marking, station

HERE = "walk/<uuid:walk_id>/station/<int:number>"

urlpatterns = [
    path("walk/<uuid:walk_id>/", station.walk, name="walk"),
    path(f"{HERE}/", station.station, name="station"),
    path(f"{HERE}/rest/", station.rest_as_before, name="rest-as-before"),
    path(f"{HERE}/check/<uuid:item>/", answering.answer_check, name="answer-check"),
    path(f"{HERE}/reading/<uuid:item>/", answering.take_reading, name="take-reading"),
    path(f"{HERE}/reading/<uuid:item>/so-far/", station.so_far, name="so-far"),
    path(f"{HERE}/count/<uuid:item>/", answering.count, name="count"),
    path(f"{HERE}/seal/<uuid:item>/", answering.check_seal, name="check-seal"),
    path(f"{HERE}/topic/<uuid:item>/", answering.hear_topic, name="hear-topic"),
    path(f"{HERE}/mark/", marking.pin_mark, name="pin-mark"),
    path(f"{HERE}/mark/<uuid:mark_id>/", marking.judge_mark, name="judge-mark"),
    path("walk/<uuid:walk_id>/sign/", ending.sign_walk, name="sign-walk"),
    path("walk/<uuid:walk_id>/remark/", ending.remark, name="remark"),
    path("walk/<uuid:walk_id>/left/", ending.left, name="customer-left"),
    path("walk/<uuid:walk_id>/hand-over/", ending.hand_over, name="hand-over"),
    path("walk/<uuid:walk_id>/take-back/", ending.take_back, name="take-back"),
    path("hold/<uuid:hold_id>/release/", ending.release_hold, name="release-hold"),
]
