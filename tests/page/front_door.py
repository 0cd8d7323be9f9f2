#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""What `bakewright serve` prints, and how it is opened and ended at a terminal.

usage: front_door.py PROGRAM PROJECT
"""

import hashlib
import http.client
import json
import os
import pty
import re
import select
import signal
import ssl
import subprocess
import sys
import tempfile
import time

from served import Served

HANG_S = 60


def check(holds, what):
    if not holds:
        raise AssertionError(what)


def spend(address, context=None):
    """Sends the code of an address as the opening page does. Status and cookie."""
    scheme, host, code = re.match(r"(https?)://([^/]+)/open#(\w+)", address).groups()
    kind = http.client.HTTPConnection if scheme == "http" else http.client.HTTPSConnection
    connection = kind(host, timeout=HANG_S, **({"context": context} if scheme == "https" else {}))
    connection.request("POST", "/open", json.dumps({"code": code}), {"Content-Type": "application/json"})
    answer = connection.getresponse()
    answer.read()
    return answer.status, answer.getheader("Set-Cookie", "")


class Terminal:
    """The program with a terminal of its own."""

    def __init__(self, served, *options):
        self.master, slave = pty.openpty()
        self.text = ""

        def own_terminal():
            os.setsid()
            import fcntl
            import termios

            fcntl.ioctl(0, termios.TIOCSCTTY, 0)

        self.process = subprocess.Popen([served.program, "serve", *options], stdin=slave, stdout=slave, stderr=slave,
                                        env=served.environment, cwd=served.folder, preexec_fn=own_terminal)
        os.close(slave)

    def wait_for(self, pattern):
        """The last of what is found, of all that was printed since the last call."""
        end = time.monotonic() + HANG_S
        while not re.search(pattern, self.text):
            check(time.monotonic() < end, f"{pattern} does not come: {self.text}")
            if select.select([self.master], [], [], 0.2)[0]:
                self.text += os.read(self.master, 4096).decode()
        found = re.search(pattern, self.text).group(0)
        self.text = self.text.split(found, 1)[1]
        return found

    def type(self, text):
        os.write(self.master, text.encode())

    def end(self):
        status = self.process.wait(HANG_S)
        os.close(self.master)
        return status


ADDRESS = r"https?://\S+/open#[0-9a-f]{32}"


def at_terminal(served):
    """Enter makes another address, each works once; Ctrl-C ends it."""
    terminal = Terminal(served)
    first = terminal.wait_for(ADDRESS)
    terminal.type("\n")
    second = terminal.wait_for(ADDRESS)
    check(first != second, "Enter printed the same address")
    check(spend(first)[0] == 403, "an address that was replaced still opens")
    status, cookie = spend(second)
    check(status == 200 and "Secure" not in cookie, f"the address is answered with {status}, {cookie}")
    check(spend(second)[0] == 403, "an address opens twice")
    terminal.type("\x03")
    check(terminal.end() == 0, "Ctrl-C is an end with another status than 0")


def in_background(served):
    """Without a terminal nothing is read, and each signal ends it."""
    for number in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP):
        process = subprocess.Popen([served.program, "serve"], stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, env=served.environment, cwd=served.folder)
        while b"/open#" not in process.stdout.readline():
            pass
        process.send_signal(number)
        check(process.wait(HANG_S) == 0, f"signal {number} is an end with another status than 0")


def encrypted(served):
    """TLS with a certificate made for the run, whose fingerprint is the one that was printed."""
    terminal = Terminal(served, "--host", "0.0.0.0", "--tls")
    fingerprint = terminal.wait_for(r"(?:[0-9A-F]{2}:){31}[0-9A-F]{2}")
    address = terminal.wait_for(ADDRESS)
    host, port = re.match(r"https://([^/:]+):(\d+)/", address).groups()
    context = ssl.create_default_context()
    context.check_hostname, context.verify_mode = False, ssl.CERT_NONE
    shown = ssl.get_server_certificate((host, int(port)))
    digits = hashlib.sha256(ssl.PEM_cert_to_DER_cert(shown)).hexdigest().upper()
    check(":".join(re.findall("..", digits)) == fingerprint, "the fingerprint is another certificate's")
    vouched = ssl.create_default_context(cadata=shown)  # whoever trusts it, trusts it under the names that are in it
    status, cookie = spend(address, vouched)
    check(status == 200 and "; Secure" in cookie, f"the address is answered with {status}, {cookie}")
    check(spend(address, context)[0] == 403, "an address opens twice")
    terminal.type("\x03")
    check(terminal.end() == 0, "Ctrl-C is an end with another status than 0")


def refused(served):
    """Another address than loopback is refused without TLS, and so is a certificate that is none."""
    for options, word in ((["--host", "0.0.0.0"], "--tls"), (["--host", "::"], "--tls"), (["--certificate", "none.pem"], "--key"),
                          (["--certificate", "none.pem", "--key", "none.pem"], "none.pem")):
        done = subprocess.run([served.program, "serve", *options], env=served.environment, cwd=served.folder, capture_output=True, text=True, timeout=HANG_S)
        check(done.returncode == 2 and word in done.stderr, f"{options} ends with {done.returncode}: {done.stderr}")


def main(program, project):
    good = True
    with tempfile.TemporaryDirectory() as folder:
        served = Served(program, project, folder)
        for step in (at_terminal, in_background, encrypted, refused):
            try:
                step(served)
                print(f"good    {step.__doc__}")
            except (AssertionError, OSError) as problem:
                good = False
                print(f"FAILED  {step.__doc__}\n        {problem}")
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
