"""What is wrong with a document: one sentence per problem, at its path."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing that cannot be: where (`legs[0].fuel.in`) and a sentence with what can be and the likely meaning."""

    path: str
    sentence: str

    def __str__(self) -> str:
        return f"{self.path}: {self.sentence}" if self.path else self.sentence


class DocumentError(ValueError):
    """The document cannot be priced; `problems` holds every reason found, in the order of the document."""

    def __init__(self, problems: tuple[Problem, ...]) -> None:
        self.problems = problems
        super().__init__("\n".join(str(problem) for problem in problems))
