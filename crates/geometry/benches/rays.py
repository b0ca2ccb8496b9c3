"""Times trimesh + embreex on the part the reach bench writes: a ray down every cell of the height
grid, and a ray up from the middle of every triangle.

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
begin = time.perf_counter()
rays = RayMeshIntersector(mesh)
low, high = mesh.bounds
x, y = np.meshgrid(
    np.arange(low[0] + step / 2, high[0], step), np.arange(low[1] + step / 2, high[1], step)
)
origins = np.column_stack([x.ravel(), y.ravel(), np.full(x.size, high[2] + 1.0)])
down = np.tile([0.0, 0.0, -1.0], (len(origins), 1))
first = rays.intersects_first(origins, down)
print(f"trimesh {trimesh.__version__}, heights of {len(origins)} cells: {time.perf_counter() - begin:.3f} s")
middles = mesh.triangles_center + 0.02 * mesh.face_normals
begin = time.perf_counter()
hidden = rays.intersects_any(middles, np.tile([0.0, 0.0, 1.0], (len(middles), 1)))
print(f"{len(middles)} rays up: {time.perf_counter() - begin:.3f} s, {np.count_nonzero(~hidden)} seen")
