#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""What `book export --all` writes is read as it is by DuckDB and pandas, with the types that its schema.json says.

usage: export_readers.py PROGRAM PROJECT

Takes whichever of the two is installed, neither of which the project needs: python3-pandas, and DuckDB's package of the npm registry
(@duckdb/node-api, found through NODE_PATH); without them it is skipped (77).
"""

import csv
import glob
import json
import os
import shutil
import subprocess
import sys
import tempfile

PROGRAM, PROJECT = (os.path.abspath(path) for path in sys.argv[1:3])


def module(name):
    try:
        return __import__(name)
    except ImportError:
        return None


def export(folder):
    """A book of a prediction, its log, a coat, a history and notes, exported."""
    environment = {
        **os.environ,
        "BAKEWRIGHT_BOOK": os.path.join(folder, "test.book"),
        "BAKEWRIGHT_PROFILES": os.path.join(PROJECT, "profiles"),
        "HOME": folder,
        "LC_ALL": "C.UTF-8",
    }
    log = os.path.join(PROJECT, "tests", "data", "demo", "clear_group_1.csv")
    van = ["--shell", "library_van", "--booth", "stirred_insulated", "--coating", "clear_low_bake"]
    out = os.path.join(folder, "everything")
    for words in (
        ["predict", *van, "--cycle", "clear_60", "--title", 'quoted "title", with a comma'],
        ["import", log, *van, "--of", "1"],
        ["coat", "add", "--shell", "library_van", "--coating", "clear_low_bake", "--name", "clear", "--at", "2027-03-04T08:00"],
        ["history", "add", "2", "--shell", "library_van", "--at", "2027-03-04T08:30"],
        ["note", "temperature", "2", "--zone", "roof_skin", "--at", "42 min", "--read", "61 degC"],
        ["note", "test", "2", "--zone", "roof_skin", "--after", "18 h", "--found", "hard"],
        ["book", "export", "--all", "--out", out],
    ):
        done = subprocess.run([PROGRAM, *words], env=environment, cwd=folder, capture_output=True, text=True)
        if done.returncode > 1:
            raise SystemExit(f"bakewright {' '.join(words)}: {done.stderr}")
    return out


def counted(out):
    """Rows of samples by the manifest, and the bytes' own count."""
    with open(os.path.join(out, "manifest.csv"), encoding="utf-8", newline="") as file:
        said = sum(int(row["samples"]) for row in csv.DictReader(file))
    rows = 0
    for path in glob.glob(os.path.join(out, "shell=*", "month=*", "*.csv")):
        with open(path, encoding="utf-8", newline="") as file:
            rows += sum(1 for _ in csv.reader(file)) - 1
    return said, rows


def types_of(table, names):
    """The types of a table's columns, as a reader calls them."""
    return {column["name"]: names[column["type"]] for column in table["columns"]}


NODE = """
const { DuckDBInstance } = require('@duckdb/node-api');
(async () => {
  const connection = await (await DuckDBInstance.create(':memory:')).connect();
  for (const sql of JSON.parse(process.argv[1])) {
    const read = await connection.runAndReadAll(sql);
    console.log(JSON.stringify(read.getRows().map((row) => row.map(String))));
  }
})().catch((error) => { console.error(String(error)); process.exit(1); });
"""


def in_duckdb(statements):
    """What DuckDB answers to each statement; nothing where it is not installed."""
    if shutil.which("node") is None or subprocess.run(["node", "-e", "require('@duckdb/node-api')"], capture_output=True).returncode != 0:
        return None
    done = subprocess.run(["node", "-e", NODE, json.dumps(statements)], capture_output=True, text=True)
    if done.returncode != 0:
        raise SystemExit(f"DuckDB: {done.stderr}")
    return [json.loads(line) for line in done.stdout.splitlines()]


def with_duckdb(out, schema, rows):
    names = {"string": "VARCHAR", "integer": "BIGINT", "number": "DOUBLE", "timestamp": "VARCHAR"}
    statements = []
    for table in schema["tables"]:
        is_parted = "*" in table["files"]
        columns = types_of(table, names)
        read = f"read_csv('{out}/{table['files']}', header = true, hive_partitioning = {str(is_parted).lower()}, columns = {columns})"
        statements.append(f"SELECT count(*) FROM {read}")
    samples = f"read_csv_auto('{out}/shell=*/month=*/*.csv', hive_partitioning = true)"
    statements.append(f"SELECT DISTINCT shell FROM {samples}")
    statements.append(f"COPY (SELECT * FROM {samples}) TO '{out}/samples.parquet' (FORMAT parquet)")
    statements.append(f"SELECT count(*) FROM '{out}/samples.parquet'")
    answers = in_duckdb(statements)
    if answers is None:
        return None
    faults = []
    position = [table["table"] for table in schema["tables"]].index("samples")
    if answers[position] != [[str(rows)]]:
        faults.append(f"DuckDB reads {answers[position]} samples, {rows} were written")
    if answers[-3] != [["library_van"]]:
        faults.append(f"DuckDB's partitions are {answers[-3]}")
    if answers[-1] != [[str(rows)]]:
        faults.append(f"the Parquet file has {answers[-1]} samples, not {rows}")
    return faults


def with_pandas(pandas, out, schema, rows):
    faults = []
    names = {"string": "string", "integer": "Int64", "number": "float64", "timestamp": "string"}
    count = 0
    for table in schema["tables"]:
        for path in glob.glob(os.path.join(out, table["files"])):
            frame = pandas.read_csv(path, dtype=types_of(table, names))
            if list(frame.columns) != [column["name"] for column in table["columns"]]:
                faults.append(f"{path} has other columns than the schema says")
            count += len(frame) if table["table"] == "samples" else 0
    if count != rows:
        faults.append(f"pandas reads {count} samples, {rows} were written")
    return faults


def main():
    with tempfile.TemporaryDirectory() as folder:
        pandas = module("pandas")
        if pandas is None and in_duckdb([]) is None:
            print("neither pandas nor DuckDB is installed")
            return 77
        out = export(folder)
        schema = json.load(open(os.path.join(out, "schema.json"), encoding="utf-8"))
        said, rows = counted(out)
        faults = [] if said == rows else [f"the manifest says {said} samples, the files have {rows}"]
        duckdb = with_duckdb(out, schema, rows)
        faults += duckdb or []
        readers = ["DuckDB"] if duckdb is not None else []
        if pandas is not None:
            faults += with_pandas(pandas, out, schema, rows)
            readers.append("pandas")
    for fault in faults:
        print(fault)
    print(f"{rows} samples, read by {' and '.join(readers)}: {len(faults)} faults")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
