from django.urls import path

from handover.turnaround import views

urlpatterns = [
    path("branch/<slug:code>/turnaround/", views.board, name="turnaround"),
    path("fleet/units/<str:number>/jobs/", views.unit_jobs, name="unit-jobs"),
    path("fleet/units/<str:number>/jobs/add/", views.add, name="add-job"),
    path("fleet/units/<str:number>/let-go/<uuid:rental_id>/", views.let_it_go, name="let-go"),
    path("jobs/<uuid:pk>/", views.job, name="job"),
    path("jobs/<uuid:pk>/assign/", views.assign_job, name="assign-job"),
    path("jobs/<uuid:pk>/not-needed/", views.set_aside, name="job-not-needed"),
    path("jobs/<uuid:pk>/photo/", views.photo, name="job-photo"),
]
