// What radiation and moving air carry between the faces of a slab: sim/air_spaces.cpp, refresh_slab. One group a slab.

const int group_size = 64;
layout(local_size_x = 64) in;
layout(std430, binding = 0) readonly buffer Rise { float rise_k[]; };
layout(std430, binding = 1) readonly buffer Codes { uint codes[]; };
layout(std430, binding = 2) readonly buffer Slabs { Slab slabs[]; };
layout(std430, binding = 3) readonly buffer Groups { Group groups[]; };
layout(std430, binding = 4) readonly buffer Faces { Face faces[]; };
layout(std430, binding = 5) readonly buffer ByGroup { int by_group[]; };
layout(std430, binding = 6) writeonly buffer Couplings { vec2 couplings_w_k[]; };  // radiant, convective

const float plume_above = 1.9, plume_beside = 1.0, plume_below = 0.1;  // sim/film.hpp
shared double sums[group_size];

/// Sum of area times temperature over a group's faces. All invocations get it.
double weighted(Group of) {
  int me = int(gl_LocalInvocationID.x);
  double sum = 0.0LF;
  for (int f = of.first + me; f < of.last; f += group_size) {
    Face face = faces[by_group[f]];
    sum += double(face.area_m2) * double(rise_k[face.voxel]);
  }
  barrier();
  sums[me] = sum;
  for (int half_of = group_size / 2; half_of > 0; half_of /= 2) {
    barrier();
    if (me < half_of) sums[me] += sums[me + half_of];
  }
  barrier();
  return sums[0];
}

float plume(Group of) {
  return of.normal != 1 ? plume_beside : of.looks_up != 0 ? plume_below : plume_above;
}

float conductivity_w_mk(int voxel, int axis) {
  uint code = codes[voxel] & 0xFFFFu;  // above: whether it has a cell of damage
  float axial = tables[sheath_from + 2 * int(code)];
  bool along = axial > 0.0 && int(tables[sheath_from + 2 * int(code) + 1]) == axis;
  return along ? axial : 0.5 / half_resistivity(code, rise_k[voxel]);
}

void main() {
  Slab slab = slabs[gl_WorkGroupID.x];
  int across = slab.along == 2 ? 0 : 2;
  double cable_sum = 0.0LF, side_sum = 0.0LF;
  float cable_m2 = 0.0, side_m2 = 0.0, spread_m2 = 0.0, front = 0.0, back = 0.0;
  bool has_front = false, has_back = false;
  for (int g = slab.first_group; g < slab.last_group; ++g) {
    Group of = groups[g];
    double sum = weighted(of);
    if (of.cable >= 0) {
      cable_sum += sum;
      cable_m2 += of.area_m2;
      continue;
    }
    side_sum += sum;
    side_m2 += of.area_m2;
    spread_m2 += of.area_m2 * plume(of);
    if (of.normal != across) continue;
    float mean = float(sum / double(of.area_m2));
    if (of.looks_up != 0) {
      front = mean;
      has_front = true;
    } else {
      back = mean;
      has_back = true;
    }
  }
  float whole = float((cable_sum + side_sum) / double(cable_m2 + side_m2));
  float side = side_m2 > 0.0 ? float(side_sum / double(side_m2)) : whole;
  float cable = cable_m2 > 0.0 ? float(cable_sum / double(cable_m2)) : side;
  if (!has_front) front = side;
  if (!has_back) back = side;

  float air_w_mk = air_at(datum_k + whole).conductivity_w_mk;
  float round_cable_w_k = 0.0;
  if (cable_m2 > 0.0 && side_m2 > 0.0 && slab.enclosure_m > 1.01 * slab.cable_m && slab.along != 1)
    round_cable_w_k =
        2.0 * 3.14159265 * air_w_mk * slab.length_m / log(slab.enclosure_m / slab.cable_m) *
        (annulus_nusselt(cable - side, datum_k + 0.5 * (cable + side), slab.cable_m, slab.enclosure_m) - 1.0);
  float between_sides_w_m2k =
      (layer_nusselt(front - back, datum_k + 0.5 * (front + back), slab.thickness_m, slab.height_m) - 1.0) * air_w_mk /
      slab.thickness_m;
  float black_w_m2k = radiant_w_m2k(datum_k + whole);

  for (int f = slab.first_face + int(gl_LocalInvocationID.x); f < slab.last_face; f += group_size) {
    Face face = faces[f];
    Group of = groups[face.group];
    float radiant = black_w_m2k / (1.0 / of.view + (1.0 - of.emissivity) / of.emissivity);
    float moving = 2.0 * round_cable_w_k * (of.cable >= 0 ? 1.0 / cable_m2 : plume(of) / spread_m2);
    if (of.cable < 0 && of.normal == across) moving += 2.0 * between_sides_w_m2k;
    float half_m2k_w = face.half_m / conductivity_w_mk(face.voxel, of.normal);
    couplings_w_k[f] = vec2(face.area_m2 / (half_m2k_w + 1.0 / radiant),
                            moving > 0.0 ? face.area_m2 / (half_m2k_w + 1.0 / moving) : 0.0);
  }
}
