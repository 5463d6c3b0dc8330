// Solves (C + half_s Lx) w1 = change along x, in place. A group takes 32 rows, each of its invocations one of them, and
// carries square tiles of them through shared memory, so that memory is read and written along the rows.

const int side = 32;
layout(local_size_x = 32) in;
layout(std430, binding = 0) readonly buffer Faces { float g[]; };
layout(std430, binding = 1) readonly buffer Capacity { float capacity[]; };
layout(std430, binding = 2) buffer Change { float change[]; };
layout(std430, binding = 3) buffer Upper { float upper[]; };

shared float tile_g[side][side + 1];
shared float tile_c[side][side + 1];  // capacity, then the elimination's upper factor
shared float tile_r[side][side + 1];
shared int first_of[side];  // first voxel of each row; -1: no such row

void load(int from, bool forward) {
  int lane = int(gl_LocalInvocationID.x);
  bool inside = from + lane < voxels.x;
  for (int l = 0; l < side; ++l) {
    int v = first_of[l] + from + lane;
    bool there = inside && first_of[l] >= 0;
    if (forward) tile_g[l][lane] = there ? g[v] : 0.0;
    tile_c[l][lane] = !there ? 1.0 : forward ? capacity[v] : upper[v];
    tile_r[l][lane] = there ? change[v] : 0.0;
  }
}

void store(int from, bool forward) {
  int lane = int(gl_LocalInvocationID.x);
  if (from + lane >= voxels.x) return;
  for (int l = 0; l < side; ++l) {
    if (first_of[l] < 0) continue;
    int v = first_of[l] + from + lane;
    if (forward) upper[v] = tile_c[l][lane];
    change[v] = tile_r[l][lane];
  }
}

void main() {
  int lane = int(gl_LocalInvocationID.x);
  int n = int(gl_WorkGroupID.x) * side + lane;
  bool mine = n < voxels.y * voxels.z;
  first_of[lane] = mine ? index_at(0, n % voxels.y, n / voxels.y) : -1;
  float before = 0.0, upper_before = 0.0, low = mine ? half_s * g[first_of[lane] - 1] : 0.0;
  barrier();
  int tiles = (voxels.x + side - 1) / side;
  for (int t = 0; t < tiles; ++t) {
    load(t * side, true);
    barrier();
    for (int i = 0; i < side; ++i) {
      float high = half_s * tile_g[lane][i];
      float pivot = 1.0 / (tile_c[lane][i] + high + low * (1.0 - upper_before));
      upper_before = high * pivot;
      before = (tile_r[lane][i] + low * before) * pivot;
      tile_c[lane][i] = upper_before;
      tile_r[lane][i] = before;
      low = high;
    }
    barrier();
    store(t * side, true);
    barrier();
  }
  before = 0.0;
  for (int t = tiles - 1; t >= 0; --t) {
    load(t * side, false);
    barrier();
    for (int i = side - 1; i >= 0; --i) {
      if (t * side + i >= voxels.x) continue;
      if (t * side + i + 1 < voxels.x) before = tile_r[lane][i] + tile_c[lane][i] * before;
      else before = tile_r[lane][i];
      tile_r[lane][i] = before;
    }
    barrier();
    store(t * side, false);
    barrier();
  }
}
