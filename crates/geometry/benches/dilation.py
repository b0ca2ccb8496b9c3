"""Times OpenCV's greyscale dilation on the height grid the tip_map bench writes.

pip install opencv-python-headless numpy
cargo bench -p geometry --bench tip_map -- --write /tmp
python crates/geometry/scripts/dilation.py /tmp/heights_*.f32
"""
import re
import sys
import time

import cv2
import numpy as np

cv2.setNumThreads(2)
name = sys.argv[1]
width, height = map(int, re.search(r"_(\d+)x(\d+)\.f32", name).groups())
heights = np.fromfile(name, "<f4").reshape(height, width)
print("OpenCV", cv2.__version__, heights.shape, cv2.getNumThreads(), "threads")
step = 0.25
for radius in (1, 3, 5, 10, 25):
    n = int(radius / step)
    y, x = np.mgrid[-n : n + 1, -n : n + 1]
    disc = (x * x + y * y <= n * n).astype(np.uint8)
    begin = time.perf_counter()
    cv2.dilate(heights, disc)
    print(f"dilation r {radius}: {time.perf_counter() - begin:.3f} s")
