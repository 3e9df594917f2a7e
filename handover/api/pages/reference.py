"""The description of the API as a page: the same document that programs read, in rows."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

Words = tuple[tuple[str, bool], ...]
"""Pieces of a text, each with whether it is code."""

METHODS = ("get", "post", "patch", "delete")


@dataclass(frozen=True, slots=True)
class Field:
    name: str
    kind: str
    words: Words
    needed: bool


@dataclass(frozen=True, slots=True)
class Operation:
    """One method of one address; `answers` are code and words."""

    id: str
    method: str
    path: str
    summary: str
    paragraphs: tuple[Words, ...]
    scope: str
    parameters: tuple[Field, ...]
    body: str
    answer: str
    answers: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Chapter:
    name: str
    operations: tuple[Operation, ...]


@dataclass(frozen=True, slots=True)
class Shape:
    name: str
    words: Words
    fields: tuple[Field, ...]


@dataclass(frozen=True, slots=True)
class Reference:
    title: str
    paragraphs: tuple[tuple[str, Words], ...]
    chapters: tuple[Chapter, ...]
    shapes: tuple[Shape, ...]


def described(schema: Mapping[str, Any]) -> Reference:
    """Of an OpenAPI document."""
    found = [
        (said["tags"][0], _operation(path, method, said))
        for path, methods in schema["paths"].items()
        for method in METHODS
        if (said := methods.get(method))
    ]
    names = dict.fromkeys(tag for tag, _operation_of in found)
    return Reference(
        title=schema["info"]["title"],
        paragraphs=tuple(_paragraph(text) for text in schema["info"]["description"].strip().split("\n\n")),
        chapters=tuple(Chapter(name, tuple(each for tag, each in found if tag == name)) for name in names),
        shapes=tuple(_shape(name, said) for name, said in sorted(schema["components"]["schemas"].items())),
    )


def _paragraph(text: str) -> tuple[str, Words]:
    """Its first words in bold, and the rest."""
    lead, _mark, rest = text.removeprefix("**").partition("**") if text.startswith("**") else ("", "", text)
    return lead, _worded(rest)


def _worded(text: str) -> Words:
    """Between backticks it is code."""
    gap = " " if text[:1].isspace() else ""
    pieces = (gap + " ".join(text.split())).split("`")
    return tuple((piece, bool(place % 2)) for place, piece in enumerate(pieces) if piece)


def _operation(path: str, method: str, said: Mapping[str, Any]) -> Operation:
    words = said["description"].rpartition("Scope:")[0]
    return Operation(
        id=said["operationId"],
        method=method.upper(),
        path=path,
        summary=said["summary"],
        paragraphs=tuple(_worded(part) for part in words.split("\n\n") if part.strip()),
        scope=said["x-scope"],
        parameters=tuple(_parameter(each) for each in said.get("parameters", ())),
        body=_content(said["requestBody"]) if "requestBody" in said else "",
        answer=next((_content(each) for code, each in said["responses"].items() if int(code) < 300), ""),
        answers=tuple((str(code), each["description"]) for code, each in sorted(said["responses"].items(), key=_code)),
    )


def _code(answer: tuple[Any, Any]) -> int:
    return int(answer[0])


def _content(said: Mapping[str, Any]) -> str:
    for kind, content in said.get("content", {}).items():
        name = _kind(content["schema"])
        return name if kind == "application/json" else kind
    return ""


def _parameter(said: Mapping[str, Any]) -> Field:
    words = said.get("description") or said["schema"].get("description", "")
    return Field(f"{said['name']} ({said['in']})", _kind(said["schema"]), _worded(words), said.get("required", False))


def _shape(name: str, said: Mapping[str, Any]) -> Shape:
    needed = set(said.get("required", ()))
    fields = tuple(
        Field(field, _kind(each), _worded(each.get("description", "")), field in needed)
        for field, each in said.get("properties", {}).items()
    )
    return Shape(name, _worded(said.get("description") or ", ".join(_choices(said))), fields)


def _kind(said: Mapping[str, Any]) -> str:
    """string, list of Booked, one of …: in a few words."""
    if "$ref" in said:
        return str(said["$ref"]).rpartition("/")[2]
    if "anyOf" in said:
        return " | ".join(_kind(each) for each in said["anyOf"])
    if "allOf" in said:
        return _kind(said["allOf"][0])
    if said.get("type") == "array":
        return f"list of {_kind(said['items'])}"
    if choices := list(_choices(said)):
        return " | ".join(choices)
    bounds = said.get("format") or said.get("pattern") or ""
    return f"{said.get('type', 'any')} {bounds}".strip()


def _choices(said: Mapping[str, Any]) -> Iterator[str]:
    yield from (str(each) for each in said.get("enum", ()))
    if "const" in said:
        yield str(said["const"])
