from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from fleet.models import Branch
from handover.api.actions import MOST_DAYS, Wanted
from handover.api.scopes import SCOPE_WORDS, Scope
from shared.access.models import Person
from shared.access.scope import scoped


class TokenForm(forms.Form):
    name = forms.CharField(
        label=gettext_lazy("Which program uses it"), max_length=80,
        error_messages={"required": gettext_lazy("Give the token a name: which program uses it.")},
    )  # fmt: skip
    scopes = forms.MultipleChoiceField(
        label=gettext_lazy("What it may do"), widget=forms.CheckboxSelectMultiple,
        error_messages={"required": gettext_lazy("Choose at least one thing that the token may do.")},
    )  # fmt: skip
    branches = forms.ModelMultipleChoiceField(
        Branch.objects.none(), label=gettext_lazy("For which branches"), widget=forms.CheckboxSelectMultiple,
        error_messages={"required": gettext_lazy("Choose at least one branch.")},
    )  # fmt: skip
    days = forms.IntegerField(
        label=gettext_lazy("Days until it expires"), min_value=1, max_value=MOST_DAYS, initial=365,
        error_messages={"required": gettext_lazy("Say after how many days it expires.")},
    )  # fmt: skip

    def __init__(self, *args: Any, person: Person, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["scopes"].choices = [  # type: ignore[attr-defined]
            (scope.value, _(SCOPE_WORDS[scope])) for scope in Scope
        ]
        self.fields["branches"].queryset = scoped(Branch.objects.all(), person, path="")  # type: ignore[attr-defined]

    def wanted(self) -> Wanted:
        said = self.cleaned_data
        return Wanted(said["name"], said["scopes"], list(said["branches"]), said["days"])
