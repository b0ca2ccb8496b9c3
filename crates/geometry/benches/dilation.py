"""Times OpenCV's greyscale dilation on the height grid the reach bench writes.

pip install opencv-python-headless numpy
REACH_WRITE=/tmp cargo bench -p geometry --bench reach
python crates/geometry/benches/dilation.py /tmp/heights_*.f32
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
    passed, processor = [], []
    for _ in range(15):
        begin, used = time.perf_counter(), time.process_time()
        cv2.dilate(heights, disc)
        passed.append(1e3 * (time.perf_counter() - begin))
        processor.append(1e3 * (time.process_time() - used))
    passed.sort()
    processor.sort()
    print(
        f"dilation r {radius}: fastest {passed[0]:.2f} ms, median {passed[7]:.2f} ms; "
        f"processor time {processor[0]:.2f}, {processor[7]:.2f} ms"
    )
