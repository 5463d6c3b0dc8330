// The last factor for one cable: solves the copper's tridiagonal line by cyclic reduction, all nodes at once (Hockney &
// Jesshope, Parallel Computers, from memory). sim/stepper.cpp, step_copper. One group a cable.

const int group = 128;
layout(local_size_x = 128) in;
layout(std430, binding = 0) readonly buffer Lines { Line lines[]; };
layout(std430, binding = 1) readonly buffer Nodes { Node nodes[]; };
layout(std430, binding = 2) coherent buffer Copper { double copper[]; };
layout(std430, binding = 3) buffer Result { uint result[]; };

uniform int first_line;   // of those solved side by side now
uniform int result_from;  // where a cable's nodes are reported, and
uniform int result_heat;  // the heat that each cable gave

shared double sums[group];

double square_a2(Line line, int n) {
  return n < line.live ? double(current_a) * double(current_a) * double(line.loaded) : 0.0LF;
}

void assemble(Line line, int n) {
  int node = line.first + n;
  Node of = nodes[node];
  double t = copper[node], half_w = double(half_s);
  double low = n > 0 ? nodes[node - 1].axial_w_k : 0.0LF, high = of.axial_w_k;
  double square = square_a2(line, n);
  double flow_w = square * (line.resistance_ohm_m + line.slope_ohm_mk * t) * of.length_m;
  if (n > 0) flow_w += low * (copper[node - 1] - t);
  if (n + 1 < line.nodes) flow_w += high * (copper[node + 1] - t);
  double diagonal = of.capacity_j_k + half_w * (low + high - square * line.slope_ohm_mk * of.length_m);
  copper[row_at(0, 0, node)] = -half_w * low;
  copper[row_at(0, 1, node)] = diagonal + copper[links_at(1, node)];
  copper[row_at(0, 2, node)] = n + 1 < line.nodes ? -half_w * high : 0.0LF;
  copper[row_at(0, 3, node)] = copper[links_at(2, node)] + double(dt_s) * (flow_w + copper[links_at(0, node)]);
}

void reduce(Line line, int n, int step, int turn) {
  int node = line.first + n, other = 1 - turn;
  double a = 0.0LF, b = copper[row_at(turn, 1, node)], c = 0.0LF, d = copper[row_at(turn, 3, node)];
  if (n - step >= 0) {
    double k = copper[row_at(turn, 0, node)] / copper[row_at(turn, 1, node - step)];
    a = -copper[row_at(turn, 0, node - step)] * k;
    b -= copper[row_at(turn, 2, node - step)] * k;
    d -= copper[row_at(turn, 3, node - step)] * k;
  }
  if (n + step < line.nodes) {
    double k = copper[row_at(turn, 2, node)] / copper[row_at(turn, 1, node + step)];
    c = -copper[row_at(turn, 2, node + step)] * k;
    b -= copper[row_at(turn, 0, node + step)] * k;
    d -= copper[row_at(turn, 3, node + step)] * k;
  }
  copper[row_at(other, 0, node)] = a;
  copper[row_at(other, 1, node)] = b;
  copper[row_at(other, 2, node)] = c;
  copper[row_at(other, 3, node)] = d;
}

/// Moves the node; returns the heat that it gave, J.
double move(Line line, int n, double moved) {
  int node = line.first + n;
  double t = copper[node], theta = double(half_s) / double(dt_s);
  copper[moved_at(node)] = moved;
  copper[node] = t + moved;
  atomicMax(result[0], ordered(float(abs(moved))));
  return double(dt_s) * nodes[node].length_m * square_a2(line, n) *
         (line.resistance_ohm_m + line.slope_ohm_mk * (t + theta * moved));
}

void report(int at_word, double value) {
  uvec2 words = unpackDouble2x32(value);
  result[at_word] = words.x;
  result[at_word + 1] = words.y;
}

void main() {
  int me = int(gl_LocalInvocationID.x);
  int index = first_line + int(gl_WorkGroupID.x);
  Line line = lines[index];
  for (int n = me; n < line.nodes; n += group) assemble(line, n);
  int turn = 0;
  for (int step = 1; step < line.nodes; step *= 2) {
    memoryBarrierBuffer();
    barrier();
    for (int n = me; n < line.nodes; n += group) reduce(line, n, step, turn);
    turn = 1 - turn;
  }
  memoryBarrierBuffer();
  barrier();
  double heat_j = 0.0LF;
  for (int n = me; n < line.nodes; n += group) {
    int node = line.first + n;
    double moved = copper[row_at(turn, 3, node)] / copper[row_at(turn, 1, node)];
    heat_j += move(line, n, moved);
    report(result_from + 2 * node, copper[node]);
  }
  sums[me] = heat_j;
  for (int half_of = group / 2; half_of > 0; half_of /= 2) {
    barrier();
    if (me < half_of) sums[me] += sums[me + half_of];
  }
  if (me == 0) report(result_heat + 2 * index, sums[0]);
}
