"""Our own certificates, judged by another implementation: OpenSSL as Python's ssl module calls it."""

import socket
import ssl
import stat
import threading
from datetime import timedelta

import pytest
from cryptography import x509

from jambwright.basis.problems import BadInput
from jambwright.web import certificates
from jambwright.web.certificates import own_certificates

NAMES = ("127.0.0.1", "localhost")


def handshake(found, name, address="127.0.0.1"):
    """Whether a client that trusts the authority alone accepts the server under a name."""
    serving = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    serving.load_cert_chain(found.certificate, found.key)
    client = ssl.create_default_context(cafile=found.authority)
    with socket.create_server((address, 0)) as listening:

        def answer():
            with socket.socket() as _, listening.accept()[0] as taken:
                try:
                    serving.wrap_socket(taken, server_side=True).close()
                except (ssl.SSLError, OSError):
                    return

        thread = threading.Thread(target=answer)
        thread.start()
        try:
            with socket.create_connection(listening.getsockname(), timeout=5) as plain:
                client.wrap_socket(plain, server_hostname=name).close()
        finally:
            thread.join()


@pytest.mark.parametrize("name", NAMES)
def test_who_trusts_the_authority_believes_the_server_under_each_of_its_names(tmp_path, name):
    handshake(own_certificates(tmp_path, NAMES), name)


def test_under_another_name_it_is_not_believed(tmp_path):
    with pytest.raises(ssl.SSLCertVerificationError):
        handshake(own_certificates(tmp_path, ("127.0.0.1",)), "localhost")


def test_the_authority_can_vouch_for_no_name_of_the_internet(tmp_path):
    """Whoever stole its key could make such a certificate; a client refuses it."""
    with pytest.raises(ssl.SSLCertVerificationError, match="permitted subtree"):
        handshake(own_certificates(tmp_path, ("bank.example",)), "bank.example")


def test_it_is_made_once_and_phones_go_on_trusting_it_when_the_address_changes(tmp_path):
    first = own_certificates(tmp_path, NAMES)
    kept = {file: file.read_bytes() for file in tmp_path.iterdir()}
    assert own_certificates(tmp_path, NAMES) == first
    assert {file: file.read_bytes() for file in tmp_path.iterdir()} == kept
    own_certificates(tmp_path, ("192.168.7.9", "127.0.0.1"))
    assert first.authority.read_bytes() == kept[first.authority]
    assert first.certificate.read_bytes() != kept[first.certificate]
    handshake(first, "127.0.0.1")


@pytest.mark.parametrize(("days", "anew"), [(100, False), (170, True)])
def test_it_is_made_anew_a_month_before_its_end(tmp_path, monkeypatch, days, anew):
    found = own_certificates(tmp_path, NAMES)
    before = found.certificate.read_bytes()
    now = certificates._now
    monkeypatch.setattr(certificates, "_now", lambda: now() + timedelta(days=days))
    own_certificates(tmp_path, NAMES)
    assert (found.certificate.read_bytes() != before) == anew


def test_no_stranger_reads_the_keys(tmp_path):
    own_certificates(tmp_path / "certificates", NAMES)
    for key in (tmp_path / "certificates").glob("*.key"):
        assert stat.S_IMODE(key.stat().st_mode) == 0o600
    assert stat.S_IMODE((tmp_path / "certificates").stat().st_mode) == 0o700


def test_the_fingerprint_is_that_of_openssl(tmp_path):
    import hashlib

    found = own_certificates(tmp_path, NAMES)
    body = ssl.PEM_cert_to_DER_cert(found.authority.read_text())
    assert (
        certificates.fingerprint(found.authority).replace(":", "") == hashlib.sha256(body).hexdigest().upper()
    )


def test_a_public_address_is_refused_with_what_to_do(tmp_path):
    with pytest.raises(BadInput, match=r"203\.0\.113\.5 is no address of a private network.*--cert"):
        own_certificates(tmp_path, ("203.0.113.5",))
    assert not [*tmp_path.iterdir()]


def test_a_damaged_authority_is_named_and_not_replaced_unasked(tmp_path):
    found = own_certificates(tmp_path, NAMES)
    found.authority.write_text("Dear sir")
    with pytest.raises(BadInput, match=r"is damaged\. Move the folder"):
        own_certificates(tmp_path, NAMES)
    assert found.authority.read_text() == "Dear sir"


def test_a_damaged_certificate_is_made_anew(tmp_path):
    found = own_certificates(tmp_path, NAMES)
    found.certificate.write_text("Dear sir")
    own_certificates(tmp_path, NAMES)
    x509.load_pem_x509_certificate(found.certificate.read_bytes())
    handshake(found, "127.0.0.1")
