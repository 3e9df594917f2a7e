"""How the product stands to OWASP ASVS 5.0.0, level 2, requirement by requirement."""
