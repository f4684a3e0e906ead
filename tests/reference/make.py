"""Makes the reference tables: all of them, or those of the modules named on the command line."""

import sys
import time
from importlib import import_module

# Modules whose make() writes one table or more.
MODULES = [
    "presets", "propagation", "one_distance", "blur", "talbot", "yaw", "head",
    "noise", "crossings", "pole", "quadrature", "ellipse", "wiring", "axis",
]  # fmt: skip

if __name__ == "__main__":
    wanted = sys.argv[1:] or MODULES
    for name in wanted:
        if name not in MODULES:
            sys.exit(f"no module {name}; there are: {', '.join(MODULES)}")
        started = time.perf_counter()
        import_module(name).make()
        print(f"{name}: {time.perf_counter() - started:.1f} s")
