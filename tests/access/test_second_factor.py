"""The second factor: who must have one, what comes in, what is counted, and how it is got back."""

import time
from datetime import timedelta
from typing import Any

import pytest
from allauth.mfa.models import Authenticator
from allauth.mfa.utils import decrypt
from django.test import Client
from django.utils import timezone

from shared.access.lockout.waiting import OF_A_NAME
from shared.access.models import DevicePerson, Person, SecondFactorReset
from shared.access.pins import set_pin
from shared.access.second_factor import factors
from shared.access.second_factor.policy import LASTS
from shared.ledger.models import Entry
from tests.access.codes import code_at, code_now
from tests.factories import NINE, PASSWORD

SECRET = "JBSWY3DPEHPK3PXPJBSWY3DPEHPK3PXP"
ASK, OWN = "/sign-in/second-factor/", "/me/second-factor/"


@pytest.fixture(autouse=True)
def required(settings: Any) -> None:
    settings.SECOND_FACTOR = "required"


@pytest.fixture
def ruth_with_app(ruth: Person) -> Person:
    factors.add_app(ruth, SECRET, at=NINE)
    ruth.refresh_from_db()
    return ruth


def sign_in(client: Client, name: str, **said: str) -> Any:
    return client.post("/sign-in/?other=1", {"username": name, "password": PASSWORD, **said})


def recovery_codes(person: Person) -> list[str]:
    codes = factors.factors_of(person).codes
    return list(codes.wrap().get_unused_codes()) if codes else []


def is_in(client: Client) -> bool:
    return client.get("/me/").status_code == 200


def secret_of(person: Person) -> str:
    return str(decrypt(Authenticator.objects.get(user=person, type="totp").data["secret"]))


def wrong(client: Client) -> Any:
    return client.post(ASK, {"code": "000000"})


@pytest.mark.parametrize("who", ["ruth", "maeve", "anders"])
def test_who_must_have_one_is_led_to_it_before_any_other_page(client: Client, request: Any, who: str) -> None:
    request.getfixturevalue(who)
    sign_in(client, who)
    for path in ("/", "/me/", "/search/", "/setting-up/"):
        assert client.get(path, follow=True).redirect_chain[-1][0].startswith(OWN)
    assert "so a password alone does not open it" in client.get(OWN).text


@pytest.mark.parametrize("who", ["isla", "callum"])
def test_for_host_and_return_bay_it_is_offered(client: Client, request: Any, who: str) -> None:
    request.getfixturevalue(who)
    sign_in(client, who)
    assert is_in(client)
    assert "None. With one, a password that somebody saw lets nobody in." in client.get("/me/").text


def test_a_session_made_in_any_way_opens_nothing(client: Client, ruth: Person) -> None:
    client.force_login(ruth)
    assert client.get("/tablet/day/").status_code == 401
    assert client.get("/tablet/hello/").json()["person"] is None
    assert client.get("/").url.startswith(OWN)


def test_the_first_app_and_its_recovery_codes(client: Client, ruth: Person) -> None:
    sign_in(client, "ruth")
    page = client.get(f"{OWN}app/")
    assert 'src="data:image/svg+xml' in page.text
    secret = client.session["mfa.totp.secret"]
    assert client.post(f"{OWN}app/", {"code": "000000"}).status_code == 422
    assert client.session["mfa.totp.secret"] == secret
    assert client.post(f"{OWN}app/", {"code": code_now(secret)}).url == f"{OWN}recovery-codes/"
    shown = client.get(f"{OWN}recovery-codes/").text
    assert [code for code in recovery_codes(ruth) if f"{code[:4]} {code[4:]}" in shown] == recovery_codes(ruth)
    assert len(recovery_codes(ruth)) == 10
    assert is_in(client)


def test_recovery_codes_are_shown_until_they_are_kept(client: Client, ruth_with_app: Person) -> None:
    sign_in(client, "ruth")
    client.post(ASK, {"code": code_now(SECRET)})
    file = client.get(f"{OWN}recovery-codes/codes.txt")
    assert file.headers["Content-Disposition"].startswith("attachment")
    assert file.text.count("\n") == 12
    client.post(f"{OWN}recovery-codes/")
    assert client.get(f"{OWN}recovery-codes/").url == OWN
    assert client.get(f"{OWN}recovery-codes/codes.txt").status_code == 404


