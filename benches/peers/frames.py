"""The table by a data-frame library: frames.py pandas|polars IN OUT; exits with its peak memory printed."""

import resource
import sys

import core

library, source, target = sys.argv[1:]
if library == "pandas":
    import numpy
    import pandas

    frame = pandas.read_csv(source)
    found = core.estimate(frame["rise_in"], frame["width_in"], frame["runs"].fillna(1), numpy.ceil, numpy.maximum)
    for name, column in found.items():
        frame[name] = column.round(2)
    frame.to_csv(target, index=False)
else:
    import polars

    table = polars.scan_csv(source)
    found = core.estimate(polars.col("rise_in").cast(polars.Float64), polars.col("width_in").cast(polars.Float64),
                          polars.col("runs").cast(polars.Float64).fill_null(1.0), lambda one: one.ceil(),
                          lambda one, other: polars.max_horizontal(one, other))
    columns = [column.round(2).alias(name) for name, column in found.items()]
    table.with_columns(columns).sink_csv(target)
print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024)
