"""Connections: who is slow or takes many is let go, and nobody is kept out by them."""

import asyncio
import http.client
import select
import socket
import ssl
import time
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack, contextmanager

import pytest

from jambwright.store import invite, join
from jambwright.web import connections, serve
from jambwright.web.certificates import own_certificates
from jambwright.web.pace import A_SECOND, AT_ONCE, REMEMBERED, Pace
from web_server import Running


@pytest.fixture
def server(store):
    served = Running(store)
    served.token, _ = join(store, invite(store, name="Ada", role="fitter"), device="test")
    yield served
    served.stop()


@contextmanager
def connected(server, address="127.0.0.1", reads=None):
    """A device of its own: every address of 127.0.0.0/8 is this machine (RFC 1122, 3.2.1.3)."""
    with socket.socket() as made:
        made.bind((address, 0))
        if reads:
            made.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, reads)
        made.connect(("127.0.0.1", server.port))
        yield made


def answers(server, address):
    """Whether another device is answered at once."""
    asking = http.client.HTTPConnection("127.0.0.1", server.port, timeout=10, source_address=(address, 0))
    try:
        asking.request("GET", "/join")
        return asking.getresponse().status
    finally:
        asking.close()


def told(made, seconds):
    """All that is told until the server closes, and how long that took."""
    began, found = time.monotonic(), b""
    while select.select([made], [], [], max(0, began + seconds - time.monotonic()))[0]:
        try:
            part = made.recv(65536)
        except ConnectionResetError:
            part = b""
        if not part:
            return found, time.monotonic() - began
        found += part
    raise AssertionError("never let go")


def drip(made, byte=b"a", every_s=0.1, seconds=10):
    """A byte now and then, until the server has had enough."""
    began = time.monotonic()
    while not select.select([made], [], [], every_s)[0]:
        assert time.monotonic() - began < seconds, "never let go"
        made.sendall(byte)
    return time.monotonic() - began


HEAD = b"GET /join HTTP/1.1\r\nHost: 127.0.0.1\r\n"


def posting(server):
    return (
        b"POST /api/calc/lifting HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: application/json\r\n"
        b"Authorization: Bearer " + server.token.encode() + b"\r\n"
    )


def test_a_head_that_comes_a_byte_at_a_time_is_let_go_in_words(server, monkeypatch):
    monkeypatch.setattr(connections, "HEAD_S", 1.0)
    with connected(server) as slow:
        slow.sendall(HEAD + b"X-Note: ")
        assert 0.8 < drip(slow) < 3
        answer, _ = told(slow, 3)
    assert answer.startswith(b"HTTP/1.1 408 ")
    assert b"came too slowly" in answer


def test_a_second_head_on_a_kept_connection_has_no_more_time_than_the_first(server, monkeypatch):
    monkeypatch.setattr(connections, "HEAD_S", 1.0)
    with connected(server) as slow:
        slow.sendall(HEAD + b"\r\n")
        assert slow.recv(65536).startswith(b"HTTP/1.1 401")
        slow.sendall(HEAD + b"X-Note: ")
        while select.select([slow], [], [], 0.05)[0]:
            slow.recv(65536)  # the rest of the first answer
        assert drip(slow) < 3


def test_a_body_that_comes_a_byte_at_a_time_is_let_go_in_words(server, monkeypatch):
    monkeypatch.setattr(connections, "BODY_S", 1.0)
    with connected(server) as slow:
        slow.sendall(posting(server) + b"Content-Length: 5000\r\n\r\n{")
        assert 0.8 < drip(slow) < 4
        answer, _ = told(slow, 3)
    assert answer.startswith(b"HTTP/1.1 408 ")


def test_a_body_that_is_long_but_keeps_coming_has_the_time_it_needs(server, monkeypatch):
    monkeypatch.setattr(connections, "BODY_S", 0.3)
    body = b"[" + b" " * 60_000
    with connected(server) as steady:
        steady.sendall(posting(server) + f"Content-Length: {len(body)}\r\n\r\n".encode())
        for at in range(0, len(body), 4000):
            steady.sendall(body[at : at + 4000])
            time.sleep(0.1)
        answer, _ = told_head(steady)
    assert answer.startswith(b"HTTP/1.1 422 ")


def told_head(made):
    made.settimeout(5)
    return made.recv(65536), None


def test_an_endless_body_whose_answer_is_sent_is_cut_off(server):
    with connected(server) as endless:
        endless.sendall(posting(server) + b"Transfer-Encoding: chunked\r\n\r\n")
        with pytest.raises(OSError):
            pour(endless, b"10000\r\n" + b" " * 65536 + b"\r\n")


def pour(made, part, seconds=15):
    until = time.monotonic() + seconds
    while time.monotonic() < until:
        made.sendall(part)


def test_an_answer_that_nobody_reads_is_given_up(server, monkeypatch):
    monkeypatch.setattr(connections, "UNREAD_S", 0.5)
    monkeypatch.setattr(connections, "KEPT_S", 1)
    with connected(server, reads=2048) as deaf:
        asking = (
            b"GET /api/openapi.json HTTP/1.1\r\nHost: 127.0.0.1\r\nAuthorization: Bearer "
            + server.token.encode()
            + b"\r\n\r\n"
        ) * 100
        deaf.sendall(asking)
        assert deaf.recv(12) == b"HTTP/1.1 200"
        until = time.monotonic() + 10
        while server.server.server_state.connections:
            assert time.monotonic() < until, "never let go"
            time.sleep(0.05)