def test_new_recovery_codes_end_the_old(client: Client, ruth_with_app: Person) -> None:
    sign_in(client, "ruth")
    client.post(ASK, {"code": code_now(SECRET)})
    old = recovery_codes(ruth_with_app)
    assert client.post(f"{OWN}recovery-codes/new/").url == f"{OWN}recovery-codes/"
    assert not set(old) & set(recovery_codes(ruth_with_app))


def test_the_code_lets_in_and_leads_on(client: Client, ruth_with_app: Person) -> None:
    assert sign_in(client, "ruth", next="/search/").url == "/search/"
    asked = client.get("/search/").url
    assert asked == f"{ASK}?next=/search/"
    assert 'value="/search/"' in client.get(asked).text
    assert client.post(ASK, {"code": code_now(SECRET), "next": "/search/"}).url == "/search/"
    assert is_in(client)


def test_it_leads_nowhere_else(client: Client, ruth_with_app: Person) -> None:
    sign_in(client, "ruth")
    assert client.post(ASK, {"code": code_now(SECRET), "next": "https://example.org/"}).url == "/"


def test_the_session_of_the_password_alone_is_gone(client: Client, ruth_with_app: Person) -> None:
    sign_in(client, "ruth")
    before = client.session.session_key
    client.post(ASK, {"code": code_now(SECRET)})
    assert client.session.session_key != before


def test_a_code_counts_once(client: Client, ruth_with_app: Person) -> None:
    code = code_now(SECRET)
    for expected in (302, 422):
        sign_in(client, "ruth")
        assert client.post(ASK, {"code": code}).status_code == expected


@pytest.mark.parametrize(("seconds", "expected"), [(-30, 302), (30, 302), (-90, 422), (90, 422)])
def test_a_phone_whose_clock_is_half_a_minute_off(
    client: Client, ruth_with_app: Person, monkeypatch: Any, seconds: int, expected: int
) -> None:
    now = time.time()
    monkeypatch.setattr("time.time", lambda: now)
    sign_in(client, "ruth")
    assert client.post(ASK, {"code": code_at(SECRET, now + seconds)}).status_code == expected


def test_a_recovery_code_lets_in_once(client: Client, ruth_with_app: Person) -> None:
    code = recovery_codes(ruth_with_app)[3]
    for expected in (302, 422):
        sign_in(client, "ruth")
        assert client.post(ASK, {"code": f"{code[:4]} {code[4:]}"}).status_code == expected
    assert len(recovery_codes(ruth_with_app)) == 9


@pytest.mark.parametrize("typed", ["", "abc", "12345", "٠٠٠٠٠٠", "9" * 200, "\x00"])
def test_what_is_no_code(client: Client, ruth_with_app: Person, typed: str) -> None:
    sign_in(client, "ruth")
    answer = client.post(ASK, {"code": typed})
    assert answer.status_code == 422
    assert not is_in(client)


@pytest.mark.parametrize(
    "said", ["{", "[]", "{}", '{"id":"x","rawId":"x","response":{},"type":"public-key"}', "7" * 30_000]
)
def test_what_is_no_passkey(client: Client, ruth_with_app: Person, said: str) -> None:
    sign_in(client, "ruth")
    assert client.post(ASK, {"answer": said}).status_code == 422
    assert not is_in(client)


def test_a_made_up_passkey_is_not_kept(client: Client, ruth_with_app: Person) -> None:
    sign_in(client, "ruth")
    client.post(ASK, {"code": code_now(SECRET)})
    for said in ("", "{}", '{"id":"x","rawId":"eA","response":{"clientDataJSON":"eA","attestationObject":"eA"}}'):
        assert client.post(f"{OWN}passkey/", {"answer": said}).status_code == 422
    assert Authenticator.objects.filter(type="webauthn").count() == 0


def test_who_has_one_changes_none_before_it_is_given(client: Client, ruth_with_app: Person) -> None:
    sign_in(client, "ruth")
    for path in (OWN, f"{OWN}app/", f"{OWN}passkey/", f"{OWN}recovery-codes/", f"{OWN}recovery-codes/codes.txt"):
        assert client.get(path).url.startswith(ASK)
    client.post(f"{OWN}{Authenticator.objects.get(type='totp').pk}/remove/")
    client.post(f"{OWN}recovery-codes/new/")
    assert secret_of(ruth_with_app) == SECRET


def test_the_password_is_asked_again_before_a_change(client: Client, isla: Person) -> None:
    client.force_login(isla)
    asked = client.get(f"{OWN}app/").url
    assert asked.startswith("/sign-in/password/")
    assert client.post(asked, {"password": "guess"}).status_code == 422
    assert client.post(asked, {"password": PASSWORD}).url == OWN
    assert client.get(f"{OWN}app/").status_code == 200


