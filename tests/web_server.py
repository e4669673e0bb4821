"""What browser tests and benchmarks share: where Chromium is, and the served program as a process of its own."""

import re
import shutil
import subprocess
import sys
import threading
import time

import uvicorn

from jambwright.store import invite
from jambwright.web import create_app
from jambwright.web.serve import configured

CHROMIUM = shutil.which("chromium") or "/usr/bin/chromium"
CHROMIUM_WORDS = [
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
]  # fmt: skip


class Served:
    """`jambwright serve` on a database, killed without warning when asked to be."""

    def __init__(self, data, port=0, more=()):
        words = ["serve", "--data", str(data), "--port", str(port), "--no-browser", *more]
        self.process = subprocess.Popen(
            [sys.executable, "-m", "jambwright", *words], stdout=subprocess.PIPE, text=True
        )
        told = self.process.stdout.readline()
        self.invitation = re.search(r"http\S+", told).group()
        self.address = self.invitation.split("/join/")[0]
        self.port = int(self.address.rsplit(":", 1)[1])

    def kill(self):
        """As the power going: no goodbye."""
        self.process.kill()
        self.process.wait()
        self.process.stdout.close()


class Running:
    """The app of a store on a port of the loopback."""

    def __init__(self, store, port=0):
        self.store = store
        self.server = uvicorn.Server(configured(create_app(store), port=port))
        self.thread = threading.Thread(target=self.server.run, daemon=True)
        self.thread.start()
        while not self.server.started:
            time.sleep(0.02)
        self.port = self.server.servers[0].sockets[0].getsockname()[1]
        self.address = f"http://127.0.0.1:{self.port}"

    def invitation(self, role="fitter", name="Ada"):
        return f"{self.address}/join/{invite(self.store, name=name, role=role)}"

    def stop(self):
        self.server.should_exit = True
        self.thread.join()
