#pragma once
// A published case as data: the scene that it is, what is read off that scene, what the source says it must be.

#include <array>
#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "scenes/data/unknown.hpp"
#include "scenes/file/scene_marks.hpp"
#include "scenes/scene.hpp"

namespace warmbay::scenes {

/// What a check reads.
enum class Quantity : std::uint8_t {
  thermocouple_c,     // a thermocouple
  hottest_c,          // a cable's hottest conductor point
  drop_v,             // along a cable's loaded conductors
  power_w,            // that a cable gives off
  conductor_mm2,      // of one loaded conductor
  core_mk_w,          // a cable's conductors to its sheath's surface, m K/W
  heat_w,             // out of the wall into some surroundings
  heat_w_m2,          // the same per area of surface
  hottest_surface_c,  // that some surroundings touch
  coldest_surface_c,
  resistance_m2k_w,   // between two surroundings, from their temperatures and the heat per area into the second
  limit_a,            // largest steady current at which a cable's conductor keeps to a temperature
  reach_s,            // when a cable's hottest conductor point comes to a temperature, from the start of the scene
  imbalance_percent,  // heat that the books of a scene, played to its end, do not account for
};

struct QuantityRule {
  Quantity what;
  std::string_view word;  // in case files
  std::string_view unit;
  std::optional<Named> of;     // what its `of` names; none: it has no `of`
  bool timed = false;          // read at a moment (with at_min) or off the settled field (without)
  bool needs_celsius = false;  // asks for a temperature to keep to or to come to
};
[[nodiscard]] const QuantityRule& rule_of(Quantity what);
/// The rule of a word of a case file, or nullptr.
[[nodiscard]] const QuantityRule* rule_of(std::string_view word);
[[nodiscard]] std::vector<std::string> quantity_words();

/// What a settled field or a current limit is asked under, where that differs from the scene's first step.
struct Under {
  std::optional<double> ambient_k;  // of all surroundings
  std::optional<double> current_a;
  std::optional<double> limit_k;  // of a cable's conductor, for limit_a
  friend bool operator==(const Under&, const Under&) = default;
};

/// Three refinements of what a check reads, coarse to fine: of the scene's grid, or of the internal step. The check's
/// own number is then the order of accuracy that the three readings show.
struct Refinement {
  std::array<std::shared_ptr<const Scene>, 3> scenes;
  std::array<double, 3> sizes{};  // of voxels or steps, in any unit
  bool steps = false;             // sizes are internal steps, s
  double step_s = 0.0;            // of all three, where sizes are voxels'; 0: as usual
};

/// Why a check is known to lie outside its tolerance, and where: outside these bounds, too, it is a plain failure.
struct Deviation {
  double least = 0.0;
  double most = 0.0;
  std::string why;
};

struct Check {
  std::string name;
  std::string with;                    // what is changed in the case's scene, on one line; empty: nothing
  std::shared_ptr<const Scene> scene;  // so changed; nullptr with every_scene
  Quantity what{};
  std::string of;    // thermocouple, cable or surroundings
  std::string from;  // the warm surroundings of resistance_m2k_w
  std::optional<double> at_s;
  Under under;
  std::optional<Under> relative_to;             // limit_a: the result is the ratio to the limit under these
  std::shared_ptr<const Scene> relative_scene;  // of relative_to: the check's own, or another variant
  std::optional<Refinement> order;
  double less = 0.0;  // ours = (what is read - less) * times
  double times = 1.0;
  std::string unit;
  double published = 0.0;
  double least = 0.0;  // what ours may be
  double most = 0.0;
  std::optional<double> percent;  // the tolerance was given as a share of what is published
  bool band = false;              // it was given as [least, most]
  std::optional<Deviation> deviates;
};

/// One thing that a case leaves open, and what its scene becomes at the two ends of its range (or in one other way).
/// The case's checks are read there too, to show what it does to them; nothing is held against what comes out.
struct Variation {
  std::string name;
  std::string range;   // in words
  std::string source;  // of the range
  struct End {
    std::shared_ptr<const Scene> scene;
    std::optional<Unknown> unknown;  // and scaled or shifted by it, at a value of its range
    double value = 1.0;
  };
  std::vector<End> ends;  // two, or one
};

struct Case {
  std::string title;
  std::string group;
  std::string source;
  std::string mark;          // how sure the published numbers are: one of case_marks
  std::string why;           // why the tolerance is what it is
  bool every_scene = false;  // every scene that ships, each of them
  std::string scene_file;    // beside the case file; empty with every_scene
  double every_s = 5.0;      // spacing of what is read while the scene plays
  std::vector<Check> checks;
  std::vector<Variation> variations;
};

inline constexpr std::string_view case_marks[] = {"published", "computed", "from memory", "common practice"};

}  // namespace warmbay::scenes
