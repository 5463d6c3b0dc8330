// A face between the wall and its surroundings.

struct Surface {
  int solid, outside, face;
  int axis;
  int film;  // its film's table; -1: the coefficient does not vary
  float area_m2, half_m;
  int unused;
};
