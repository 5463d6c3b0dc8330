#pragma once
// A published case as a scene file: read, painted, settled, and its readings by name.

#include <memory>
#include <string>

#include "scenes/data/data_files.hpp"
#include "scenes/scene.hpp"
#include "sim/settled.hpp"
#include "sim/wall.hpp"

namespace warmbay::tests {

/// The data that ships in assets/. Fails the test when it has faults.
[[nodiscard]] scenes::DataFiles shipped_data();
/// A scene file; path: from the root of the source tree. Fails the test, naming them, when it has faults.
[[nodiscard]] scenes::Scene read_case(const std::string& path);
/// The same from its text. name: what faults call it.
[[nodiscard]] scenes::Scene read_case_text(const std::string& text, const std::string& name);
[[nodiscard]] std::shared_ptr<const sim::Wall> paint_case(const scenes::Scene& scene);

struct SolvedCase {
  std::shared_ptr<const sim::Wall> wall;
  sim::Settled settled;

  /// Reading of a thermocouple, °C.
  [[nodiscard]] double celsius(const std::string& thermocouple) const;
  /// Heat out of the wall into some surroundings, W.
  [[nodiscard]] double heat_w(const std::string& surroundings) const;
  [[nodiscard]] const sim::SurroundingsReading& side(const std::string& surroundings) const;
};

/// Settles a case under its first step's conditions; fails the test when it does not settle.
[[nodiscard]] SolvedCase solve_case(const scenes::Scene& scene);

}  // namespace warmbay::tests
