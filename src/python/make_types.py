#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Writes the types of bakewright's answers from their JSON schema: make_types.py SCHEMA > types.py

A TypedDict each document and each shape within, so that an editor and a type checker know what `bakewright.py` gives back. Keys that
are not always there are marked NotRequired; a shape that stands in one place alone is named after that place.
"""
import json
import sys

SCHEMA = json.load(open(sys.argv[1], encoding="utf-8"))
PLAIN = {"string": "str", "number": "float", "integer": "int", "boolean": "bool", "null": "None"}
written, lines = set(), []


def class_name(key):
    """Of a document "bakewright.bake" BakeDocument, of a shape "bake" Bake."""
    name = "".join(part.capitalize() for part in key.removeprefix("bakewright.").replace("-", "_").split("_"))
    return name + "Document" if key.startswith("bakewright.") and key in SCHEMA["$defs"] else name


def union(parts):
    return " | ".join(dict.fromkeys(parts))


def type_of(schema, place):
    """The type of a value; objects become classes of their own on the way."""
    if "$ref" in schema:
        return f'"{class_name(schema["$ref"].rsplit("/", 1)[-1])}"'
    if "const" in schema or "enum" in schema:
        return "Literal[" + ", ".join(repr(value) for value in schema.get("enum", [schema.get("const")])) + "]"
    if "oneOf" in schema and "properties" not in schema:
        return quoted_union([type_of(one, place) for one in schema["oneOf"]])
    kinds = schema.get("type", "object" if "properties" in schema else None)
    if kinds is None:
        return "Any"
    return quoted_union([one_type(kind, schema, place) for kind in (kinds if isinstance(kinds, list) else [kinds])])


def quoted_union(parts):
    """Names of classes are quoted, and so is a union that holds one."""
    whole = union(part.strip('"') for part in parts)
    return f'"{whole}"' if any(part.startswith('"') for part in parts) else whole


def one_type(kind, schema, place):
    if kind in PLAIN:
        return PLAIN[kind]
    if kind == "array":
        inner = type_of(schema.get("items", {}), place + "_entry") if isinstance(schema.get("items", {}), dict) else "Any"
        return f'"list[{inner.strip(chr(34))}]"' if inner.startswith('"') else f"list[{inner}]"
    if "properties" not in schema:
        more = schema.get("additionalProperties")
        inner = type_of(more, place + "_value") if isinstance(more, dict) else "Any"
        return f'"dict[str, {inner.strip(chr(34))}]"' if inner.startswith('"') else f"dict[str, {inner}]"
    write_class(place, schema)
    return f'"{class_name(place)}"'


def write_class(place, schema):
    name = class_name(place)
    if name in written:
        return
    written.add(name)
    required = set(schema.get("required", []))
    fields = []
    for key, inner in schema["properties"].items():
        told = type_of(inner, f"{place}_{key}")
        fields.append(f"    {key!r}: {told if key in required else f'NotRequired[{told}]'},")
    lines.append(f"{name} = TypedDict({name!r}, {{\n" + "\n".join(fields) + "\n})\n")


for key, schema in SCHEMA["$defs"].items():
    if "properties" in schema:
        write_class(key, schema)
    else:
        lines.append(f"{class_name(key)} = Any\n")
print('"""Shapes of bakewright\'s answers, written from docs/json.schema.json by make_types.py; do not edit."""')
print("# SPDX-License-Identifier: Apache-2.0")
print("from typing import Any, Literal, NotRequired, TypedDict\n")
print("\n".join(lines))
