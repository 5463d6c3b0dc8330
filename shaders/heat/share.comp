// The temperatures as the texture that the drawing reads: what render/passes/field_textures.cpp makes of a snapshot on
// the host. A voxel of surroundings beside the wall shows the mean of the wall's voxels around it; padding is as little
// of the wall as surroundings are.

layout(local_size_x = 32, local_size_y = 4) in;
layout(std430, binding = 0) readonly buffer Rise { float rise_k[]; };
layout(std430, binding = 1) readonly buffer Codes { uint codes[]; };
layout(r32f, binding = 0) writeonly uniform image3D temperature_k;

bool in_wall(int v) {
  return (codes[v] & 0xFFFFu) != 0u;
}

void main() {
  ivec3 place = ivec3(gl_GlobalInvocationID);
  if (any(greaterThanEqual(place, voxels))) return;
  int v = index_at(place.x, place.y, place.z);
  float value_k = datum_k + rise_k[v];
  if (!in_wall(v)) {
    float sum_k = 0.0;
    int count = 0;
    for (int n = 0; n < 27; ++n) {
      int beside = v + (n % 3 - 1) + row * (n / 3 % 3 - 1) + plane * (n / 9 - 1);
      if (!in_wall(beside)) continue;
      sum_k += datum_k + rise_k[beside];
      ++count;
    }
    if (count > 0) value_k = sum_k / float(count);
  }
  imageStore(temperature_k, place, vec4(value_k, 0.0, 0.0, 0.0));
}
