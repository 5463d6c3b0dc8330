// Where the damage is seen best.

#include "render/damage_seen.hpp"

#include <algorithm>
#include <cmath>

namespace warmbay::render {

namespace {

constexpr double side_m = 0.08;  // of the close-up: a hand's width
constexpr double largest_side_m = 0.25;
constexpr double clearly_more = 1.1;  // the close-up stays where it is until another place has so much more hollow

/// The axis of the leg that holds a place of the route.
sim::Axis axis_at(const sim::Cable& cable, double along_m) {
  double from_m = 0.0;
  sim::Axis axis = sim::Axis::x;
  for (int leg = 0; leg + 1 < static_cast<int>(cable.route_m.size()); ++leg) {
    if (leg > 0 && from_m > along_m) break;
    axis = sim::leg_box(cable, leg).along;
    const auto a = static_cast<std::size_t>(sim::index_of(axis));
    const auto l = static_cast<std::size_t>(leg);
    from_m += std::abs(cable.route_m[l + 1][a] - cable.route_m[l][a]);
  }
  return axis;
}

CloseUpPlace place_at(const sim::Snapshot& snapshot, const std::vector<sim::VoxelState>& shown, int cable,
                      double along_m) {
  CloseUpPlace place;
  place.cable = cable;
  place.along_m = along_m;
  place.cut = cut_across(snapshot.wall->cables[static_cast<std::size_t>(cable)], along_m, side_m);
  place.hollow = hollow_on(*snapshot.wall, shown, place.cut);
  return place;
}

std::optional<CloseUpPlace> hottest_place(const sim::Snapshot& snapshot, const std::vector<sim::VoxelState>& shown) {
  int hottest = -1;
  for (std::size_t c = 0; c < snapshot.reading.cables.size(); ++c) {
    if (hottest < 0 ||
        snapshot.reading.cables[c].hottest_k > snapshot.reading.cables[static_cast<std::size_t>(hottest)].hottest_k)
      hottest = static_cast<int>(c);
  }
  if (hottest < 0) return std::nullopt;
  return place_at(snapshot, shown, hottest, snapshot.reading.cables[static_cast<std::size_t>(hottest)].hottest_at_m);
}

}  // namespace

CloseUp cut_across(const sim::Cable& cable, double along_m, double side) {
  return {axis_at(cable, along_m), sim::route_point(cable, along_m), side};
}

void DamageSeen::look(const std::shared_ptr<const sim::Snapshot>& snapshot) {
  if (snapshot == of_) return;
  const bool same_wall = of_ && snapshot && of_->wall == snapshot->wall;
  of_ = snapshot;
  if (same_wall && states_ == snapshot->states) return;
  if (!same_wall) narrow_.reset();
  if (!same_wall || !snapshot || snapshot->states.empty()) place_.reset();
  states_ = snapshot ? snapshot->states : std::vector<sim::VoxelState>{};
  present_ = snapshot ? states_present(*snapshot) : 0;
  if (states_.empty()) return;
  if (!narrow_) narrow_.emplace(snapshot->wall);
  find_place(*snapshot, narrow_->shown(states_));
}

void DamageSeen::find_place(const sim::Snapshot& snapshot, const std::vector<sim::VoxelState>& shown) {
  if (place_) place_->hollow = hollow_on(*snapshot.wall, shown, place_->cut);
  std::optional<CloseUpPlace> best;
  if (has(sim::VoxelState::gone)) {
    for (std::size_t c = 0; c < snapshot.lines.size(); ++c) {
      for (const float along_m : snapshot.lines[c].along_m) {
        CloseUpPlace place = place_at(snapshot, shown, static_cast<int>(c), static_cast<double>(along_m));
        if (!best || place.hollow.area_m2 > best->hollow.area_m2) best = std::move(place);
      }
    }
  }
  if (best && best->hollow.area_m2 > (place_ ? clearly_more * place_->hollow.area_m2 : 0.0)) place_ = best;
  if (!place_) place_ = hottest_place(snapshot, shown);
  // A void that has outgrown the picture gets a larger one.
  while (place_ && place_->hollow.tall_m > 0.8 * place_->cut.side_m && place_->cut.side_m < largest_side_m) {
    place_->cut.side_m *= 1.5;
    place_->hollow = hollow_on(*snapshot.wall, shown, place_->cut);
  }
}

}  // namespace warmbay::render
