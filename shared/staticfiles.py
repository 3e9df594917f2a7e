"""Hashed names for static files, inside ES modules too."""

from whitenoise.storage import CompressedManifestStaticFilesStorage


class ModuleStaticFilesStorage(CompressedManifestStaticFilesStorage):  # type: ignore[misc]
    # Rewrites `import "./step.js"` to the hashed name, so that a module and what it imports change together.
    support_js_module_import_aggregation = True
    # Each pass settles one more step of who imports whom; the tablet's modules go ten deep, and Django stops at five.
    max_post_process_passes = 30
