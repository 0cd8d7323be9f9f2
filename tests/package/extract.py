#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""extract.py PAGE FOLDER: writes each block of C++ of a page whose first line is "// NAME.cpp" as FOLDER/NAME.cpp."""
import pathlib
import re
import sys

page, folder = pathlib.Path(sys.argv[1]), pathlib.Path(sys.argv[2])
folder.mkdir(parents=True, exist_ok=True)
found = re.findall(r"^```cpp\n// (\w+\.cpp)\n(.*?)^```$", page.read_text(), re.MULTILINE | re.DOTALL)
if not found:
    sys.exit(f"{page}: no program")
for name, text in found:
    path = folder / name
    if not path.exists() or path.read_text() != text:
        path.write_text(text)
