"""Hashed names for static files, inside ES modules too."""

from whitenoise.storage import CompressedManifestStaticFilesStorage


class ModuleStaticFilesStorage(CompressedManifestStaticFilesStorage):  # type: ignore[misc]
    # Rewrites `import "./step.js"` to the hashed name, so that a module and what it imports change together.
    support_js_module_import_aggregation = True
