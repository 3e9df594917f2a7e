"""What a browser may do with an answer; asked of each of the authorisation matrix."""

from typing import Any

# Shown by the browser's own viewer, which a policy of ours would stop; made by us, and nothing of it runs.
PDF = "application/pdf"
PAGES = {"text/html", "application/json", "application/manifest+json", "text/javascript", "text/plain"}
PICTURES = {"image/jpeg", "image/png", "image/webp", "image/heif"}
ERASED = "image/svg+xml"
STRICT = {"default-src 'none'", "script-src 'self'", "style-src 'self'", "frame-ancestors 'none'"}
OF_A_FILE = "default-src 'none'; sandbox; frame-ancestors 'none'"


def kind_of(answer: Any) -> str:
    return str(answer.headers.get("Content-Type", "")).partition(";")[0]


def assert_kept_in(answer: Any) -> None:
    """A page keeps to the strict policy; a file is looked at or kept, in a sandbox, as the type that we said."""
    said = answer.headers
    assert said["X-Content-Type-Options"] == "nosniff"
    assert said["X-Frame-Options"] == "DENY"
    assert said["Referrer-Policy"] in {"same-origin", "no-referrer"}
    assert said["Cross-Origin-Opener-Policy"] == said["Cross-Origin-Resource-Policy"] == "same-origin"
    assert "camera=(self)" in said["Permissions-Policy"]
    kind, policy, way = kind_of(answer), said.get("Content-Security-Policy", ""), said.get("Content-Disposition", "")
    if way.startswith("attachment") or kind in PICTURES or (kind == ERASED and answer.status_code >= 400):
        assert policy == OF_A_FILE
    elif kind == PDF:
        assert way.startswith("inline; filename=")
    elif answer.status_code != 302:
        assert kind in PAGES or not answer.content, kind
        allowed = {part.strip() for part in policy.split(";")}
        assert allowed >= STRICT, policy
        assert "unsafe" not in policy
