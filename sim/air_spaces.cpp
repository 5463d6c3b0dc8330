// Finds the connected spaces of air and decides how each is crossed. What crosses them: sim/air_exchange.cpp.

#include "sim/air_spaces.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <numeric>
#include <unordered_map>
#include <utility>

#include "sim/air_outline.hpp"
#include "sim/material_map.hpp"
#include "sim/radiant_views.hpp"

namespace warmbay::sim {
namespace {

/// Parts of one cable, or of what looks one way.
bool same_side(const AirGroup& a, const AirGroup& b) {
  return a.cable == b.cable && (a.cable >= 0 || (a.normal == b.normal && a.looks_up == b.looks_up));
}

/// A width of a space of air. A cut, where the modelled part of the wall ends, is a mirror: what is drawn of the space
/// goes on beyond it the other way round. Between two cuts it goes on for ever.
struct Extent {
  double drawn_m = 0.0;
  int cuts = 0;
  [[nodiscard]] double mirrored_m() const {
    return cuts == 0 ? drawn_m : cuts == 1 ? 2.0 * drawn_m : AirSpaces::unlimited_m;
  }
  /// How many of what is drawn there are, its mirror images counted.
  [[nodiscard]] double images() const { return cuts == 0 ? 1.0 : cuts == 1 ? 2.0 : 1000.0; }
};

/// Areas are summed in whole parts of a square metre: a sum of those does not depend on the order, so that a space that
/// has grown is to the bit the one that is found anew. A square millimetre is 10^10 of them, the largest sum 900 m2.
constexpr double area_parts_m2 = 1e16;

std::int64_t in_parts(double area_m2) {
  return std::llround(area_m2 * area_parts_m2);
}

/// Extent of a section along an axis.
template <class Section>
Extent extent_of(const MaterialMap& wall, const Section& section, Axis axis) {
  const std::vector<double>& edges = wall.grid().edges_m(axis);
  const int d = index_of(axis);
  return {edges[static_cast<std::size_t>(section.high[d]) + 1] - edges[static_cast<std::size_t>(section.low[d])],
          section.cut_low[d] + section.cut_high[d]};
}

/// Extents of two sections together.
template <class Section>
void join(Section& whole, const Section& section) {
  for (std::size_t d = 0; d < 3; ++d) {
    whole.low[d] = std::min(whole.low[d], section.low[d]);
    whole.high[d] = std::max(whole.high[d], section.high[d]);
    whole.cut_low[d] = whole.cut_low[d] || section.cut_low[d];
    whole.cut_high[d] = whole.cut_high[d] || section.cut_high[d];
  }
}

/// A run of air through a voxel, from end to end.
struct Stretch {
  std::size_t first;
  int count;
  std::size_t before, after;
  Extent extent;
};

Stretch stretch_through(const MaterialMap& wall, std::size_t voxel, Axis axis) {
  const std::ptrdiff_t stride = wall.layout().stride(axis);
  Stretch run{voxel, 1, 0, 0, {}};
  while (wall.is_air(run.first - stride)) run.first -= stride;
  while (wall.is_air(run.first + run.count * stride)) ++run.count;
  run.before = run.first - stride;
  run.after = run.first + run.count * stride;
  const int n = wall.layout().place(run.first)[index_of(axis)];
  const std::vector<double>& edges = wall.grid().edges_m(axis);
  run.extent.drawn_m = edges[static_cast<std::size_t>(n + run.count)] - edges[static_cast<std::size_t>(n)];
  run.extent.cuts = wall.is_cut(run.before) + wall.is_cut(run.after);
  return run;
}

}  // namespace

AirSpaces::AirSpaces(const MaterialMap& wall, Crew& crew) : wall_(wall), crew_(crew) {
  renew();
}

void AirSpaces::renew() {
  find_spaces();
  for (Space& space : spaces_) work_out(space);
  put_together();
}

bool AirSpaces::grow(const std::vector<std::size_t>& voxels) {
  // Voxels that join exactly one space are taken in; anything else (a space of its own, two that become one) is rare.
  std::vector<std::size_t> waiting = voxels;
  std::unordered_map<std::size_t, int> joined;
  const auto space_beside = [&](std::size_t voxel) {
    if (!wall_.is_air(voxel)) return -1;
    const auto found = joined.find(voxel);
    return found != joined.end() ? found->second : space_of(voxel);
  };
  for (bool progress = true; progress && !waiting.empty();) {
    progress = false;
    std::vector<std::size_t> left;
    for (const std::size_t voxel : waiting) {
      int joins = -1;
      for (const Axis axis : {Axis::x, Axis::y, Axis::z})
        for (const int sign : {-1, 1}) {
          const int beside = space_beside(voxel + sign * wall_.layout().stride(axis));
          if (beside < 0 || beside == joins) continue;
          if (joins >= 0) return renew(), true;
          joins = beside;
        }
      if (joins < 0) {
        left.push_back(voxel);
        continue;
      }
      progress = true;
      joined.emplace(voxel, joins);
    }
    waiting = std::move(left);
  }
  if (!waiting.empty()) return renew(), true;
  std::vector<std::vector<std::uint32_t>> fresh(spaces_.size());
  for (const auto& [voxel, joins] : joined)
    fresh[static_cast<std::size_t>(joins)].push_back(static_cast<std::uint32_t>(voxel));
  bool runs_changed = false;
  for (std::size_t n = 0; n < spaces_.size(); ++n) {
    if (fresh[n].empty()) continue;
    std::sort(fresh[n].begin(), fresh[n].end());
    if (n > 0 && fresh[n].front() < spaces_[n - 1].voxels.front())
      return renew(), true;  // the order of the spaces would change
    runs_changed = runs_changed || !spaces_[n].runs.empty();
    take_in(spaces_[n], fresh[n]);
  }
  put_together();
  return runs_changed;
}

int AirSpaces::space_of(std::size_t voxel) const {
  for (std::size_t n = 0; n < spaces_.size(); ++n)
    if (std::binary_search(spaces_[n].voxels.begin(), spaces_[n].voxels.end(), voxel)) return static_cast<int>(n);
  return -1;
}

void AirSpaces::find_spaces() {
  const Layout& layout = wall_.layout();
  std::vector<int> space_of(layout.size, -1);
  spaces_.clear();
  std::vector<std::size_t> waiting;
  for (std::size_t seed = 0; seed < layout.size; ++seed) {
    if (space_of[seed] >= 0 || !wall_.is_air(seed)) continue;
    const int space = static_cast<int>(spaces_.size());
    spaces_.emplace_back();
    waiting.assign(1, seed);
    space_of[seed] = space;
    while (!waiting.empty()) {
      const std::size_t here = waiting.back();
      waiting.pop_back();
      for (const Axis axis : {Axis::x, Axis::y, Axis::z})
        for (const int sign : {-1, 1}) {
          const std::size_t next = here + sign * layout.stride(axis);
          if (!wall_.is_air(next)) continue;
          if (space_of[next] < 0) waiting.push_back(next);
          space_of[next] = space;
        }
    }
  }
  for (std::size_t v = 0; v < layout.size; ++v)
    if (space_of[v] >= 0)
      spaces_[static_cast<std::size_t>(space_of[v])].voxels.push_back(static_cast<std::uint32_t>(v));
  for (Space& space : spaces_) space.voxels.shrink_to_fit();
}

/// Voxels that have joined a space, in the order of memory. What is known of the others is kept.
void AirSpaces::take_in(Space& space, const std::vector<std::uint32_t>& fresh) {
  const auto before = static_cast<std::ptrdiff_t>(space.voxels.size());
  space.voxels.insert(space.voxels.end(), fresh.begin(), fresh.end());
  std::inplace_merge(space.voxels.begin(), space.voxels.begin() + before, space.voxels.end());
  const Axis along = space.along;
  const bool had_cables = !space.sections.empty();
  see_cables(space, fresh);
  if (!had_cables || space.along != along) return work_out(space);
  add_to_sections(space, fresh);
  lay_out(space);
}

/// Decides how a space is crossed: round its cables by slabs along the axis of most of them, without any by runs.
void AirSpaces::see_cables(Space& space, const std::vector<std::uint32_t>& voxels) const {
  const Layout& layout = wall_.layout();
  for (const std::size_t voxel : voxels)
    for (const Axis axis : {Axis::x, Axis::y, Axis::z})
      for (const int sign : {-1, 1})
        if (const SheathVoxel* const sheath = wall_.sheath_of(voxel + sign * layout.stride(axis)))
          space.cable_area[index_of(sheath->along)] += in_parts(wall_.grid().face_m2(axis, layout.place(voxel)));
  const auto most = std::max_element(space.cable_area.begin(), space.cable_area.end());
  space.along = static_cast<Axis>(most - space.cable_area.begin());
}

void AirSpaces::work_out(Space& space) {
  space.cable_area = {};
  space.sections.clear();
  see_cables(space, space.voxels);
  if (space.cable_area[index_of(space.along)] > 0) {
    space.sections.resize(wall_.grid().edges_m(space.along).size() - 1);
    add_to_sections(space, space.voxels);
  }
  lay_out(space);
}

/// voxels: new to the space, in the order of memory.
void AirSpaces::add_to_sections(Space& space, const std::vector<std::uint32_t>& voxels) const {
  const Layout& layout = wall_.layout();
  const auto on_rim = [&](std::size_t voxel) {
    bool on = false;
    for (const Axis axis : {Axis::x, Axis::y, Axis::z})
      on = on || (axis != space.along && (!wall_.is_air(voxel - layout.stride(axis)) ||  //
                                          !wall_.is_air(voxel + layout.stride(axis))));
    return on;
  };
  std::vector<std::size_t> rim_before;
  for (const Section& section : space.sections) rim_before.push_back(section.rim.size());
  for (const std::size_t voxel : voxels) {
    const std::array<int, 3> place = layout.place(voxel);
    Section& section = space.sections[static_cast<std::size_t>(place[index_of(space.along)])];
    section.area += in_parts(wall_.grid().face_m2(space.along, place));
    for (const Axis axis : {Axis::x, Axis::y, Axis::z}) {
      const int d = index_of(axis);
      section.low[d] = std::min(section.low[d], place[d]);
      section.high[d] = std::max(section.high[d], place[d]);
      section.cut_low[d] = section.cut_low[d] || wall_.is_cut(voxel - layout.stride(axis));
      section.cut_high[d] = section.cut_high[d] || wall_.is_cut(voxel + layout.stride(axis));
    }
    if (on_rim(voxel)) section.rim.push_back(static_cast<std::uint32_t>(voxel));
  }
  for (std::size_t n = 0; n < space.sections.size(); ++n) {
    std::vector<std::uint32_t>& rim = space.sections[n].rim;
    const auto first_new = rim.begin() + static_cast<std::ptrdiff_t>(rim_before[n]);
    // Those before may have been enclosed by the new ones.
    const auto kept = std::remove_if(rim.begin(), first_new, [&](std::size_t voxel) { return !on_rim(voxel); });
    const auto end = std::move(first_new, rim.end(), kept);
    rim.erase(end, rim.end());
    std::inplace_merge(rim.begin(), kept, rim.end());
  }
}

/// Slabs or runs with all that belongs to them.
void AirSpaces::lay_out(Space& space) {
  faces_.clear();
  groups_.clear();
  slabs_.clear();
  runs_.clear();
  if (space.sections.empty())
    add_runs(space.voxels);
  else
    add_slabs(space);
  faces_.shrink_to_fit();
  space.faces.swap(faces_);
  space.groups.swap(groups_);
  space.slabs.swap(slabs_);
  space.runs.swap(runs_);
}

/// Lays all spaces' parts one after the other, the index of each counting through.
void AirSpaces::put_together() {
  faces_.clear();
  groups_.clear();
  slabs_.clear();
  runs_.clear();
  std::size_t all_faces = 0;
  for (const Space& space : spaces_) all_faces += space.faces.size();
  faces_.reserve(all_faces);
  for (const Space& space : spaces_) {
    const std::size_t first_face = faces_.size(), first_group = groups_.size();
    const int first_slab = static_cast<int>(slabs_.size());
    for (AirFace face : space.faces) {
      face.group += static_cast<int>(first_group);
      face.slab += first_slab;
      faces_.push_back(face);
    }
    groups_.insert(groups_.end(), space.groups.begin(), space.groups.end());
    for (AirSlab slab : space.slabs) {
      slab.shift(first_face, first_group);
      slabs_.push_back(slab);
    }
    runs_.insert(runs_.end(), space.runs.begin(), space.runs.end());
  }
  colours_.clear();
  colour_slabs();
  for (std::vector<float>& couplings : coupling_w_k_) couplings.assign(faces_.size(), 0.0F);
}

void AirSpaces::add_slabs(const Space& space) {
  const Layout& layout = wall_.layout();
  const Grid& grid = wall_.grid();
  const Axis along = space.along;
  double height_m = 0.0;
  if (along == Axis::y) {
    Section whole;
    for (const Section& section : space.sections) join(whole, section);
    height_m = extent_of(wall_, whole, Axis::y).mirrored_m();
  }
  parts_.resize(std::max(parts_.size(), space.sections.size()));
  crew_.each(static_cast<int>(space.sections.size()), [&](int n) {
    const Section& section = space.sections[static_cast<std::size_t>(n)];
    Part& part = parts_[static_cast<std::size_t>(n)];
    part.faces.clear();
    part.groups.clear();
    AirSlab& slab = part.slab = {};
    slab.height_m = height_m;  // of an upright cable's; others have their own
    slab.along = along;
    slab.length_m = grid.width_m(along, n);
    for (const std::size_t voxel : section.rim) add_faces(voxel, part);
    if (part.faces.empty()) return;
    // By voxel: then all faces of one lie beside each other, and the halves of the wall one after the other.
    std::stable_sort(part.faces.begin(), part.faces.end(),
                     [](const AirFace& a, const AirFace& b) { return a.voxel < b.voxel; });
    const auto middle = std::find_if(part.faces.begin(), part.faces.end(),
                                     [&](const AirFace& face) { return layout.in_upper_half(face.voxel); });
    slab.middle_face = static_cast<std::size_t>(middle - part.faces.begin());
    slab.last_face = part.faces.size();
    slab.last_group = part.groups.size();
    finish_slab(part, section);
  });
  for (std::size_t n = 0; n < space.sections.size(); ++n)
    if (!parts_[n].faces.empty()) append(parts_[n]);
}

/// A slab after those before, the indices of its faces and groups counting on.
void AirSpaces::append(const Part& part) {
  const int group = static_cast<int>(groups_.size()), slab = static_cast<int>(slabs_.size());
  slabs_.push_back(part.slab);
  slabs_.back().shift(faces_.size(), groups_.size());
  for (AirFace face : part.faces) {
    face.group += group;
    face.slab = slab;
    faces_.push_back(face);
  }
  groups_.insert(groups_.end(), part.groups.begin(), part.groups.end());
}

/// Faces towards solid voxels across the cable; those along it are left to conduction, so that slabs share no voxel.
/// A cable's voxels together have its own outline, a side's faces the surface that they stand for.
void AirSpaces::add_faces(std::size_t voxel, Part& part) const {
  for (const Axis axis : {Axis::x, Axis::y, Axis::z}) {
    if (axis == part.slab.along) continue;
    for (const int sign : {-1, 1}) {
      const std::size_t solid = voxel + sign * wall_.layout().stride(axis);
      if (const SheathVoxel* const sheath = wall_.sheath_of(solid)) {
        add_face(part, {voxel, axis, sign, sheath->outline_m / sheath->staircase_m}, sheath->cable);
      } else if (is_side(wall_, voxel, axis, sign)) {
        part.sides.clear();
        add_run_of_sides(wall_, part.slab.along, {voxel, axis, sign}, part.sides);
        for (const SideFace& side : part.sides) add_face(part, side, -1);
      }
    }
  }
}

void AirSpaces::add_face(Part& part, const SideFace& side, int cable) const {
  const Grid& grid = wall_.grid();
  const std::array<int, 3> ijk = wall_.layout().place(side.air);
  const std::size_t solid = side.air + side.sign * wall_.layout().stride(side.normal);
  const int group = group_of(part, cable, side.normal, side.sign < 0, wall_.emissivity(solid));
  const double area_m2 = side.share * grid.face_m2(side.normal, ijk);
  part.groups[static_cast<std::size_t>(group)].area_m2 += area_m2;
  part.faces.push_back({solid, static_cast<float>(area_m2),
                        static_cast<float>(0.5 * grid.width_m(side.normal, ijk[index_of(side.normal)] + side.sign)),
                        group, 0});
}

int AirSpaces::group_of(Part& part, int cable, Axis normal, bool looks_up, double emissivity) {
  const AirGroup wanted{cable, normal, looks_up, 0.0, emissivity, 1.0};
  for (std::size_t g = 0; g < part.groups.size(); ++g) {
    const AirGroup& group = part.groups[g];
    if (group.emissivity == emissivity && same_side(group, wanted)) return static_cast<int>(g);
  }
  part.groups.push_back(wanted);
  return static_cast<int>(part.groups.size()) - 1;
}

/// What the slab's size is for moving air, and how its sides see each other. Beyond a cut lie mirror images: sides that
/// reach it are larger, others and cables there are more than once.
void AirSpaces::finish_slab(Part& part, const Section& section) const {
  AirSlab& slab = part.slab;
  std::vector<AirGroup>& groups = part.groups;
  const Axis across = slab.along == Axis::z ? Axis::x : Axis::z;
  const auto third = static_cast<Axis>(3 - index_of(slab.along) - index_of(across));
  const Extent thickness = extent_of(wall_, section, across), other = extent_of(wall_, section, third);
  slab.thickness_m = thickness.mirrored_m();
  if (slab.along != Axis::y) slab.height_m = other.mirrored_m();
  double section_m2 = static_cast<double>(section.area) / area_parts_m2, cable_m2 = 0.0, side_m2 = 0.0;
  for (const AirFace& face : part.faces) {
    const SheathVoxel* const sheath = wall_.sheath_of(face.voxel);
    if (!sheath) continue;
    section_m2 += sheath->section_m2 * face.area_m2 / (sheath->outline_m * slab.length_m);
  }
  std::vector<RadiantSide> sides;
  std::vector<std::size_t> side_of;
  for (std::size_t g = 0; g < groups.size(); ++g) {
    const AirGroup& group = groups[g];
    (group.cable >= 0 ? cable_m2 : side_m2) += group.area_m2;
    std::size_t of = 0;  // a side of several emissivities is one side
    while (of < side_of.size() && !same_side(groups[side_of[of]], group)) ++of;
    if (of == side_of.size()) {
      side_of.push_back(g);
      sides.push_back({0.0, 1.0});
      const std::array<std::pair<Axis, const Extent*>, 2> extents{{{across, &thickness}, {third, &other}}};
      for (const auto& [axis, extent] : extents)
        if (group.cable >= 0 || group.normal == axis) sides.back().count *= extent->images();
    }
    double images = 1.0;
    if (group.cable < 0) images = group.normal == across ? other.images() : thickness.images();
    sides[of].area_m2 += images * group.area_m2;
  }
  const std::vector<double> views = radiant_views(sides);
  for (AirGroup& group : groups) {
    std::size_t of = 0;
    while (!same_side(groups[side_of[of]], group)) ++of;
    group.view = views[of];
  }
  // The space's own diameter is the hydraulic one, four sections by the outline: right for a circle, 7 % less for a
  // square than a round cable in it feels when air does not move (shape factor 2 pi / ln(1.08 w / D), Incropera, table
  // 4.1), and it does not grow with how long a flat space is.
  slab.cable_m = cable_m2 / slab.length_m / std::numbers::pi;
  slab.enclosure_m = side_m2 > 0.0 ? std::max(4.0 * section_m2 * slab.length_m / side_m2, slab.cable_m) : slab.cable_m;
}

/// Slabs of one space share no voxel (add_faces). Those of two spaces may where the spaces come close to each other.
bool AirSpaces::may_share_voxels() const {
  std::vector<Section> boxes;
  for (const Space& space : spaces_) {
    if (space.slabs.empty()) continue;
    Section whole;
    for (const Section& section : space.sections) join(whole, section);
    for (const Section& other : boxes) {
      bool close = true;
      for (int d = 0; d < 3; ++d)
        close = close && whole.low[d] - 1 <= other.high[d] + 1 && other.low[d] - 1 <= whole.high[d] + 1;
      if (close) return true;
    }
    boxes.push_back(whole);
  }
  return false;
}

/// A solid voxel has six faces, so at most six slabs touch it; how many colours it takes is not limited.
void AirSpaces::colour_slabs() {
  if (!slabs_.empty() && !may_share_voxels()) {
    colours_.emplace_back(slabs_.size());
    std::iota(colours_[0].begin(), colours_[0].end(), 0);
    return;
  }
  constexpr int none = -1;
  std::unordered_map<std::size_t, std::array<int, 6>> touching;  // colours of the slabs that touch a voxel
  touching.reserve(faces_.size());
  std::vector<std::size_t> taken_for;  // per colour: the slab that last found it beside itself, plus one
  for (std::size_t s = 0; s < slabs_.size(); ++s) {
    AirSlab& slab = slabs_[s];
    for (std::size_t f = slab.first_face; f < slab.last_face; ++f) {
      const auto [found, is_new] = touching.try_emplace(faces_[f].voxel);
      if (is_new) found->second.fill(none);
      for (const int colour : found->second)
        if (colour != none) taken_for[static_cast<std::size_t>(colour)] = s + 1;
    }
    const auto free = std::find_if(taken_for.begin(), taken_for.end(), [&](std::size_t of) { return of != s + 1; });
    slab.colour = static_cast<int>(free - taken_for.begin());
    if (free == taken_for.end()) {
      taken_for.push_back(0);
      colours_.emplace_back();
    }
    for (std::size_t f = slab.first_face; f < slab.last_face; ++f) {
      if (f > slab.first_face && faces_[f].voxel == faces_[f - 1].voxel) continue;
      std::array<int, 6>& colours = touching[faces_[f].voxel];
      *std::find(colours.begin(), colours.end(), none) = slab.colour;
    }
    colours_[static_cast<std::size_t>(slab.colour)].push_back(static_cast<int>(s));
  }
}

void AirSpaces::add_runs(const std::vector<std::uint32_t>& space) {
  const Layout& layout = wall_.layout();
  const Grid& grid = wall_.grid();
  for (const std::size_t voxel : space)
    for (const Axis axis : {Axis::x, Axis::y, Axis::z}) {
      if (wall_.is_air(voxel - layout.stride(axis))) continue;  // not the first of its run
      const Stretch along = stretch_through(wall_, voxel, axis);
      if (wall_.outside_index(along.before) >= 0 || wall_.outside_index(along.after) >= 0) continue;  // open
      if (along.extent.cuts == 2) continue;
      AirRun run{};
      run.axis = axis;
      run.first = along.first;
      run.count = along.count;
      run.length_m = static_cast<float>(along.extent.mirrored_m());
      // Beyond a cut stands the mirror image of the run's one side.
      run.side[0] = wall_.is_solid(along.before) ? along.before : along.after;
      run.side[1] = wall_.is_solid(along.after) ? along.after : along.before;
      for (int n = 0; n < 2; ++n) {
        run.emissivity[n] = static_cast<float>(wall_.emissivity(run.side[n]));
        const int place = layout.place(run.side[n])[index_of(axis)];
        run.half_m[n] = static_cast<float>(0.5 * grid.width_m(axis, place));
      }
      const std::size_t middle = run.first + run.count / 2 * layout.stride(axis);
      double across_m = unlimited_m;
      for (const Axis other : {Axis::x, Axis::y, Axis::z}) {
        if (other == axis) continue;
        const double other_m = stretch_through(wall_, middle, other).extent.mirrored_m();
        across_m = std::min(across_m, other_m);
        if (other == Axis::y) run.height_m = static_cast<float>(other_m);
      }
      run.across_m = static_cast<float>(across_m);
      runs_.push_back(run);
    }
}

}  // namespace warmbay::sim
