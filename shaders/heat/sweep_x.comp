// Solves (C + half_s Lx) w1 = change along x, in place. A group takes 32 rows and carries square tiles of them through
// shared memory, so that memory is read and written along the rows: all its invocations carry, one a row solves.

const int side = 32;
const int carriers = 8;  // rows that are carried at a time
layout(local_size_x = 32, local_size_y = 8) in;
layout(std430, binding = 0) readonly buffer Faces { float g[]; };
layout(std430, binding = 1) readonly buffer Capacity { float capacity[]; };
layout(std430, binding = 2) buffer Change { float change[]; };
layout(std430, binding = 3) buffer Upper { float upper[]; };

shared float tile_g[side][side + 1];
shared float tile_c[side][side + 1];  // capacity, then the elimination's upper factor
shared float tile_r[side][side + 1];

/// First voxel of a row of this group; a row that is not there reads the last one and stores nothing.
int first_of(int l, out bool there) {
  int n = int(gl_WorkGroupID.x) * side + l, rows = voxels.y * voxels.z;
  there = n < rows;
  n = min(n, rows - 1);
  return index_at(0, n % voxels.y, n / voxels.y);
}

void load(int from, bool forward) {
  int lane = int(gl_LocalInvocationID.x), i = min(from + lane, voxels.x - 1);
  bool there;
  for (int part = 0; part < side / carriers; ++part) {
    int l = part * carriers + int(gl_LocalInvocationID.y);
    int v = first_of(l, there) + i;
    if (forward) tile_g[l][lane] = g[v];
    tile_c[l][lane] = forward ? capacity[v] : upper[v];
    tile_r[l][lane] = change[v];
  }
}

void store(int from, bool forward) {
  int lane = int(gl_LocalInvocationID.x);
  bool there;
  for (int part = 0; part < side / carriers; ++part) {
    int l = part * carriers + int(gl_LocalInvocationID.y);
    int v = first_of(l, there) + from + lane;
    if (!there || from + lane >= voxels.x) continue;
    if (forward) upper[v] = tile_c[l][lane];
    change[v] = tile_r[l][lane];
  }
}

void main() {
  int lane = int(gl_LocalInvocationID.x);
  bool solves = gl_LocalInvocationID.y == 0u, there;
  float before = 0.0, upper_before = 0.0, low = half_s * g[first_of(lane, there) - 1];
  int tiles = (voxels.x + side - 1) / side;
  for (int t = 0; t < tiles; ++t) {
    load(t * side, true);
    barrier();
    if (solves) {
      for (int i = 0; i < side; ++i) {
        float high = half_s * tile_g[lane][i];
        float pivot = 1.0 / (tile_c[lane][i] + high + low * (1.0 - upper_before));
        upper_before = high * pivot;
        before = (tile_r[lane][i] + low * before) * pivot;
        tile_c[lane][i] = upper_before;
        tile_r[lane][i] = before;
        low = high;
      }
    }
    barrier();
    store(t * side, true);
    barrier();
  }
  before = 0.0;
  for (int t = tiles - 1; t >= 0; --t) {
    load(t * side, false);
    barrier();
    if (solves) {
      int last = voxels.x - 1 - t * side;
      for (int i = min(side - 1, last); i >= 0; --i) {
        before = i == last ? tile_r[lane][i] : tile_r[lane][i] + tile_c[lane][i] * before;
        tile_r[lane][i] = before;
      }
    }
    barrier();
    store(t * side, false);
    barrier();
  }
}
