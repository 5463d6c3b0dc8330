// Slabs of air round a cable, laid out for kernels: sim/air_spaces.hpp.

struct Slab {
  int first_face, last_face;
  int first_group, last_group;
  int first_voxel, last_voxel;  // of the voxels that its faces belong to, each once
  int along;
  float length_m;
  float thickness_m, height_m;
  float cable_m, enclosure_m;
};
struct Group {
  int cable;  // or -1: a side of the space
  int normal;
  int looks_up;
  int first, last;  // of its faces, in the list by groups
  float area_m2, emissivity, view;
};
struct Face {
  int voxel, group;
  float area_m2, half_m;
};
struct SlabVoxel {
  int voxel;
  int first, last;  // of its faces
  int unused;
};
