"""What must never happen while a person works: an error in the console, a refused resource, a server that fails."""

from dataclasses import dataclass, field

from playwright.sync_api import ConsoleMessage, Page, Response

# 422 is how a refusal travels: the page shows its sentence.
ANSWERS = {422}
# The console repeats every answer of 400 and more; answers are watched themselves.
REPEATED = "Failed to load resource"


@dataclass
class Watch:
    """Everything wrong that was seen on the watched pages. `allowed` holds further statuses a test means to get."""

    wrong: list[str] = field(default_factory=list)
    allowed: set[int] = field(default_factory=set)

    def over(self, page: Page) -> None:
        page.on("console", self._console)
        page.on("pageerror", lambda error: self.wrong.append(f"uncaught: {error}"))
        page.on("response", self._response)

    def _console(self, message: ConsoleMessage) -> None:
        if message.type in {"error", "warning"} and not message.text.startswith(REPEATED):
            self.wrong.append(f"console {message.type}: {message.text} ({message.location.get('url', '')})")

    def _response(self, response: Response) -> None:
        if response.status >= 400 and response.status not in ANSWERS | self.allowed:
            self.wrong.append(f"{response.status} for {response.request.method} {response.url}")
