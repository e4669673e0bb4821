"""What browser tests and benchmarks share: where Chromium is, and the served program as a process of its own."""

import re
import shutil
import subprocess
import sys

CHROMIUM = shutil.which("chromium") or "/usr/bin/chromium"
CHROMIUM_WORDS = [
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
]  # fmt: skip


class Served:
    """`jambwright serve` on a database, killed without warning when asked to be."""

    def __init__(self, data, port=0):
        self.data = data
        words = ["serve", "--data", str(data), "--port", str(port), "--no-browser"]
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
