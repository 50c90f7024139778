"""Reads delimited text and writes it again with polars: copy_polars.py SOURCE.csv TARGET.csv [--result RESULT.csv]

With --result it reads SOURCE and writes RESULT, which was read before the clock started: what a pipeline that
computes nothing would need. Prints JSON with the time between start and end of both.
"""

import argparse
import json
import time

import polars as pl
from timing import peak_kb


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("source")
    parser.add_argument("target")
    parser.add_argument("--result")
    arguments = parser.parse_args()
    held = pl.read_csv(arguments.result) if arguments.result else None
    start = time.perf_counter()
    frame = pl.read_csv(arguments.source)
    (frame if held is None else held).write_csv(arguments.target)
    seconds = time.perf_counter() - start
    print(json.dumps({"rows": frame.height, "seconds": seconds, "peak_kb": peak_kb(), "threads": pl.thread_pool_size()}))


main()
