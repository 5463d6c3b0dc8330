// What radiation and moving air carry between the faces of a slab: sim/air_exchange.cpp, refresh_slab. One group a slab.

const int group_size = 64;
layout(local_size_x = 64) in;
layout(std430, binding = 0) readonly buffer Rise { float rise_k[]; };
layout(std430, binding = 1) readonly buffer Codes { uint codes[]; };
layout(std430, binding = 2) readonly buffer Slabs { Slab slabs[]; };
layout(std430, binding = 3) readonly buffer Groups { Group groups[]; };
layout(std430, binding = 4) readonly buffer Faces { Face faces[]; };
layout(std430, binding = 5) readonly buffer ByGroup { int by_group[]; };
// Radiant, convective. Until the end: radiant, and how far the surface's temperature is on the way to the node's.
layout(std430, binding = 6) coherent buffer Couplings { vec2 couplings_w_k[]; };

shared dvec2 sums[group_size];

/// Sum over all invocations, which all get it.
dvec2 together(dvec2 mine) {
  int me = int(gl_LocalInvocationID.x);
  barrier();
  sums[me] = mine;
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

/// Area times emittance times sigma, W/K^4.
float emits(Face face) {
  Group of = groups[face.group];
  return face.area_m2 * stefan_boltzmann_w_m2k4 / (1.0 / of.view + (1.0 - of.emissivity) / of.emissivity);
}

float half_m2k_w(Face face) {
  return face.half_m / conductivity_w_mk(face.voxel, groups[face.group].normal);
}

/// The radiant node's temperature, K above the datum; the couplings to it are left in the buffer.
float settle_radiation(Slab slab) {
  int first = slab.first_face + int(gl_LocalInvocationID.x);
  dvec2 sum = dvec2(0.0LF);
  for (int f = first; f < slab.last_face; f += group_size) {
    float t = datum_k + rise_k[faces[f].voxel], emitted = emits(faces[f]);
    sum += dvec2(emitted, double(emitted) * double(t * t) * double(t * t));
  }
  sum = together(sum);
  float node = float(sqrt(sqrt(sum.y / sum.x)) - double(datum_k));
  for (int round = 0; round < air_spaces_radiant_rounds; ++round) {
    sum = dvec2(0.0LF);
    for (int f = first; f < slab.last_face; f += group_size) {
      Face face = faces[f];
      float t = rise_k[face.voxel], share = round == 0 ? 0.0 : couplings_w_k[f].y;
      float surface = datum_k + t + share * (node - t), far = datum_k + node;
      float bare = emits(face) * (surface * surface + far * far) * (surface + far);
      float ahead = half_m2k_w(face) / face.area_m2 * bare;
      float coupling = bare / (1.0 + ahead);
      couplings_w_k[f] = vec2(coupling, ahead / (1.0 + ahead));
      sum += dvec2(coupling, double(coupling) * double(t));
    }
    sum = together(sum);
    node = float(sum.y / sum.x);
  }
  memoryBarrierBuffer();
  barrier();
  return node;
}

/// Area times the surfaces' temperature over a group's faces.
double weighted(Group of, float node) {
  dvec2 sum = dvec2(0.0LF);
  for (int f = of.first + int(gl_LocalInvocationID.x); f < of.last; f += group_size) {
    Face face = faces[by_group[f]];
    float t = rise_k[face.voxel];
    sum.x += double(face.area_m2) * double(t + couplings_w_k[by_group[f]].y * (node - t));
  }
  return together(sum).x;
}

void main() {
  Slab slab = slabs[gl_WorkGroupID.x];
  float node = settle_radiation(slab);
  int across = slab.along == 2 ? 0 : 2;
  dvec2 cables = dvec2(0.0LF), sides = dvec2(0.0LF), back = dvec2(0.0LF), front = dvec2(0.0LF);  // area, area times K
  float spread_m2 = 0.0;
  for (int g = slab.first_group; g < slab.last_group; ++g) {
    Group of = groups[g];
    dvec2 sum = dvec2(double(of.area_m2), weighted(of, node));
    if (of.cable >= 0) {
      cables += sum;
      continue;
    }
    sides += sum;
    spread_m2 += of.area_m2 * plume(of);
    if (of.normal != across) continue;
    if (of.looks_up != 0) front += sum;
    else back += sum;
  }
  float cable_m2 = float(cables.x);
  float whole = float((cables.y + sides.y) / (cables.x + sides.x));
  float side = sides.x > 0.0LF ? float(sides.y / sides.x) : whole;
  float cable = cables.x > 0.0LF ? float(cables.y / cables.x) : side;
  float front_k = front.x > 0.0LF ? float(front.y / front.x) : side;
  float back_k = back.x > 0.0LF ? float(back.y / back.x) : side;

  float air_w_mk = air_at(datum_k + whole).conductivity_w_mk;
  float round_cable_w_k = 0.0;
  bool is_annulus = slab.enclosure_m > air_spaces_narrowest_annulus * slab.cable_m;
  if (cable_m2 > 0.0 && sides.x > 0.0LF && is_annulus && slab.along != 1)
    round_cable_w_k =
        2.0 * pi * air_w_mk * slab.length_m / log(slab.enclosure_m / slab.cable_m) *
        (annulus_nusselt(cable - side, datum_k + 0.5 * (cable + side), slab.cable_m, slab.enclosure_m) - 1.0);
  float between_sides_w_m2k = (layer_nusselt(front_k - back_k, datum_k + 0.5 * (front_k + back_k), slab.thickness_m,
                                             slab.height_m) - 1.0) * air_w_mk / slab.thickness_m;

  // A voxel's first face carries what all of its faces here do; faces are sorted by voxel.
  memoryBarrierBuffer();
  barrier();
  for (int f = slab.first_face + int(gl_LocalInvocationID.x); f < slab.last_face; f += group_size) {
    if (f > slab.first_face && faces[f - 1].voxel == faces[f].voxel) continue;
    vec2 carried = vec2(0.0);
    for (int n = f; n < slab.last_face && faces[n].voxel == faces[f].voxel; ++n) {
      Face face = faces[n];
      Group of = groups[face.group];
      float moving = 2.0 * round_cable_w_k * (of.cable >= 0 ? 1.0 / cable_m2 : plume(of) / spread_m2);
      if (of.cable < 0 && of.normal == across) moving += 2.0 * between_sides_w_m2k;
      carried += vec2(couplings_w_k[n].x, face.area_m2 * moving / (1.0 + half_m2k_w(face) * moving));
      couplings_w_k[n] = vec2(0.0);
    }
    couplings_w_k[f] = carried;
  }
}
