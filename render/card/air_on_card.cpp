// Faces come sorted by slab and voxel: an invocation owns a voxel, so that no two write to one, and every sum has one
// order. All of this is done anew whenever voids have grown, so it goes through the faces in line and sorts nothing
// that is sorted. The structures mirror shaders/heat/slab.glsl, air_flow.comp and runs.comp.

#include "render/card/air_on_card.hpp"

#include <algorithm>
#include <cmath>

namespace warmbay::render::card {
namespace {

struct Slab {
  int first_face, last_face, first_group, last_group, first_voxel, last_voxel, along;
  float length_m, thickness_m, height_m, cable_m, enclosure_m;
};
struct Group {
  int cable, normal, looks_up, first, last;
  float area_m2, emissivity, view;
};
struct Face {
  int voxel, group;
  float area_m2, half_m;
};
struct Entry {  // a voxel and its faces
  int voxel, first, last, unused;
};
struct Run {
  int first, count, axis;
  std::array<int, 2> side_at;
  std::array<float, 2> side_width_m;
  float area_m2, length_m, height_m, exchange;
  int place;
};

int as_int(std::size_t n) {
  return static_cast<int>(n);
}
float as_float(double x) {
  return static_cast<float>(x);
}

}  // namespace

void AirOnCard::take(const sim::Conduction& wall, const Kernels& kernels) {
  take_slabs(wall.air());
  take_touched(wall.air());
  take_runs(wall);
  couplings_.store_with_room(std::vector<float>(2 * face_count_, 0.0F));
  nodes_.store_with_room(std::vector<float>(2 * slab_count_, 0.0F));
  kernels.air_flow.set("count", as_int(touched_count_));
  kernels.runs.set("count", as_int(run_count_));
}

void AirOnCard::take_slabs(const sim::AirSpaces& air) {
  std::vector<Face> faces;
  std::vector<Slab> slabs;
  std::vector<Entry> voxels;
  face_count_ = air.faces().size();
  faces.reserve(face_count_);
  voxels.reserve(face_count_);
  for (const sim::AirFace& face : air.faces())
    faces.push_back({as_int(face.voxel), face.group, face.area_m2, face.half_m});
  for (const sim::AirSlab& slab : air.slabs()) {
    const int first_voxel = as_int(voxels.size());
    for (std::size_t f = slab.first_face; f < slab.last_face; ++f) {
      if (f == slab.first_face || faces[f].voxel != faces[f - 1].voxel)
        voxels.push_back({faces[f].voxel, as_int(f), as_int(f), 0});
      voxels.back().last = as_int(f) + 1;
    }
    slabs.push_back({as_int(slab.first_face), as_int(slab.last_face), as_int(slab.first_group), as_int(slab.last_group),
                     first_voxel, as_int(voxels.size()), index_of(slab.along), as_float(slab.length_m),
                     as_float(slab.thickness_m), as_float(slab.height_m), as_float(slab.cable_m),
                     as_float(slab.enclosure_m)});
  }
  take_groups(air);
  std::vector<int> order;
  colour_from_.assign(1, 0);
  for (const std::vector<int>& colour : air.colours()) {
    order.insert(order.end(), colour.begin(), colour.end());
    colour_from_.push_back(as_int(order.size()));
  }
  slab_count_ = slabs.size();
  slabs_.store_with_room(slabs);
  faces_.store_with_room(faces);
  voxels_.store_with_room(voxels);
  order_.store_with_room(order);
}

/// Groups, and the faces of each one after the other.
void AirOnCard::take_groups(const sim::AirSpaces& air) {
  std::vector<int> next(air.groups().size() + 1, 0), by_group(air.faces().size());
  for (const sim::AirFace& face : air.faces()) ++next[static_cast<std::size_t>(face.group) + 1];
  std::vector<Group> groups;
  for (std::size_t g = 0; g < air.groups().size(); ++g) {
    const sim::AirGroup& group = air.groups()[g];
    next[g + 1] += next[g];
    groups.push_back({group.cable, index_of(group.normal), group.looks_up ? 1 : 0, next[g], next[g + 1],
                      as_float(group.area_m2), as_float(group.emissivity), as_float(group.view)});
  }
  for (std::size_t f = 0; f < by_group.size(); ++f)
    by_group[static_cast<std::size_t>(next[static_cast<std::size_t>(air.faces()[f].group)]++)] = as_int(f);
  groups_.store_with_room(groups);
  by_group_.store_with_room(by_group);
}

void AirOnCard::take_touched(const sim::AirSpaces& air) {
  std::vector<std::array<int, 3>> all;  // voxel, face, slab
  all.reserve(face_count_);
  for (std::size_t f = 0; f < face_count_; ++f) {
    const sim::AirFace& face = air.faces()[f];
    all.push_back({as_int(face.voxel), as_int(f), face.slab});
  }
  if (air.colours().size() > 1) std::sort(all.begin(), all.end());  // else no voxel lies in two slabs
  std::vector<Entry> touched;
  std::vector<std::array<int, 2>> touches;
  touches.reserve(face_count_);
  for (const auto& [voxel, face, slab] : all) {
    if (touched.empty() || touched.back().voxel != voxel)
      touched.push_back({voxel, as_int(touches.size()), as_int(touches.size()), 0});
    touches.push_back({face, slab});
    touched.back().last = as_int(touches.size());
  }
  touched_count_ = touched.size();
  touched_.store_with_room(touched);
  touches_.store_with_room(touches);
}

void AirOnCard::take_runs(const sim::Conduction& wall) {
  const sim::Layout& layout = wall.layout();
  std::vector<Run> runs;
  for (const sim::AirRun& run : wall.air().runs()) {
    const int d = index_of(run.axis);
    const std::array<int, 3> ijk = layout.place(run.first);
    auto width_m = [&](int axis) {
      return wall.padded_widths_m(static_cast<sim::Axis>(axis))[static_cast<std::size_t>(ijk[axis] + 1)];
    };
    const double slim = static_cast<double>(run.length_m) / run.across_m;
    const double exchange =
        1.0 / run.emissivity[0] + 1.0 / run.emissivity[1] - 2.0 + 2.0 / (1.0 + std::sqrt(1.0 + slim * slim) - slim);
    runs.push_back({as_int(run.first),
                    run.count,
                    d,
                    {as_int(run.side[0]), as_int(run.side[1])},
                    {2.0F * run.half_m[0], 2.0F * run.half_m[1]},
                    width_m((d + 1) % 3) * width_m((d + 2) % 3),
                    run.length_m,
                    run.height_m,
                    as_float(exchange),
                    ijk[d] + 1});
  }
  run_count_ = runs.size();
  runs_.store_with_room(runs);
}

void AirOnCard::refresh(const Kernels& kernels, const AirField& field) const {
  run(kernels.air_slab, {&field.rise, &field.codes, &slabs_, &groups_, &faces_, &by_group_, &couplings_, &field.tables},
      slab_count_);
  run(kernels.runs, {&field.rise, &field.resistivity, &field.widths, &runs_, &field.gx, &field.gy, &field.gz},
      groups(run_count_, 64));
}

void AirOnCard::flow(const Kernels& kernels, const AirField& field) const {
  run(kernels.air_nodes, {&field.rise, &slabs_, &faces_, &couplings_, &nodes_}, slab_count_);
  run(kernels.air_flow, {&field.rise, &field.change, &touched_, &touches_, &couplings_, &nodes_},
      groups(touched_count_, 64));
}

void AirOnCard::step(const Kernels& kernels, const AirField& field) const {
  for (std::size_t colour = 0; colour + 1 < colour_from_.size(); ++colour) {
    kernels.air_step.set("order_from", colour_from_[colour]);
    run(kernels.air_step, {&field.rise, &field.change, &field.capacity, &slabs_, &voxels_, &couplings_, &order_},
        static_cast<std::size_t>(colour_from_[colour + 1] - colour_from_[colour]));
  }
}

std::array<std::vector<float>, 2> AirOnCard::save() const {
  std::vector<float> here(2 * face_count_);
  couplings_.fetch(here);
  std::array<std::vector<float>, 2> saved;
  for (std::size_t f = 0; f < face_count_; ++f)
    for (std::size_t node = 0; node < 2; ++node) saved[node].push_back(here[2 * f + node]);
  return saved;
}

void AirOnCard::restore(const std::array<std::vector<float>, 2>& couplings) const {
  if (couplings[0].size() != face_count_) return;
  std::vector<float> here(2 * face_count_);
  for (std::size_t f = 0; f < face_count_; ++f)
    for (std::size_t node = 0; node < 2; ++node) here[2 * f + node] = couplings[node][f];
  couplings_.put<float>(0, here);
}

}  // namespace warmbay::render::card