def test_five_wrong_codes_have_to_wait_from_everywhere(client: Client, ruth_with_app: Person) -> None:
    sign_in(client, "ruth")
    said = [wrong(client).status_code for _ in range(OF_A_NAME)]
    assert said == [422] * (OF_A_NAME - 1) + [429]
    elsewhere = Client(REMOTE_ADDR="192.0.2.77")
    sign_in(elsewhere, "ruth")
    answer = elsewhere.post(ASK, {"code": code_now(SECRET)})
    assert answer.status_code == 429
    assert "The next can be made in 15 minutes." in answer.text
    assert Entry.objects.filter(kind="sign_in.stopped", chain=ruth_with_app.pk).count() == 1


def test_the_password_forgives_no_wrong_code(client: Client, ruth_with_app: Person) -> None:
    """Else whoever has the password alone could guess for ever."""
    for _ in range(OF_A_NAME - 1):
        sign_in(client, "ruth")
        wrong(client)
    sign_in(client, "ruth")
    assert wrong(client).status_code == 429


def test_the_right_code_forgives(client: Client, ruth_with_app: Person) -> None:
    sign_in(client, "ruth")
    for _ in range(OF_A_NAME - 1):
        wrong(client)
    client.post(ASK, {"code": code_now(SECRET)})
    sign_in(client, "ruth")
    assert wrong(client).status_code == 422


def test_the_last_one_of_a_manager_stays(client: Client, ruth_with_app: Person) -> None:
    sign_in(client, "ruth")
    client.post(ASK, {"code": code_now(SECRET)})
    answer = client.post(f"{OWN}{Authenticator.objects.get(type='totp').pk}/remove/")
    assert answer.status_code == 422
    assert "Add another first" in answer.text


def test_the_last_one_of_a_host_goes_with_the_recovery_codes(client: Client, isla: Person) -> None:
    factors.add_app(isla, SECRET, at=NINE)
    sign_in(client, "isla")
    client.post(ASK, {"code": code_now(SECRET)})
    client.post(f"{OWN}{Authenticator.objects.get(type='totp').pk}/remove/")
    isla.refresh_from_db()
    assert not Authenticator.objects.exists()
    assert not isla.has_second_factor
    assert is_in(client)


def test_whose_role_grows_is_asked_at_the_next_page(client: Client, isla: Person) -> None:
    sign_in(client, "isla")
    assert is_in(client)
    Person.objects.update(role="manager")
    assert client.get("/me/").url.startswith(OWN)


def test_where_it_is_only_offered_the_demo_goes_on(client: Client, ruth: Person, settings: Any) -> None:
    settings.SECOND_FACTOR = "offered"
    sign_in(client, "ruth")
    assert is_in(client)


def test_after_a_shift_it_is_asked_again(client: Client, ruth_with_app: Person) -> None:
    sign_in(client, "ruth")
    client.post(ASK, {"code": code_now(SECRET)})
    session = client.session
    session["second_factor"] |= {"at": (timezone.now() - LASTS).timestamp()}
    session.save()
    assert client.get("/me/").url.startswith(ASK)


def test_one_persons_factor_is_not_anothers(client: Client, ruth_with_app: Person, isla: Person) -> None:
    factors.add_app(isla, "GEZDGNBVGY3TQOJQGEZDGNBVGY3TQOJQ", at=NINE)
    sign_in(client, "isla")
    assert client.post(ASK, {"code": code_now(SECRET)}).status_code == 422


