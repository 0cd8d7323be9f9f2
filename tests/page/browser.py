# SPDX-License-Identifier: Apache-2.0
"""A browser driven over the WebDriver protocol (W3C WebDriver), with Python's standard library alone."""

import base64
import json
import os
import shutil
import subprocess
import time
import urllib.error
import urllib.request

ELEMENT = "element-6066-11e4-a52e-4f735466cecf"  # the key of an element, W3C WebDriver, section 11


# A wait ends with its answer. This bounds what never comes, on a machine that has other work.
NEVER_S = 300.0


class BrowserError(Exception):
    pass


class Element:
    def __init__(self, browser, identity):
        self.browser = browser
        self.identity = identity

    def _ask(self, method, path, body=None):
        return self.browser.ask(method, f"/element/{self.identity}{path}", body)

    def click(self):
        self._ask("POST", "/click", {})

    def type(self, text):
        self._ask("POST", "/value", {"text": text})

    def clear(self):
        self._ask("POST", "/clear", {})

    @property
    def text(self):
        return self._ask("GET", "/text")

    def role(self):
        return self._ask("GET", "/computedrole")

    def label(self):
        return self._ask("GET", "/computedlabel")


class Browser:
    """Headless Chromium with a window of its own profile. To be used in a with statement."""

    def __init__(self, folder, width=1440, height=1000, dark=False):
        self.folder = folder
        self.width, self.height, self.dark = width, height, dark
        self.driver = None
        self.session = None

    @staticmethod
    def missing():
        """What is not installed, or nothing."""
        return [program for program in ("chromium", "chromedriver") if shutil.which(program) is None]

    def __enter__(self):
        log = open(os.path.join(self.folder, "chromedriver.log"), "wb")
        self.driver = subprocess.Popen(
            ["chromedriver", "--port=0"], stdout=subprocess.PIPE, stderr=log, cwd=self.folder, env={**os.environ, "LC_ALL": "C.UTF-8"}
        )
        self.address = f"http://127.0.0.1:{self._port()}"
        arguments = [
            "--headless=new", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--no-first-run", "--no-proxy-server",
            "--disable-component-update", "--disable-background-networking", "--disable-default-apps", "--force-device-scale-factor=1",
            "--hide-scrollbars", f"--window-size={self.width},{self.height}", f"--user-data-dir={self.folder}/profile",
            "--lang=en-GB", "--enable-precise-memory-info",
        ]
        if self.dark:
            arguments.append("--force-dark-mode")
        capabilities = {
            "browserName": "chrome",
            "goog:chromeOptions": {"binary": shutil.which("chromium"), "args": arguments, "perfLoggingPrefs": {"enableNetwork": True}},
            "goog:loggingPrefs": {"performance": "ALL", "browser": "ALL"},
        }
        made = self._send("POST", "/session", {"capabilities": {"alwaysMatch": capabilities}})
        self.session = made["sessionId"]
        return self

    def __exit__(self, *_):
        try:
            if self.session:
                self._send("DELETE", f"/session/{self.session}")
        finally:
            self.driver.terminate()
            self.driver.wait(10)

    def _port(self):
        end = time.time() + 20
        while time.time() < end:
            line = self.driver.stdout.readline().decode()
            if "successfully on port" in line:
                return int(line.rsplit("on port", 1)[1].strip(" .\n"))
        raise BrowserError("chromedriver did not say its port")

    def _send(self, method, path, body=None):
        data = None if body is None else json.dumps(body).encode()
        request = urllib.request.Request(self.address + path, data, {"Content-Type": "application/json"}, method=method)
        opener = urllib.request.build_opener(urllib.request.ProxyHandler({}))
        try:
            with opener.open(request, timeout=60) as answer:
                return json.load(answer)["value"]
        except urllib.error.HTTPError as error:
            value = json.load(error)["value"]
            raise BrowserError(f"{value['error']}: {value['message'].splitlines()[0]}") from None

    def ask(self, method, path, body=None):
        return self._send(method, f"/session/{self.session}{path}", body)

    def open(self, address):
        self.ask("POST", "/url", {"url": address})

    @property
    def location(self):
        return self.ask("GET", "/url")

    def run(self, script, *arguments):
        """Runs a function's body in the page."""
        return self.ask("POST", "/execute/sync", {"script": script, "args": list(arguments)})

    def find(self, selector):
        return [Element(self, found[ELEMENT]) for found in self.ask("POST", "/elements", {"using": "css selector", "value": selector})]

    def one(self, selector):
        found = self.find(selector)
        if len(found) != 1:
            raise BrowserError(f"{len(found)} elements are {selector}")
        return found[0]

    def wait(self, script, what, *arguments):
        """Until the function's body gives something true, which is returned."""
        end = time.time() + NEVER_S
        while True:
            found = self.run(script, *arguments)
            if found:
                return found
            if time.time() > end:
                raise BrowserError(f"waited {NEVER_S} s in vain for {what}")
            time.sleep(0.05)

    def size(self, width, height):
        self.ask("POST", "/window/rect", {"width": width, "height": height})

    def command(self, name, **parameters):
        """A command of the browser's own protocol."""
        return self.ask("POST", "/goog/cdp/execute", {"cmd": name, "params": parameters})

    def picture(self, path, whole=False):
        options = {"format": "png", "captureBeyondViewport": whole}
        if whole:
            size = self.command("Page.getLayoutMetrics")["cssContentSize"]
            options["clip"] = {"x": 0, "y": 0, "width": size["width"], "height": size["height"], "scale": 1}
        data = self.command("Page.captureScreenshot", **options)["data"]
        with open(path, "wb") as file:
            file.write(base64.b64decode(data))

    def print_to_pdf(self, width_cm=21.59, height_cm=27.94):
        """On paper of a size, Letter by default."""
        paper = {"width": width_cm, "height": height_cm}
        return base64.b64decode(self.ask("POST", "/print", {"background": True, "page": paper}))

    def requests(self):
        """Every address asked for since the last call."""
        found = []
        for entry in self.ask("POST", "/se/log", {"type": "performance"}):
            message = json.loads(entry["message"])["message"]
            if message["method"] == "Network.requestWillBeSent":
                found.append(message["params"]["request"]["url"])
        return found

    def complaints(self):
        """What the page's console holds of errors since the last call: a refusal by the policy, an exception."""
        return [entry["message"] for entry in self.ask("POST", "/se/log", {"type": "browser"}) if entry["level"] == "SEVERE"]
