"""Makes the reference tables: all of them, or those named on the command line."""

import sys
import time
from importlib import import_module

# Table -> module whose make() writes it (some write two).
MODULES = ["presets", "propagation", "blur", "talbot", "yaw", "pole", "noise", "crossings", "quadrature", "ellipse", "wiring", "one_distance", "head"]

if __name__ == "__main__":
    wanted = sys.argv[1:] or MODULES
    for name in wanted:
        if name not in MODULES:
            sys.exit(f"no table {name}; there are: {', '.join(MODULES)}")
        started = time.perf_counter()
        import_module(name).make()
        print(f"{name}: {time.perf_counter() - started:.1f} s")
