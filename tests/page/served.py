# SPDX-License-Identifier: Apache-2.0
"""bakewright serve with a book and profiles of its own, for as long as a with statement lasts."""

import json
import os
import subprocess


class Served:
    def __init__(self, program, project, folder, *options):
        self.program, self.project, self.folder, self.options = program, project, folder, options
        self.environment = {
            **os.environ,
            "BAKEWRIGHT_PROFILES": os.path.join(project, "profiles"),
            "BAKEWRIGHT_BOOK": os.path.join(folder, "shop.book"),
            "XDG_DATA_HOME": os.path.join(folder, "data"),
            "HOME": folder,
            "LC_ALL": "C.UTF-8",
        }
        self.environment.pop("BAKEWRIGHT_UNITS", None)

    def __enter__(self):
        words = [self.program, "serve", "--json", *self.options]
        self.process = subprocess.Popen(words, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, env=self.environment, cwd=self.folder)
        said = json.loads(self.process.stdout.readline())
        self.address, self.port, self.token = said["address"], int(said["port"]), said["token"]
        self.origin = self.address.split("/open#")[0]
        return self

    def __exit__(self, *_):
        self.process.terminate()
        self.process.wait(20)

    def run(self, *words):
        """A command of the program on the same book. Its answer may be no."""
        done = subprocess.run([self.program, *words], env=self.environment, cwd=self.folder, capture_output=True, text=True)
        if done.returncode > 1:
            raise RuntimeError(f"bakewright {' '.join(words)}: {done.stderr}")
        return done.stdout
