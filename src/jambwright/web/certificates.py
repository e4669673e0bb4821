"""An authority of the firm's own, made once, and the certificate by which its phones know this machine.

A phone keeps a page for use without signal only from https, and believes https only from an authority it trusts.
The authority can vouch for private addresses and names alone (RFC 5280, 4.2.1.10): whoever stole its key could
not stand between a phone and the rest of the world.
"""

from __future__ import annotations

import ipaddress
import os
import socket
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.serialization import (
    Encoding,
    NoEncryption,
    PrivateFormat,
    load_pem_private_key,
)
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from jambwright.basis.problems import BadInput
from jambwright.store.folder import write_file

AUTHORITY_DAYS = 3650
SERVER_DAYS = 190
"""Telephones refuse a certificate that holds much longer than a year (from memory, high)."""
RENEW_DAYS = 30
"""Made anew this long before it ends."""
EARLIER = timedelta(hours=1)
"""Holds from a little before now: the clock of a phone may be slow."""
PRIVATE = (
    "10.0.0.0/8",
    "172.16.0.0/12",
    "192.168.0.0/16",
    "169.254.0.0/16",
    "127.0.0.0/8",
    "fc00::/7",
    "fe80::/10",
)
"""Addresses that are never reached over the internet: RFC 1918, RFC 3927, RFC 4193, RFC 4291."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Certificates:
    """Where the certificates of this machine lie."""

    authority: Path
    """What a phone is asked to trust; no secret."""
    certificate: Path
    key: Path


def own_certificates(folder: Path, names: Sequence[str]) -> Certificates:
    """Those in the folder, made or renewed where they must be, for the names and addresses this machine has.

    Raises ``BadInput`` where an address is none of a private network, or the folder can't be written.
    """
    _require_private(names)
    found = Certificates(
        authority=folder / "authority.crt", certificate=folder / "server.crt", key=folder / "server.key"
    )
    authority, signing = _authority(found.authority, folder / "authority.key")
    if not _holds(found, names, authority):
        _sign(found, names, authority, signing)
    return found


def fingerprint(authority: Path) -> str:
    """The authority's SHA-256 as a phone shows it, to compare by eye."""
    digest = x509.load_pem_x509_certificate(authority.read_bytes()).fingerprint(hashes.SHA256())
    return digest.hex(":").upper()


def _authority(file: Path, key_file: Path) -> tuple[x509.Certificate, ec.EllipticCurvePrivateKey]:
    """The one there is; a new one where there is none, or its end is near."""
    if file.is_file() and key_file.is_file():
        try:
            made = x509.load_pem_x509_certificate(file.read_bytes())
            key = load_pem_private_key(key_file.read_bytes(), None)
        except ValueError:
            raise BadInput.one(
                "certificates",
                f"{file} or its key is damaged. Move the folder {file.parent} away: a new one is made, "
                "and every phone must trust it anew.",
            ) from None
        assert isinstance(key, ec.EllipticCurvePrivateKey)
        if made.not_valid_after_utc > _now() + timedelta(days=SERVER_DAYS):
            return made, key
    key = ec.generate_private_key(ec.SECP256R1())
    name = _name(f"Jambwright on {socket.gethostname()}")
    nets = [x509.IPAddress(ipaddress.ip_network(net)) for net in PRIVATE]
    dns = [x509.DNSName(each) for each in ("localhost", "local", socket.gethostname())]
    made = (
        _begun(name, name, key, AUTHORITY_DAYS)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(x509.NameConstraints([*dns, *nets], None), critical=True)
        .add_extension(_usage(signs_certificates=True), critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .sign(key, hashes.SHA256())
    )
    _keep_secret(key_file, key)
    write_file(file, made.public_bytes(Encoding.PEM))
    return made, key


def _sign(
    found: Certificates,
    names: Sequence[str],
    authority: x509.Certificate,
    signing: ec.EllipticCurvePrivateKey,
) -> None:
    key = ec.generate_private_key(ec.SECP256R1())
    made = (
        _begun(_name("Jambwright"), authority.subject, key, SERVER_DAYS)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(x509.SubjectAlternativeName([_alternative(each) for each in names]), critical=False)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(_usage(signs_certificates=False), critical=True)
        .add_extension(
            x509.AuthorityKeyIdentifier.from_issuer_public_key(signing.public_key()), critical=False
        )
        .sign(signing, hashes.SHA256())
    )
    _keep_secret(found.key, key)
    write_file(found.certificate, made.public_bytes(Encoding.PEM))


def _holds(found: Certificates, names: Sequence[str], authority: x509.Certificate) -> bool:
    """Whether the certificate there is by this authority, for just these names, and not near its end."""
    if not (found.certificate.is_file() and found.key.is_file()):
        return False
    try:
        made = x509.load_pem_x509_certificate(found.certificate.read_bytes())
        made.verify_directly_issued_by(authority)
        key = load_pem_private_key(found.key.read_bytes(), None)
        told = made.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    except Exception:  # whatever is wrong with it, a new one is made
        return False
    return (
        key.public_key() == made.public_key()
        and list(told) == [_alternative(each) for each in names]
        and made.not_valid_after_utc > _now() + timedelta(days=RENEW_DAYS)
    )


def _begun(
    subject: x509.Name, issuer: x509.Name, key: ec.EllipticCurvePrivateKey, days: int
) -> x509.CertificateBuilder:
    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(issuer)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(_now() - EARLIER)
        .not_valid_after(_now() + timedelta(days=days))
    )


def _usage(*, signs_certificates: bool) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=not signs_certificates, key_cert_sign=signs_certificates, crl_sign=signs_certificates,
        content_commitment=False, key_encipherment=False, data_encipherment=False, key_agreement=False,
        encipher_only=False, decipher_only=False,
    )  # fmt: skip


def _keep_secret(file: Path, key: ec.EllipticCurvePrivateKey) -> None:
    """For its owner alone from the first moment on."""
    write_file(file, key.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption()), mode=0o600)
    if os.name == "posix":
        file.parent.chmod(0o700)


def _alternative(name: str) -> x509.GeneralName:
    try:
        return x509.IPAddress(ipaddress.ip_address(name))
    except ValueError:
        return x509.DNSName(name)


def is_private(address: str) -> bool:
    """Whether an address is one that our own certificate may hold.

    >>> is_private("192.168.7.9"), is_private("203.0.113.5")
    (True, False)
    """
    return any(ipaddress.ip_address(address) in ipaddress.ip_network(net) for net in PRIVATE)


def _require_private(names: Sequence[str]) -> None:
    for name in names:
        if isinstance(each := _alternative(name), x509.IPAddress) and not is_private(str(each.value)):
            raise BadInput.one(
                "certificates",
                f"{name} is no address of a private network, and our own certificate is for such alone. "
                "Give one of your own with --cert and --key, or share with --plain.",
            )


def _name(common: str) -> x509.Name:
    return x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, common[:64])])


def _now() -> datetime:
    return datetime.now(UTC)
