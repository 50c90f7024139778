"""Reads delimited text and writes it again with polars: copy_polars.py SOURCE.csv TARGET.csv [--result RESULT.csv]

With --result it reads SOURCE and writes RESULT, which was read before the clock started: what a pipeline that
computes nothing would need. Prints JSON with the time between start and end of both.
"""

import argparse
import json
import time

import polars as pl


def bytes_of(frame):
    """What the columns take in memory; those that are empty from top to bottom take nothing."""
    return sum(column.estimated_size() for column in frame if column.null_count() < len(column))


def read(path):
    """A frame; a column with a unit or a probability holds decimal numbers, even if the first ones are whole."""
    heads = pl.read_csv(path, n_rows=0).columns
    return pl.read_csv(path, schema_overrides={head: pl.Float64 for head in heads if "[" in head or head.startswith("probability")})


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("source")
    parser.add_argument("target")
    parser.add_argument("--result")
    arguments = parser.parse_args()
    held = read(arguments.result) if arguments.result else None
    start = time.perf_counter()
    frame = read(arguments.source)
    (frame if held is None else held).write_csv(arguments.target)
    seconds = time.perf_counter() - start
    size = bytes_of(frame) + (0 if held is None else bytes_of(held))
    print(json.dumps({"rows": frame.height, "bytes": size, "seconds": [seconds], "threads": pl.thread_pool_size()}))


main()
