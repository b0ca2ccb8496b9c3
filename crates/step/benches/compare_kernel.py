#!/usr/bin/env python3
"""Time to read and mesh STEP files: this crate beside the C++ kernel, same tolerance, one run.

    python3 -m venv venv && venv/bin/pip install cadquery-ocp
    cargo build --release -p step --example measure
    venv/bin/python compare_kernel.py path/to/measure FILE... > table.md

Both sides run on one thread, the best of five is taken, the start of the process counts for neither,
and files are in the page cache. The kernel reads, transfers and meshes.
This crate reads and meshes, and in the same time also integrates volume, area and centroid exactly
and finds exact bounds, which is not deducted.
"""

import json
import os
import subprocess
import sys
import time

from OCP.BRepMesh import BRepMesh_IncrementalMesh
from OCP.IFSelect import IFSelect_RetDone
from OCP.STEPControl import STEPControl_Reader

CHORD_MM, ANGLE_RAD, REPEAT = 0.05, 0.2, 5


def kernel(path):
    best = [float("inf"), float("inf")]
    for _ in range(REPEAT):
        start = time.perf_counter()
        reader = STEPControl_Reader()
        if reader.ReadFile(path) != IFSelect_RetDone:
            raise RuntimeError(f"{path}: not read")
        reader.TransferRoots()
        shape = reader.OneShape()
        read = time.perf_counter() - start
        BRepMesh_IncrementalMesh(shape, CHORD_MM, False, ANGLE_RAD, False)
        total = time.perf_counter() - start
        best = min(best, [total, read], key=lambda b: b[0])
    return best


def ours(program, path):
    out = subprocess.run(
        [program, "--repeat", str(REPEAT), "--chord", str(CHORD_MM), "--angle", str(ANGLE_RAD), path],
        capture_output=True, check=True, text=True, env={**os.environ, "RAYON_NUM_THREADS": "1"},
    ).stdout
    return json.loads(out)


def main():
    program, files = sys.argv[1], sys.argv[2:]
    print(f"Chord {CHORD_MM} mm, angle {ANGLE_RAD} rad, one thread, best of {REPEAT}.\n")
    print("| file | faces | kernel read + mesh, ms | this crate, ms | ratio | triangles |")
    print("|---|---:|---:|---:|---:|---:|")
    log = 0.0
    count = 0
    import math

    for path in files:
        total, _ = kernel(path)
        o = ours(program, path)
        ratio = total / o["load_s"]
        log += math.log(ratio)
        count += 1
        print(f"| {os.path.basename(path)} | {o['faces']} | {total * 1e3:.1f} | "
              f"{o['load_s'] * 1e3:.1f} | {ratio:.1f} | {o['triangles']} |")
    print(f"\nGeometric mean of the ratios: {math.exp(log / count):.1f}.")


main()
