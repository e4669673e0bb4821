"""The served program as a process: demo, sharing, backup while it runs."""

import asyncio
import re
import signal
import socket
import ssl
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor

import httpx2
import pytest
from typer.testing import CliRunner

from jambwright.cli import app
from jambwright.cli_houses import _told
from jambwright.store import add_house, house_lines, new_tree, open_store, read_house
from jambwright.web.serve import Addresses, _listen
from web_server import Served


def run(*words):
    return CliRunner().invoke(app, list(words))


def test_the_demo_house_is_served_and_kept_nowhere(tmp_path):
    served = Served(tmp_path / "unused.db", more=["--demo"])
    try:
        with httpx2.Client(base_url=served.address, follow_redirects=True) as client:
            client.post(served.invitation.removeprefix(served.address), data={"name": "Ada"})
            assert [line["label"] for line in client.get("/api/houses").json()] == [
                "7 Bramblecroft End (invented)"
            ]
    finally:
        served.kill()
    assert not (tmp_path / "unused.db").exists()


def test_only_sharing_opens_a_door_to_other_machines(tmp_path):
    words = [
        sys.executable,
        "-m",
        "jambwright",
        "serve",
        "--data",
        str(tmp_path / "h.db"),
        "--port",
        "0",
        "--no-browser",
    ]
    for share in (False, True):
        process = subprocess.Popen(
            [*words, *(["--share"] if share else [])], stdout=subprocess.PIPE, text=True
        )
        try:
            here = process.stdout.readline()
            assert "http://127.0.0.1:" in here
            if share:
                there = process.stdout.readline()
                assert re.search(r"http://[\d.]+:\d+/join/[\w-]{20,}", there)
                assert "█" in process.stdout.readline()
        finally:
            process.kill()
            rest = process.stdout.read()
            process.stdout.close()
            process.wait()
        assert share or "join" not in rest


def test_on_no_network_no_code_is_drawn_that_no_phone_can_open(capsys):
    here = "http://127.0.0.1:1/join/a"
    _told(Addresses(here=here, there="http://127.0.0.1:1/join/b"), browser=False)
    told = capsys.readouterr().out
    assert "no phone can open it" in told
    assert "█" not in told
    assert "join/b" not in told
    _told(Addresses(here=here, there="http://192.0.2.7:1/join/b"), browser=False)
    told = capsys.readouterr().out
    assert "█" in told
    assert "can't open the app without signal" in told


def test_a_phone_that_trusts_the_computer_reaches_it_over_https_and_this_machine_goes_on_over_http(tmp_path):
    """Shared on a private address: here another one of the loopback, for want of a network."""
    start = (
        "from jambwright.web import serve; serve.network_address = lambda: '127.0.0.2'; "
        "from jambwright.cli import app; app()"
    )
    words = ["serve", "--share", "--data", str(tmp_path / "h.db"), "--port", "0", "--no-browser"]
    process = subprocess.Popen([sys.executable, "-c", start, *words], stdout=subprocess.PIPE, text=True)
    try:
        told = "".join(iter(process.stdout.readline, "\n"))
        told += "".join(iter(process.stdout.readline, "\n"))
        here = re.search(r"http://127\.0\.0\.1:\d+/join/[\w-]{20,}", told).group()
        trust = re.search(r"http://127\.0\.0\.2:\d+/", told).group()
        there = re.search(r"https://127\.0\.0\.2:\d+/join/[\w-]{20,}", told).group()
        for_a_phone = ssl.create_default_context(cadata=httpx2.get(f"{trust}authority.crt").text)
        assert there.rsplit("/", 2)[0] in httpx2.get(trust).text
        assert re.search(r"fingerprint: (\S+)", told).group(1) in httpx2.get(trust).text
        assert httpx2.get(f"{trust}api/houses").status_code == 404
        with httpx2.Client(verify=for_a_phone, follow_redirects=True) as phone:
            assert phone.post(there, data={"name": "Fay"}).status_code == 200
            assert phone.get(there.split("/join")[0] + "/api/houses").json() == []
        with pytest.raises(httpx2.ConnectError):
            httpx2.get(there)
        assert httpx2.get(here).status_code == 200
        process.send_signal(signal.SIGINT)
        process.wait(20)
    finally:
        process.kill()
        process.stdout.close()
        process.wait()
    assert {file.name for file in (tmp_path / "certificates").iterdir()} == {
        "authority.crt", "authority.key", "server.crt", "server.key",
    }  # fmt: skip


def test_houses_are_backed_up_while_they_are_served(tmp_path):
    data, copy = tmp_path / "houses.db", tmp_path / "copy.db"
    served = Served(data)
    try:
        store = open_store(data)
        house = add_house(store, new_tree("9 Example Row (invented)"))
        store.close()
        assert run("backup", str(copy), "--data", str(data)).exit_code == 0
    finally:
        served.kill()
    kept = open_store(copy)
    assert read_house(kept, house).label == "9 Example Row (invented)"
    kept.close()


