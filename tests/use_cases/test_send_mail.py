"""Letters go to a mail server over a line that is as secret as the settings say."""

import socket
import ssl
import threading
from datetime import UTC, datetime, timedelta
from email.message import EmailMessage
from ipaddress import ip_address

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec

from tests.support.letterbox import letterbox_at
from trainer.use_cases import send_mail
from trainer.use_cases.send_mail import send


@pytest.fixture(scope="module")
def certificate(tmp_path_factory):
    """A certificate that its server signed itself, with its key."""
    key, name = ec.generate_private_key(ec.SECP256R1()), x509.Name([])
    now = datetime.now(UTC)  # noqa: TID251  TLS reads the machine's clock
    here = x509.SubjectAlternativeName([x509.IPAddress(ip_address("127.0.0.1"))])
    made = (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - timedelta(days=1))
        .not_valid_after(now + timedelta(days=1))
        .add_extension(here, critical=True)
        .sign(key, hashes.SHA256())
    )
    path = tmp_path_factory.mktemp("certificate") / "both.pem"
    plain = serialization.NoEncryption(), serialization.PrivateFormat.PKCS8
    text = key.private_bytes(serialization.Encoding.PEM, plain[1], plain[0])
    path.write_bytes(text + made.public_bytes(serialization.Encoding.PEM))
    return path


@pytest.fixture(params=["smtps", "smtp+starttls"])
def secret_box(request, certificate):
    context = ssl.create_default_context(ssl.Purpose.CLIENT_AUTH)
    context.load_cert_chain(certificate)
    how = "ssl_context" if request.param == "smtps" else "tls_context"
    with letterbox_at(request.param, **{how: context}) as box:
        yield box


def letter():
    written = EmailMessage()
    written["From"], written["To"], written["Subject"] = "a@example.org", "b@example.org", "Hello"
    return written


def test_a_server_that_cannot_be_trusted_is_given_nothing(secret_box):
    with pytest.raises(ssl.SSLCertVerificationError):
        send(secret_box.url, [letter()])
    assert secret_box.letters == []


def test_a_server_that_can_be_trusted_is_given_the_letter(secret_box, certificate, monkeypatch):
    monkeypatch.setenv("SSL_CERT_FILE", str(certificate))
    send(secret_box.url, [letter()])
    assert [one["Subject"] for one in secret_box.letters] == ["Hello"]


def test_a_name_that_is_looked_up_for_ever_is_given_up(letterbox, monkeypatch):
    """The system's look-up has no limit of time; what waits for it is left behind."""
    begun, given_up = threading.Semaphore(0), threading.Event()

    def for_ever(*_given, **_more):
        begun.release()
        given_up.wait()
        raise OSError("the look-up has ended")

    with monkeypatch.context() as slow:
        slow.setattr(socket, "getaddrinfo", for_ever)
        slow.setattr(send_mail, "TO_CONNECT_S", 0.05)
        with pytest.raises(TimeoutError):
            send("smtp://mail.example.org", [letter()])
        assert begun.acquire(timeout=60)
        slow.setattr(send_mail, "AT_ONCE", threading.BoundedSemaphore(1))
        with pytest.raises(TimeoutError):
            send("smtp://mail.example.org", [letter()])
        assert begun.acquire(timeout=60)
        with pytest.raises(OSError, match="too many letters"):
            send("smtp://mail.example.org", [letter()])
        given_up.set()
    send(letterbox.url, [letter()])
    assert len(letterbox.letters) == 1
