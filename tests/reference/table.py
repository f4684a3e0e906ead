"""Writes one table: comment lines that say what it holds and how it was made, then comma-separated values."""

import platform
from pathlib import Path

import numpy
import scipy

FOLDER = Path(__file__).parent / "tables"


def cell(value):
    """Text of one value: ten significant digits, and zero for what is rounding of the order of one, so that the last bits
    of a machine do not show."""
    if isinstance(value, str):
        return value
    if isinstance(value, (bool, numpy.bool_)):
        return "true" if value else "false"
    if isinstance(value, (int, numpy.integer)):
        return str(value)
    return "0" if abs(value) < 5e-12 else f"{float(value):.10g}"


def write(script, name, about, columns, rows, also=()):
    """Writes `tables/NAME.csv`. `script` is the module that makes it; `about` says what the table holds: columns, units,
    method, one comment line each; `also` are further libraries that made it."""
    libraries = [numpy, scipy, *also]
    versions = ", ".join(f"{library.__name__} {library.__version__}" for library in libraries)
    lines = [
        f"# Made by: python tests/reference/make.py {script}",
        f"# With: Python {platform.python_version()}, {versions}",
    ]
    lines += [f"# {line}" if line else "#" for line in about.strip().splitlines()]
    lines.append(",".join(columns))
    for row in rows:
        if len(row) != len(columns):
            raise ValueError(f"{name}: a row has {len(row)} cells, the heading {len(columns)}")
        lines.append(",".join(cell(value) for value in row))
    FOLDER.mkdir(exist_ok=True)
    (FOLDER / f"{name}.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
