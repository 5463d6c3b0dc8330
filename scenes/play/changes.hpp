#pragma once
// What a person may change while an experiment runs: one small type per control. Panels and steps emit them, only the
// player applies them, so undo, saving and lessons all work on the same list. A new type in Change does not compile
// until the player applies it (Player::Impl::carry_out) and changes.cpp says how it is taken back and handed on to a
// new wall.

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "sim/wall.hpp"

namespace warmbay::scenes {

struct SetCurrent {
  double current_a = 0.0;
};
struct SetSurroundings {
  std::string name;
  double temperature_k = 0.0;
};

struct SetSupply {
  sim::SupplyKind kind = sim::SupplyKind::bench;
};
struct SetDevice {
  std::string name;  // empty: none
};
struct SetTripTime {
  sim::TripTime where = sim::TripTime::typical;
};
/// Closes the protective device again after it has opened.
struct ResetDevice {};

using Change = std::variant<SetSupply, SetDevice, SetTripTime, SetCurrent, SetSurroundings, ResetDevice>;

struct TimedChange {
  double time_s = 0.0;
  Change change;
};

/// What a change moves, such as "current": two changes of one control overwrite each other.
[[nodiscard]] std::string control_of(const Change& change);

/// The changes that bring a player of this wall from any conditions to those given, in the order of Change.
[[nodiscard]] std::vector<Change> changes_to(const sim::Wall& wall, const sim::Conditions& conditions);

/// What takes a change back that is made under the conditions `before`. Nothing where there is no way back: for closing
/// a device again (nobody can make one open by asking), and for a name that the wall does not have.
[[nodiscard]] std::optional<Change> inverse(const Change& change, const sim::Wall& wall, const sim::Conditions& before);

}  // namespace warmbay::scenes
