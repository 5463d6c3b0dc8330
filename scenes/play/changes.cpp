// What is said once for each type of Change, and what follows from it for all of them.

#include "scenes/play/changes.hpp"

#include <cassert>
#include <type_traits>

#include "scenes/play/overloads.hpp"

namespace warmbay::scenes {

namespace {

/// Adds the changes of one type that bring the conditions about. A type without a function here does not compile.
struct Bring {
  const sim::Wall& wall;
  const sim::Conditions& conditions;
  std::vector<Change>& changes;

  void operator()(std::type_identity<SetSupply>) const { changes.push_back(SetSupply{conditions.supply}); }
  void operator()(std::type_identity<SetDevice>) const {
    const auto device = static_cast<std::size_t>(conditions.device);
    changes.push_back(SetDevice{conditions.device < 0 ? "" : wall.devices[device].name});
  }
  void operator()(std::type_identity<SetTripTime>) const { changes.push_back(SetTripTime{conditions.trip_time}); }
  void operator()(std::type_identity<SetCurrent>) const { changes.push_back(SetCurrent{conditions.current_a}); }
  void operator()(std::type_identity<SetSurroundings>) const {
    assert(wall.surroundings.size() == conditions.surroundings_k.size());
    for (std::size_t i = 0; i < wall.surroundings.size(); ++i)
      changes.push_back(SetSurroundings{wall.surroundings[i].name, conditions.surroundings_k[i]});
  }
  /// Whether a device has opened is no condition but what became of them: another wall begins with its device closed.
  void operator()(std::type_identity<ResetDevice>) const {}
};

template <typename... Types>
void bring_all(std::type_identity<std::variant<Types...>>, const Bring& bring) {
  (bring(std::type_identity<Types>{}), ...);
}

}  // namespace

std::string control_of(const Change& change) {
  return std::visit(Overloads{[](const SetSupply&) -> std::string { return "supply"; },
                              [](const SetDevice&) -> std::string { return "device"; },
                              [](const SetTripTime&) -> std::string { return "trip time"; },
                              [](const SetCurrent&) -> std::string { return "current"; },
                              [](const SetSurroundings& set) { return "surroundings " + set.name; },
                              [](const ResetDevice&) -> std::string { return "reset of the device"; }},
                    change);
}

std::vector<Change> changes_to(const sim::Wall& wall, const sim::Conditions& conditions) {
  std::vector<Change> changes;
  bring_all(std::type_identity<Change>{}, {wall, conditions, changes});
  return changes;
}

std::optional<Change> inverse(const Change& change, const sim::Wall& wall, const sim::Conditions& before) {
  const std::string control = control_of(change);
  for (Change& back : changes_to(wall, before))
    if (control_of(back) == control) return std::move(back);
  return std::nullopt;
}

}  // namespace warmbay::scenes
