"""A certificate authority of this machine, so that tablets can trust its pages.

Browsers keep pages for offline use only where the connection is trusted. Each project has an
authority of its own, whose key never leaves its file; it can vouch for nothing but private
addresses and local names, so that nobody who gets hold of it can pose as another server of the
world to a tablet that trusts it.
"""

import os
import ssl
import stat
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from ipaddress import ip_network
from pathlib import Path

import trustme
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import NameOID

from teewright.errors import FileFormatError, StoreError

PRIVATE = tuple(
    ip_network(text)
    for text in (
        "10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "169.254.0.0/16", "100.64.0.0/10",
        "127.0.0.0/8", "::1/128", "fc00::/7", "fe80::/10",
    )
)  # fmt: skip
"""Addresses that no server of the world has (RFC 1918, 3927, 6598, 1122, 4193, 4291)."""
LOCAL_NAMES = ("localhost", "local")
"""Names, and ends of names, that no server of the world has (RFC 6761, 6762)."""
AUTHORITY_LASTS = timedelta(days=5 * 365)
SERVER_LASTS = timedelta(days=397)
"""Some systems trust no server for longer than 398 days."""
SLACK = timedelta(days=2)
"""A tablet's clock may be behind."""


@dataclass(frozen=True, slots=True)
class Authority:
    """Certificate and key.

    Attributes:
        certificate: PEM.
        key: PEM, secret.
    """

    certificate: bytes
    key: bytes

    @property
    def der(self) -> bytes:
        """The certificate as tablets read it."""
        return self._read().public_bytes(serialization.Encoding.DER)

    @property
    def fingerprint(self) -> str:
        """SHA-256 of the certificate, hex, in pairs."""
        return self._read().fingerprint(hashes.SHA256()).hex(" ").upper()

    def context(self, hosts: Sequence[str], now: datetime) -> ssl.SSLContext:
        """What a server of those names and addresses speaks TLS with; its key is new each time.

        Args:
            hosts: Names and addresses.
            now: The time, with zone.
        """
        issuer = trustme.CA.from_pem(self.certificate, self.key)
        issued = issuer.issue_cert(*hosts, not_before=now - SLACK, not_after=now + SERVER_LASTS)
        context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
        context.minimum_version = ssl.TLSVersion.TLSv1_2
        issued.configure_cert(context)
        return context

    def is_over(self, now: datetime) -> bool:
        """Whether it vouches for nothing any more."""
        return self._read().not_valid_after_utc - SERVER_LASTS < now

    def _read(self) -> x509.Certificate:
        return x509.load_pem_x509_certificate(self.certificate)


def authority_path(project: Path) -> Path:
    """Where the authority of a project lies: beside it."""
    return project.with_name(f"{project.name}.authority.pem")


def authority(path: Path, *, now: datetime | None = None) -> Authority:
    """The authority that lies there; it is made where there is none or it is over.

    Args:
        path: Of its file, which only its owner may read.
        now: The time, with zone; by this machine's clock if None.

    Raises:
        FileFormatError: The file holds none.
        StoreError: It cannot be read or written.
    """
    moment = datetime.now(UTC) if now is None else now
    try:
        if path.exists():
            known = _loaded(path)
            if not known.is_over(moment):
                return known
        made = _made(path.name.removesuffix(".authority.pem"), moment)
        _write(path, made.key + made.certificate)
    except OSError as error:
        raise StoreError(f"{path.name} cannot be read or written: {error.strerror}.") from error
    return made


def is_readable_by_others(path: Path) -> bool:
    """Whether others than its owner may read the file, where the system tells."""
    return os.name == "posix" and bool(path.stat().st_mode & (stat.S_IRWXG | stat.S_IRWXO))


def _loaded(path: Path) -> Authority:
    data = path.read_bytes()
    begin = data.find(b"-----BEGIN CERTIFICATE-----")
    found = Authority(certificate=data[max(begin, 0) :], key=data[: max(begin, 0)])
    try:
        serialization.load_pem_private_key(found.key, None)
        x509.load_pem_x509_certificate(found.certificate)
    except ValueError as error:
        raise FileFormatError(
            "does not hold a certificate authority",
            file=path.name,
            allowed="the file that was made before; remove it and a new one is made",
        ) from error
    return found


def _write(path: Path, data: bytes) -> None:
    """Never readable by others, and never half written."""
    part = path.with_name(f".{path.name}.part")
    part.unlink(missing_ok=True)
    handle = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(handle, "wb") as file:
        file.write(data)
    part.replace(path)


def _made(name: str, now: datetime) -> Authority:
    key = ec.generate_private_key(ec.SECP256R1())
    subject = x509.Name(
        [
            x509.NameAttribute(NameOID.ORGANIZATION_NAME, "Teewright"),
            x509.NameAttribute(NameOID.COMMON_NAME, f"Teewright, {name}"[:64]),
        ]
    )
    public = key.public_key()
    made = (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(subject)
        .public_key(public)
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - SLACK)
        .not_valid_after(now + AUTHORITY_LASTS)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(_usage(), critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(public), critical=False)
        .add_extension(_constraints(), critical=True)
        .sign(key, hashes.SHA256())
    )
    secret = key.private_bytes(
        serialization.Encoding.PEM,
        serialization.PrivateFormat.PKCS8,
        serialization.NoEncryption(),
    )
    return Authority(made.public_bytes(serialization.Encoding.PEM), secret)


def _usage() -> x509.KeyUsage:
    """To sign certificates and nothing else."""
    return x509.KeyUsage(
        digital_signature=False,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        key_cert_sign=True,
        crl_sign=True,
        encipher_only=False,
        decipher_only=False,
    )


def _constraints() -> x509.NameConstraints:
    allowed: list[x509.GeneralName] = [x509.DNSName(name) for name in LOCAL_NAMES]
    allowed += [x509.IPAddress(network) for network in PRIVATE]
    return x509.NameConstraints(permitted_subtrees=allowed, excluded_subtrees=None)
