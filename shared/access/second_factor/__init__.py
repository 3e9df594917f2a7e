"""The second factor: a code of a phone, a passkey or a recovery code. What it is belongs to allauth; when, to us."""