def test_one_address_cannot_take_all_connections(server):
    with ExitStack() as stack:
        greedy = [stack.enter_context(connected(server, "127.0.0.66")) for _ in range(200)]
        assert answers(server, "127.0.0.2") == 401
        assert greedy[0].recv(10) == b"", "of one address too, the one that idled longest makes room"
        assert len(server.server.server_state.connections) <= connections.OF_ONE_ADDRESS + 1


def all_at_work(stack, server):
    """As many connections as one address may have, each in the middle of a body."""
    for _ in range(connections.OF_ONE_ADDRESS):
        busy = stack.enter_context(connected(server, "127.0.0.66"))
        busy.sendall(posting(server) + b"Content-Length: 5000\r\n\r\n{")
    time.sleep(0.5)


def test_one_address_whose_connections_are_all_at_work_is_told(server):
    with ExitStack() as stack:
        all_at_work(stack, server)
        refused, _ = told(stack.enter_context(connected(server, "127.0.0.66")), 3)
        assert refused.startswith(b"HTTP/1.1 503 ")
        assert b"too many connections" in refused
        assert answers(server, "127.0.0.2") == 401


def test_who_comes_again_and_again_is_kept_waiting_and_never_let_in(server):
    """Turned away at once, one address cost the server some 260 connections a second."""
    with ExitStack() as stack:
        all_at_work(stack, server)
        began = time.monotonic()
        more = [
            stack.enter_context(connected(server, "127.0.0.66")) for _ in range(connections.TURNED_AWAY + 20)
        ]
        for each in more:
            each.sendall(b"GET /static/base.css HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n")
        refused, _ = told(more[0], 3)
        assert refused.startswith(b"HTTP/1.1 503 ")
        assert time.monotonic() - began >= connections.TURNED_AWAY_S * 0.9
        assert told(more[-1], 3)[0] == b"", "past a number, without a word"
        assert answers(server, "127.0.0.2") == 401


def test_idle_connections_of_many_addresses_do_not_keep_a_phone_out(server, monkeypatch):
    monkeypatch.setattr(connections, "OF_ALL", 200)
    with ExitStack() as stack:
        idle = [stack.enter_context(connected(server, f"127.0.1.{n % 250 + 1}")) for n in range(200)]
        assert answers(server, "127.0.0.2") == 401
        assert idle[0].recv(10) == b"", "the one that idled longest makes room"


def test_a_head_without_end_is_refused(server):
    with connected(server) as endless:
        endless.sendall(HEAD + b"X-Note: " + b"a" * 2 * connections.LONGEST_HEAD)
        assert endless.recv(65536).startswith(b"HTTP/1.1 4")


def test_who_asks_for_more_than_their_share_waits_and_nobody_else():
    pace = Pace()
    assert {pace.wait_s("a", 1) for _ in range(int(AT_ONCE))} == {0}
    assert pace.wait_s("a", A_SECOND * 3) == pytest.approx(3, abs=0.3)
    assert pace.wait_s("b", 1) == 0
    for n in range(2 * REMEMBERED):
        pace.wait_s(f"c{n}", 1)
    assert len(pace._left) == REMEMBERED


def test_large_bodies_of_one_address_wait_for_their_turn(server, monkeypatch):
    """Four of 50 kB count for 24 requests: ten are there at once, the rest come at ten a second."""
    monkeypatch.setattr("jambwright.web.pace.AT_ONCE", 10.0)
    body = b"[" + b" " * 50_000 + b"]"
    took, headers = {}, {"Content-Type": "application/json", "Authorization": f"Bearer {server.token}"}
    for address in ("127.0.0.1", "127.0.0.66"):
        asking = http.client.HTTPConnection("127.0.0.1", server.port, timeout=20, source_address=(address, 0))
        began = time.monotonic()
        for _ in range(4):
            asking.request("POST", "/api/calc/lifting", body, headers)
            assert asking.getresponse().read()
        took[address] = time.monotonic() - began
        asking.close()
    assert took["127.0.0.66"] - took["127.0.0.1"] > 1.0


def test_who_says_nothing_in_place_of_a_handshake_is_let_go(tmp_path, monkeypatch):
    monkeypatch.setattr(serve, "HEAD_S", 0.3)
    own = own_certificates(tmp_path, ("127.0.0.1",))
    tls = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    tls.load_cert_chain(own.certificate, own.key)

    async def silent():
        loop = asyncio.get_running_loop()
        async with await loop.create_server(asyncio.Protocol, "127.0.0.1", 0, ssl=tls) as serving:
            reader, writer = await asyncio.open_connection(*serving.sockets[0].getsockname())
            async with asyncio.timeout(20):
                assert await reader.read() == b""
            writer.close()

    def run():
        with asyncio.Runner(loop_factory=serve.Hurried) as runner:
            runner.run(silent())

    with ThreadPoolExecutor(1) as other:  # where a browser is open this thread has a loop already
        other.submit(run).result()