def test_copies_made_while_serving_are_put_back_after_the_server_died(tmp_path):
    data, folder = tmp_path / "houses.db", tmp_path / "copies"
    folder.mkdir()
    served = Served(data, more=["--backup-to", str(folder), "--keep", "2", "--every", "0.001"])
    try:
        with httpx2.Client(base_url=served.address, follow_redirects=True) as client:
            client.post(served.invitation.removeprefix(served.address), data={"name": "Ada"})
            client.headers["X-Jambwright-Token"] = client.get("/api/me").json()["token"]
            client.post("/api/houses", json={"label": "9 Example Row (invented)"}).raise_for_status()
        until = time.monotonic() + 60
        while (
            not (made := sorted(folder.glob("houses-*.db")))
            or run("verify", str(made[-1])).stdout.find(" 1 houses") < 0
        ):
            assert time.monotonic() < until
            time.sleep(0.2)
        refused = run("restore", str(made[-1]), "--data", str(data))
        assert (refused.exit_code, "is in use" in refused.stderr) == (2, True)
    finally:
        served.kill()
    [*_, newest] = sorted(folder.glob("houses-*.db"))
    done = run("restore", str(newest), "--data", str(data))
    assert done.exit_code == 0, done.stderr
    assert "What was there before is in" in done.stdout
    kept = open_store(data)
    assert [line.label for line in house_lines(kept)] == ["9 Example Row (invented)"]
    kept.close()


@pytest.mark.parametrize(
    ("words", "says"),
    [
        pytest.param(
            ["backup", "{tmp}/copy.db", "--data", "{tmp}/nothing.db"], "no database", id="nothing to copy"
        ),
        pytest.param(["serve", "--data", "{tmp}/letter.txt", "--no-browser"], "damaged", id="no database"),
        pytest.param(["verify", "{tmp}/letter.txt"], "damaged", id="no database to look through"),
        pytest.param(["verify", "{tmp}"], "no folder of papers", id="a folder of other things"),
        pytest.param(["restore", "{tmp}/none.db", "--data", "{tmp}/h.db"], "no database at", id="no copy"),
        pytest.param(
            ["serve", "--share", "--cert", "{tmp}/none.pem", "--data", "{tmp}/h.db", "--no-browser"],
            "There is no file",
            id="no certificate",
        ),
        pytest.param(
            ["serve", "--share", "--cert", "{tmp}/letter.txt", "--data", "{tmp}/h.db", "--no-browser"],
            "can't be used",
            id="no certificate in the file",
        ),
        pytest.param(
            ["serve", "--share", "--key", "{tmp}/letter.txt", "--data", "{tmp}/h.db", "--no-browser"],
            "a key without its certificate",
            id="a key alone",
        ),
        pytest.param(
            ["serve", "--cert", "{tmp}/letter.txt", "--no-browser"], "give --share", id="not shared"
        ),
        pytest.param(
            ["serve", "--backup-to", "{tmp}/none", "--data", "{tmp}/h.db", "--no-browser"],
            "There is no folder",
            id="nowhere to copy to",
        ),
        pytest.param(["serve", "--demo", "--backup-to", "{tmp}"], "kept nowhere", id="a demo copied"),
    ],
)
def test_what_cannot_be_is_told_and_leaves_with_two(tmp_path, words, says):
    (tmp_path / "letter.txt").write_text("Dear sir, " * 2000)
    result = run(*(word.format(tmp=tmp_path) for word in words))
    assert result.exit_code == 2
    assert says in result.stderr
    assert result.stdout == "", "no address is told before"


def test_answers_are_sent_at_once_and_never_held_back_for_an_acknowledgement():
    """With small packets held back (RFC 896) each answer on a kept connection waited for a delayed acknowledgement."""

    async def held_back():
        told = asyncio.get_running_loop().create_future()

        def accepted(_, writer):
            connection = writer.get_extra_info("socket")
            told.set_result(connection.getsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY) == 0)
            writer.close()

        with _listen(0, "127.0.0.1") as listening:
            async with await asyncio.start_server(accepted, sock=listening):
                _, writer = await asyncio.open_connection(*listening.getsockname())
                writer.close()
                return await told

    with ThreadPoolExecutor() as apart:  # the browser of other tests has a loop of its own in this thread
        assert apart.submit(lambda: asyncio.run(held_back())).result() is False


def test_a_port_that_is_taken_is_named(tmp_path):
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = str(taken.getsockname()[1])
        result = run("serve", "--data", str(tmp_path / "h.db"), "--no-browser", "--port", port)
    assert result.exit_code == 2
    assert f"Port {port} can't be used" in result.stderr
