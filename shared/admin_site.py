"""The setting-up desk: Django's admin in the product's own dress."""

from django.contrib.admin import AdminSite


class LevelpegAdminSite(AdminSite):
    site_header = "Levelpeg: setting up"
    site_title = "Levelpeg"
    index_title = "What the operator owns, and who works here"
    site_url = "/"
