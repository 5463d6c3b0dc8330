// A slab's two nodes have no heat capacity: each has the mean temperature of its faces, weighted by their couplings.

const int group = 64;
layout(local_size_x = 64) in;
layout(std430, binding = 0) readonly buffer Rise { float rise_k[]; };
layout(std430, binding = 1) readonly buffer Slabs { Slab slabs[]; };
layout(std430, binding = 2) readonly buffer Faces { Face faces[]; };
layout(std430, binding = 3) readonly buffer Couplings { vec2 couplings_w_k[]; };
layout(std430, binding = 4) writeonly buffer Nodes { vec2 nodes_k[]; };

shared dvec4 sums[group];

void main() {
  int me = int(gl_LocalInvocationID.x);
  Slab slab = slabs[gl_WorkGroupID.x];
  dvec4 sum = dvec4(0.0LF);
  for (int f = slab.first_face + me; f < slab.last_face; f += group) {
    dvec2 c = dvec2(couplings_w_k[f]);
    sum += dvec4(c, c * double(rise_k[faces[f].voxel]));
  }
  sums[me] = sum;
  for (int half_of = group / 2; half_of > 0; half_of /= 2) {
    barrier();
    if (me < half_of) sums[me] += sums[me + half_of];
  }
  if (me != 0) return;
  sum = sums[0];
  nodes_k[gl_WorkGroupID.x] =
      vec2(sum.x > 0.0LF ? float(sum.z / sum.x) : 0.0, sum.y > 0.0LF ? float(sum.w / sum.y) : 0.0);
}
