"""Times trimesh + embreex on the part the reach bench writes: a ray down every cell of the height
grid seen along +X, +Z and a cube's diagonal, and a ray up from the middle of every triangle. The
processor time stands beside the time passed, as others may use the cores.

pip install trimesh embreex
REACH_WRITE=/tmp cargo bench -p geometry --bench reach
python crates/geometry/benches/rays.py /tmp/part.stl
"""
import sys
import time

import numpy as np
import trimesh
from trimesh.ray.ray_pyembree import RayMeshIntersector

step = 0.25
mesh = trimesh.load(sys.argv[1], process=False)


def timed():
    return time.perf_counter(), time.process_time()


def told(what, begin):
    passed, used = (b - a for a, b in zip(begin, timed()))
    print(f"{what}: {passed:.3f} s, processor {used:.3f} s")


print(f"trimesh {trimesh.__version__}")
for direction in ([1, 0, 0], [1, 1, 1], [0, 0, 1]):
    turned = mesh.copy()
    turned.apply_transform(trimesh.geometry.align_vectors(direction, [0, 0, 1]))
    low, high = turned.bounds
    begin = timed()
    rays = RayMeshIntersector(turned)
    x, y = np.meshgrid(
        np.arange(low[0] + step / 2, high[0], step), np.arange(low[1] + step / 2, high[1], step)
    )
    origins = np.column_stack([x.ravel(), y.ravel(), np.full(x.size, high[2] + 1.0)])
    down = np.tile([0.0, 0.0, -1.0], (len(origins), 1))
    first = rays.intersects_first(origins, down)
    told(f"heights of {len(origins)} cells along {direction}", begin)
middles = mesh.triangles_center + 0.02 * mesh.face_normals
begin = timed()
hidden = rays.intersects_any(middles, np.tile([0.0, 0.0, 1.0], (len(middles), 1)))
told(f"{len(middles)} rays up, {np.count_nonzero(~hidden)} seen", begin)
