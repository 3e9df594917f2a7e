"""Servers of another program on this machine, by http or by https under a certificate of their own."""

import ssl
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from http.server import BaseHTTPRequestHandler, HTTPServer
from pathlib import Path
from threading import Thread
from typing import Any

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import NameOID


@dataclass
class Heard:
    """What came: bodies with their headers. `code` and `headers` are what is answered."""

    code: int = 204
    headers: dict[str, str] = field(default_factory=dict)
    came: list[tuple[dict[str, str], bytes]] = field(default_factory=list)
    port: int = 0


@contextmanager
def listening(certificate: Path | None = None) -> Iterator[Heard]:
    heard = Heard()

    class Handler(BaseHTTPRequestHandler):
        def do_POST(self) -> None:
            body = self.rfile.read(int(self.headers["Content-Length"]))
            heard.came.append((dict(self.headers), body))
            self.send_response(heard.code)
            for name, value in heard.headers.items():
                self.send_header(name, value)
            self.end_headers()

        def log_message(self, *_args: Any) -> None:
            """Quiet."""

    server = HTTPServer(("127.0.0.1", 0), Handler)
    if certificate:
        context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
        context.load_cert_chain(certificate)
        server.socket = context.wrap_socket(server.socket, server_side=True)
    heard.port = server.server_port
    thread = Thread(target=server.serve_forever, kwargs={"poll_interval": 0.01}, daemon=True)
    thread.start()
    try:
        yield heard
    finally:
        server.shutdown()
        thread.join()
        server.server_close()


def certificate_for(host: str, folder: Path) -> Path:
    """Key and certificate in one file; it is its own authority."""
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, host)])
    now = datetime.now(UTC)
    made = (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - timedelta(days=1))
        .not_valid_after(now + timedelta(days=1))
        .add_extension(x509.SubjectAlternativeName([x509.DNSName(host)]), critical=False)
        .add_extension(x509.BasicConstraints(ca=True, path_length=None), critical=True)
        .sign(key, hashes.SHA256())
    )
    pem = serialization.Encoding.PEM
    private = key.private_bytes(pem, serialization.PrivateFormat.PKCS8, serialization.NoEncryption())
    path = folder / f"{host}.pem"
    path.write_bytes(private + made.public_bytes(pem))
    return path
