"""The machine-readable record inside the PDF."""

from pyhanko.pdf_utils.reader import PdfFileReader

NAME = "record.json"


def attached_record(reader: PdfFileReader) -> bytes:
    """The bytes of record.json. Raises KeyError when the file holds no attachment or another or several."""
    entries = reader.root["/Names"]["/EmbeddedFiles"]["/Names"]
    files = {str(entries[index]): entries[index + 1] for index in range(0, len(entries), 2)}
    if len(entries) != 2:
        raise KeyError(f"{len(files)} attachments")
    (specification,) = files.values()
    if str(specification["/UF"]) != NAME:
        raise KeyError(str(specification["/UF"]))
    return bytes(specification["/EF"]["/F"].data)
