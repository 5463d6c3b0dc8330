// A cable's copper as its three kernels see it.

struct Line {
  double resistance_ohm_m;  // at the datum, and
  double slope_ohm_mk;      // its rise per kelvin, of one conductor
  int first, nodes;
  int loaded;
  int live;  // nodes from its start that carry the current
};
struct Node {
  double length_m;
  double capacity_j_k;
  double axial_w_k;  // to the next node; the last is 0
  int first_link, last_link;
};
struct Link {
  int voxel;
  float coupling_w_k;
  int node;
};

uniform int all_nodes;  // of all cables

// The copper's buffer: temperatures, then scratch. Of a node: what its links bring (flow, diagonal, right side), how
// far it moves, and the rows of its line's matrix, twice (lower, diagonal, upper, right side).
int links_at(int part, int node) {
  return (1 + part) * all_nodes + node;
}
int moved_at(int node) {
  return 4 * all_nodes + node;
}
int row_at(int turn, int part, int node) {
  return (5 + 4 * turn + part) * all_nodes + node;
}
