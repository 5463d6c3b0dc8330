// Finds the connected spaces of air, decides how each is crossed, and keeps the couplings up to date.

#include "sim/air_spaces.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <numbers>
#include <unordered_map>

#include "sim/conduction.hpp"
#include "sim/film.hpp"

namespace warmbay::sim {
namespace {

double radiant_w_m2k(double mean_k) {
  return 4.0 * stefan_boltzmann_w_m2k4 * mean_k * mean_k * mean_k;
}

double width_m(const Grid& grid, Axis axis, int n) {
  const std::vector<double>& edges = grid.edges_m(axis);
  return edges[static_cast<std::size_t>(n) + 1] - edges[static_cast<std::size_t>(n)];
}

double area_across_m2(const Grid& grid, Axis normal, const std::array<int, 3>& ijk) {
  const int a = (index_of(normal) + 1) % 3, b = (index_of(normal) + 2) % 3;
  return width_m(grid, static_cast<Axis>(a), ijk[a]) * width_m(grid, static_cast<Axis>(b), ijk[b]);
}

/// Extent of some voxels along an axis, m.
double extent_m(const Grid& grid, const Layout& layout, const std::vector<std::uint32_t>& voxels, Axis axis) {
  int low = 1 << 30, high = -1;
  for (const std::size_t voxel : voxels) {
    const int n = layout.place(voxel)[index_of(axis)];
    low = std::min(low, n);
    high = std::max(high, n);
  }
  return grid.edges_m(axis)[static_cast<std::size_t>(high) + 1] - grid.edges_m(axis)[static_cast<std::size_t>(low)];
}

}  // namespace

AirSpaces::AirSpaces(const Conduction& wall) : wall_(wall) {
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
  std::vector<char> changed(spaces_.size(), 0);
  for (const auto& [voxel, joins] : joined) {
    spaces_[static_cast<std::size_t>(joins)].voxels.push_back(static_cast<std::uint32_t>(voxel));
    changed[static_cast<std::size_t>(joins)] = 1;
  }
  bool runs_changed = false;
  for (std::size_t n = 0; n < spaces_.size(); ++n) {
    if (!changed[n]) continue;
    std::vector<std::uint32_t>& all = spaces_[n].voxels;
    const std::size_t before = n == 0 ? 0 : spaces_[n - 1].voxels.front();
    std::sort(all.begin(), all.end());
    if (n > 0 && all.front() < before) return renew(), true;  // the order of the spaces would change
    runs_changed = runs_changed || !spaces_[n].runs.empty();
    work_out(spaces_[n]);
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

/// Decides how a space is crossed: round its cables by slabs along the axis of most of them, without any by runs.
void AirSpaces::work_out(Space& space) {
  const Layout& layout = wall_.layout();
  std::array<double, 3> cable_m2{};  // of cable surface seen, by the cable's axis
  for (const std::size_t voxel : space.voxels)
    for (const Axis axis : {Axis::x, Axis::y, Axis::z})
      for (const int sign : {-1, 1})
        if (const SheathVoxel* const sheath = wall_.sheath_of(voxel + sign * layout.stride(axis)))
          cable_m2[index_of(sheath->along)] += area_across_m2(wall_.wall().grid, axis, layout.place(voxel));
  faces_.clear();
  groups_.clear();
  slabs_.clear();
  runs_.clear();
  const auto most = std::max_element(cable_m2.begin(), cable_m2.end());
  if (*most > 0.0)
    add_slabs(space.voxels, static_cast<Axis>(most - cable_m2.begin()));
  else
    add_runs(space.voxels);
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
      slab.first_face += first_face;
      slab.last_face += first_face;
      slab.middle_face += first_face;
      slab.first_group += first_group;
      slab.last_group += first_group;
      slabs_.push_back(slab);
    }
    runs_.insert(runs_.end(), space.runs.begin(), space.runs.end());
  }
  colours_.clear();
  colour_slabs();
  for (std::vector<float>& couplings : coupling_w_k_) couplings.assign(faces_.size(), 0.0F);
}

void AirSpaces::add_slabs(const std::vector<std::uint32_t>& space, Axis along) {
  const Layout& layout = wall_.layout();
  const Grid& grid = wall_.wall().grid;
  const int d = index_of(along);
  std::vector<std::vector<std::uint32_t>> by_slab(grid.edges_m(along).size() - 1);
  for (const std::uint32_t voxel : space) by_slab[static_cast<std::size_t>(layout.place(voxel)[d])].push_back(voxel);
  for (std::size_t n = 0; n < by_slab.size(); ++n) {
    if (by_slab[n].empty()) continue;
    AirSlab slab;
    slab.along = along;
    slab.length_m = width_m(grid, along, static_cast<int>(n));
    slab.first_face = faces_.size();
    slab.first_group = groups_.size();
    slab.last_group = groups_.size();
    slab.thickness_m = extent_m(grid, layout, by_slab[n], along == Axis::z ? Axis::x : Axis::z);
    slab.height_m = extent_m(grid, layout, by_slab[n], Axis::y);
    for (const std::size_t voxel : by_slab[n]) add_faces(voxel, slab);
    slab.last_face = faces_.size();
    if (slab.last_face == slab.first_face) continue;
    const auto middle =
        std::stable_partition(faces_.begin() + static_cast<std::ptrdiff_t>(slab.first_face), faces_.end(),
                              [&](const AirFace& face) { return !layout.in_upper_half(face.voxel); });
    slab.middle_face = static_cast<std::size_t>(middle - faces_.begin());
    finish_slab(slab);
    slabs_.push_back(slab);
  }
}

/// Faces towards solid voxels across the cable; those along it are left to conduction, so that slabs share no voxel.
void AirSpaces::add_faces(std::size_t voxel, AirSlab& slab) {
  const Layout& layout = wall_.layout();
  const Grid& grid = wall_.wall().grid;
  const std::array<int, 3> ijk = layout.place(voxel);
  for (const Axis axis : {Axis::x, Axis::y, Axis::z}) {
    if (axis == slab.along) continue;
    for (const int sign : {-1, 1}) {
      const std::size_t solid = voxel + sign * layout.stride(axis);
      if (!wall_.is_solid(solid) || wall_.is_air(solid)) continue;
      const SheathVoxel* sheath = wall_.sheath_of(solid);
      const int group = group_of(slab, sheath ? sheath->cable : -1, axis, sign < 0, wall_.emissivity(solid));
      slab.last_group = groups_.size();
      const double area_m2 = area_across_m2(grid, axis, ijk);
      groups_[static_cast<std::size_t>(group)].area_m2 += area_m2;
      faces_.push_back({solid, static_cast<float>(area_m2),
                        static_cast<float>(0.5 * width_m(grid, axis, ijk[index_of(axis)] + sign)), group,
                        static_cast<int>(slabs_.size())});
    }
  }
}

int AirSpaces::group_of(const AirSlab& slab, int cable, Axis normal, bool looks_up, double emissivity) {
  for (std::size_t g = slab.first_group; g < groups_.size(); ++g) {
    const AirGroup& group = groups_[g];
    const bool same_side = cable < 0 && group.normal == normal && group.looks_up == looks_up;
    if (group.cable == cable && group.emissivity == emissivity && (cable >= 0 || same_side)) return static_cast<int>(g);
  }
  groups_.push_back({cable, normal, looks_up, 0.0, emissivity, 1.0});
  return static_cast<int>(groups_.size()) - 1;
}

void AirSpaces::finish_slab(AirSlab& slab) {
  double cable_m2 = 0.0, side_m2 = 0.0;
  for (std::size_t g = slab.first_group; g < slab.last_group; ++g)
    (groups_[g].cable >= 0 ? cable_m2 : side_m2) += groups_[g].area_m2;
  slab.cable_m = cable_m2 / slab.length_m / std::numbers::pi;
  slab.enclosure_m = std::max(side_m2 / slab.length_m / std::numbers::pi, slab.cable_m);
  // Carroll's factors: F = 1 / (1 - A F / sum of A F), by repetition. Where one side outweighs all others there is no
  // solution; the factor then stops at a value that is as good as infinite.
  constexpr double largest_view = 50.0;
  for (int round = 0; round < 200; ++round) {
    double sum = 0.0;
    for (std::size_t g = slab.first_group; g < slab.last_group; ++g) sum += groups_[g].area_m2 * groups_[g].view;
    for (std::size_t g = slab.first_group; g < slab.last_group; ++g) {
      const double share = groups_[g].area_m2 * groups_[g].view / sum;
      groups_[g].view = std::min(largest_view, 1.0 / std::max(1.0 - share, 1.0 / largest_view));
    }
  }
}

void AirSpaces::colour_slabs() {
  std::unordered_map<std::size_t, std::uint64_t> touching;  // colours of the slabs that touch a voxel, as bits
  touching.reserve(faces_.size());
  for (std::size_t s = 0; s < slabs_.size(); ++s) {
    AirSlab& slab = slabs_[s];
    std::uint64_t used = 0;
    for (std::size_t f = slab.first_face; f < slab.last_face; ++f) used |= touching[faces_[f].voxel];
    slab.colour = std::countr_one(used);
    for (std::size_t f = slab.first_face; f < slab.last_face; ++f)
      touching[faces_[f].voxel] |= std::uint64_t{1} << slab.colour;
    colours_.resize(std::max(colours_.size(), static_cast<std::size_t>(slab.colour) + 1));
    colours_[static_cast<std::size_t>(slab.colour)].push_back(static_cast<int>(s));
  }
}

void AirSpaces::refresh_slab(std::size_t s, const Field& rise_k) {
  const AirSlab& slab = slabs_[s];
  const std::size_t groups = slab.last_group - slab.first_group;
  constexpr std::size_t most_groups = 32;
  std::array<double, most_groups> mean_k{};
  double cable_k = 0.0, side_k = 0.0, cable_m2 = 0.0, side_m2 = 0.0;
  for (std::size_t f = slab.first_face; f < slab.last_face; ++f) {
    const AirFace& face = faces_[f];
    const double t_k = datum_k + rise_k[face.voxel];
    mean_k[std::min(face.group - slab.first_group, most_groups - 1)] += face.area_m2 * t_k;
    const bool cable = groups_[static_cast<std::size_t>(face.group)].cable >= 0;
    (cable ? cable_k : side_k) += face.area_m2 * t_k;
    (cable ? cable_m2 : side_m2) += face.area_m2;
  }
  for (std::size_t g = 0; g < std::min(groups, most_groups); ++g) mean_k[g] /= groups_[slab.first_group + g].area_m2;
  const double whole_k = (cable_k + side_k) / (cable_m2 + side_m2);
  side_k = side_m2 > 0.0 ? side_k / side_m2 : whole_k;
  cable_k = cable_m2 > 0.0 ? cable_k / cable_m2 : side_k;

  // Moving air round the cable: 2 pi (k_eff - k) / ln(Do/Di) per metre in all, half of the resistance on either side.
  const double air_w_mk = air_at(whole_k).conductivity_w_mk;
  double round_cable_w_k = 0.0;
  if (cable_m2 > 0.0 && side_m2 > 0.0 && slab.enclosure_m > 1.01 * slab.cable_m && slab.along != Axis::y)
    round_cable_w_k = 2.0 * std::numbers::pi * air_w_mk * slab.length_m / std::log(slab.enclosure_m / slab.cable_m) *
                      (annulus_nusselt(cable_k, side_k, slab.cable_m, slab.enclosure_m) - 1.0);
  // And between the upright sides: (Nu - 1) k / d, likewise.
  const Axis across = slab.along == Axis::z ? Axis::x : Axis::z;
  double front_k = side_k, back_k = side_k;
  for (std::size_t g = 0; g < std::min(groups, most_groups); ++g) {
    const AirGroup& group = groups_[slab.first_group + g];
    if (group.cable < 0 && group.normal == across) (group.looks_up ? front_k : back_k) = mean_k[g];
  }
  const double between_sides_w_m2k =
      (layer_nusselt(front_k, back_k, slab.thickness_m, slab.height_m) - 1.0) * air_w_mk / slab.thickness_m;

  double spread_m2 = 0.0;  // of the sides, each weighted with its share of the plume
  auto plume = [&](const AirGroup& group) {
    return group.normal != Axis::y ? plume_beside : group.looks_up ? plume_below : plume_above;
  };
  for (std::size_t g = slab.first_group; g < slab.last_group; ++g)
    if (groups_[g].cable < 0) spread_m2 += groups_[g].area_m2 * plume(groups_[g]);

  const double black_w_m2k = radiant_w_m2k(whole_k);
  for (std::size_t f = slab.first_face; f < slab.last_face; ++f) {
    const AirFace& face = faces_[f];
    const AirGroup& group = groups_[static_cast<std::size_t>(face.group)];
    const double radiant = black_w_m2k / (1.0 / group.view + (1.0 - group.emissivity) / group.emissivity);
    double moving = 2.0 * round_cable_w_k * (group.cable >= 0 ? 1.0 / cable_m2 : plume(group) / spread_m2);
    if (group.cable < 0 && group.normal == across) moving += 2.0 * between_sides_w_m2k;
    const double half_m2k_w = face.half_m / wall_.conductivity_w_mk(face.voxel, group.normal, rise_k[face.voxel]);
    coupling_w_k_[0][f] = static_cast<float>(face.area_m2 / (half_m2k_w + 1.0 / radiant));
    coupling_w_k_[1][f] = moving > 0.0 ? static_cast<float>(face.area_m2 / (half_m2k_w + 1.0 / moving)) : 0.0F;
  }
}

void AirSpaces::add_runs(const std::vector<std::uint32_t>& space) {
  const Layout& layout = wall_.layout();
  const Grid& grid = wall_.wall().grid;
  auto run_of = [&](std::size_t voxel, Axis axis, std::size_t& first, int& count) {
    first = voxel;
    while (wall_.is_air(first - layout.stride(axis))) first -= layout.stride(axis);
    count = 1;
    while (wall_.is_air(first + count * layout.stride(axis))) ++count;
    const int n = layout.place(first)[index_of(axis)];
    const std::vector<double>& edges = grid.edges_m(axis);
    return edges[static_cast<std::size_t>(n + count)] - edges[static_cast<std::size_t>(n)];
  };
  for (const std::size_t voxel : space)
    for (const Axis axis : {Axis::x, Axis::y, Axis::z}) {
      const std::ptrdiff_t stride = layout.stride(axis);
      if (wall_.is_air(voxel - stride)) continue;  // not the first of its run
      AirRun run{};
      run.axis = axis;
      run.length_m = static_cast<float>(run_of(voxel, axis, run.first, run.count));
      const std::size_t before = run.first - stride, after = run.first + run.count * stride;
      if (wall_.outside_index(before) >= 0 || wall_.outside_index(after) >= 0) continue;  // open to surroundings
      if (!wall_.is_solid(before) && !wall_.is_solid(after)) continue;                    // from one cut to the other
      run.emissivity[0] =
          static_cast<float>(wall_.is_solid(before) ? wall_.emissivity(before) : wall_.emissivity(after));
      run.emissivity[1] =
          static_cast<float>(wall_.is_solid(after) ? wall_.emissivity(after) : wall_.emissivity(before));
      const std::size_t middle = run.first + run.count / 2 * stride;
      double across_m = 1e9;
      for (const Axis other : {Axis::x, Axis::y, Axis::z}) {
        std::size_t first = 0;
        int count = 0;
        if (other != axis) across_m = std::min(across_m, run_of(middle, other, first, count));
        if (other == Axis::y && axis != Axis::y) run.height_m = static_cast<float>(run_of(middle, other, first, count));
      }
      run.across_m = static_cast<float>(across_m);
      runs_.push_back(run);
    }
}

double AirSpaces::run_extra_w_mk(const AirRun& run, const Field& rise_k) const {
  const std::ptrdiff_t stride = wall_.layout().stride(run.axis);
  const double first_k = datum_k + rise_k[wall_.is_solid(run.first - stride) ? run.first - stride : run.first];
  const std::size_t last = run.first + (run.count - 1) * stride;
  const double last_k = datum_k + rise_k[wall_.is_solid(last + stride) ? last + stride : last];
  const double mean_k = 0.5 * (first_k + last_k), d = run.length_m, slim = d / run.across_m;
  const double exchange =
      1.0 / run.emissivity[0] + 1.0 / run.emissivity[1] - 2.0 + 2.0 / (1.0 + std::sqrt(1.0 + slim * slim) - slim);
  double extra_w_mk = radiant_w_m2k(mean_k) / exchange * d;
  if (run.axis != Axis::y)
    extra_w_mk += (layer_nusselt(first_k, last_k, d, run.height_m) - 1.0) * air_at(mean_k).conductivity_w_mk;
  return extra_w_mk;
}

}  // namespace warmbay::sim
