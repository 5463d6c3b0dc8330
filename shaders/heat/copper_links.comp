// What the voxels of a node's sheath bring it, with those voxels eliminated (Schur): sim/stepper.cpp, step_copper. One
// group a node.

const int group = 32;
layout(local_size_x = 32) in;
layout(std430, binding = 0) readonly buffer Rise { float rise_k[]; };
layout(std430, binding = 1) readonly buffer Change { float change[]; };
layout(std430, binding = 2) readonly buffer Capacity { float capacity[]; };
layout(std430, binding = 3) readonly buffer Nodes { Node nodes[]; };
layout(std430, binding = 4) readonly buffer Links { Link links[]; };
layout(std430, binding = 5) buffer Copper { double copper[]; };

uniform int first_node;

shared dvec3 sums[group];

void main() {
  int me = int(gl_LocalInvocationID.x), node = first_node + int(gl_WorkGroupID.x);
  double t = copper[node], half_w = double(half_s);
  dvec3 sum = dvec3(0.0LF);
  for (int l = nodes[node].first_link + me; l < nodes[node].last_link; l += group) {
    Link link = links[l];
    double w3 = change[link.voxel], g = half_w * double(link.coupling_w_k), c = capacity[link.voxel];
    double kept = g * c / (c + g);
    // rise_k already holds w3
    sum += dvec3(double(link.coupling_w_k) * (double(rise_k[link.voxel]) - w3 - t), kept, kept * w3);
  }
  sums[me] = sum;
  for (int half_of = group / 2; half_of > 0; half_of /= 2) {
    barrier();
    if (me < half_of) sums[me] += sums[me + half_of];
  }
  if (me != 0) return;
  for (int part = 0; part < 3; ++part) copper[links_at(part, node)] = sums[0][part];
}