class TestOnASharedTablet:
    """By PIN: without the second factor only where it was given on this device within the shift."""

    @pytest.fixture
    def tablet(self, client: Client, ruth_with_app: Person, isla: Person) -> Client:
        set_pin(ruth_with_app, password=PASSWORD, pin="4071", at=NINE)
        sign_in(client, "ruth")
        client.post(ASK, {"code": code_now(SECRET)})
        sign_in(client, "isla")
        return client

    def test_within_the_shift_the_pin_is_enough(self, tablet: Client, ruth: Person) -> None:
        tablet.post(f"/people-here/{ruth.pk}/", {"pin": "4071"})
        assert tablet.get("/me/").context["user"] == ruth

    def test_after_it_the_factor_is_asked(self, tablet: Client, ruth: Person) -> None:
        DevicePerson.objects.update(second_at=timezone.now() - LASTS - timedelta(seconds=1))
        tablet.post(f"/people-here/{ruth.pk}/", {"pin": "4071"})
        assert tablet.get("/me/").url.startswith(ASK)

    def test_the_script_is_told_to_go_to_the_page(self, tablet: Client, ruth: Person) -> None:
        DevicePerson.objects.update(second_at=None)
        said = {"device": str(DevicePerson.objects.first().device_id), "person": str(ruth.pk), "pin": "4071"}
        answer = tablet.post("/tablet/change/", said, content_type="application/json")
        assert answer.status_code == 422
        assert "has not given a second factor on this tablet today" in answer.json()["sentence"]
        assert tablet.get("/me/").context["user"].username == "isla"

    def test_nor_does_its_sign_in_let_in(self, tablet: Client) -> None:
        said = {"device": str(DevicePerson.objects.first().device_id), "username": "ruth", "password": PASSWORD}
        answer = tablet.post("/tablet/sign-in/", said, content_type="application/json")
        assert "signs in with a second factor" in answer.json()["sentence"]
        assert tablet.get("/me/").context["user"].username == "isla"


class TestReset:
    """By an administrator, for who has lost phone and recovery codes."""

    @pytest.fixture
    def as_anders(self, anders: Person, settings: Any) -> Client:
        settings.SECOND_FACTOR = "offered"
        client = Client()
        client.force_login(anders)
        return client

    def test_it_ends_factors_and_sessions_and_is_told(
        self, as_anders: Client, client: Client, ruth_with_app: Person, settings: Any
    ) -> None:
        sign_in(client, "ruth")
        client.post(ASK, {"code": code_now(SECRET)})
        answer = as_anders.post(
            f"/people/{ruth_with_app.pk}/second-factor/", {"reason": "Phone in the loch; I know her."}
        )
        assert "has no second factor any more" in answer.text
        assert client.get("/me/").url.startswith("/sign-in/")
        entry = Entry.objects.get(kind="second_factor.reset")
        assert entry.chain == ruth_with_app.pk
        assert "loch" not in entry.payload
        assert '"factors":1' in entry.payload
        settings.SECOND_FACTOR = "required"
        assert sign_in(client, "ruth").url.startswith(OWN)
        said = client.get(OWN).text
        assert "Anders L. took your second factor away" in said
        assert "Phone in the loch" in said
        assert "took your second factor away" not in client.get(OWN).text

    def test_a_reason_is_needed(self, as_anders: Client, ruth_with_app: Person) -> None:
        for reason in ("", "ok", "x" * 301):
            answer = as_anders.post(f"/people/{ruth_with_app.pk}/second-factor/", {"reason": reason})
            assert answer.status_code == 422
        assert not SecondFactorReset.objects.exists()

    def test_nobody_resets_their_own(self, as_anders: Client, anders: Person) -> None:
        factors.add_app(anders, SECRET, at=NINE)
        session = as_anders.session
        session["second_factor"] = {"of": str(anders.pk), "at": time.time()}
        session.save()
        answer = as_anders.post(f"/people/{anders.pk}/second-factor/", {"reason": "Lost it."})
        assert "Nobody resets their own." in answer.text
        assert Authenticator.objects.filter(user=anders).exists()

    def test_of_another_branch_they_are_not_there(self, as_anders: Client, anders: Person, ida: Person) -> None:
        anders.postings.filter(branch__code="port-averil").delete()
        assert as_anders.get(f"/people/{ida.pk}/second-factor/").status_code == 404


def test_secrets_are_sealed_in_the_database(ruth_with_app: Person) -> None:
    data = Authenticator.objects.get(type="totp").data
    assert SECRET not in str(data)
    assert secret_of(ruth_with_app) == SECRET


def test_an_earlier_key_still_opens(ruth_with_app: Person, settings: Any) -> None:
    settings.SECRET_KEY_FALLBACKS = [settings.SECRET_KEY]
    settings.SECRET_KEY = "another-one-after-the-key-was-changed"
    assert secret_of(ruth_with_app) == SECRET


def test_each_change_stands_in_the_ledger(ruth: Person) -> None:
    factors.add_app(ruth, SECRET, at=NINE)
    factors.new_codes(ruth, at=NINE)
    factors.add_app(ruth, SECRET, at=NINE)
    kinds = list(Entry.objects.filter(chain=ruth.pk).order_by("sequence").values_list("kind", flat=True))
    assert kinds == ["second_factor.added", "second_factor.new_codes", "second_factor.added"]
    assert all("secret" not in payload for payload in Entry.objects.values_list("payload", flat=True))
