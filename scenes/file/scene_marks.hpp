#pragma once
// Where the parts of a scene stand in its file, kept while it is read so that what only shows once all of it is known
// (a name that refers to nothing, two cables that overlap) can still be reported where it was written.

#include <array>
#include <string>
#include <vector>

#include "scenes/read/toml_reader.hpp"

namespace warmbay::scenes {

/// What a name may name.
enum class Named { material, surroundings, cable_type, cable, thermocouple, device };

/// A name in use, or a name being given. whose: what faults call its owner, such as "layer 'cavity'".
struct NameMark {
  Named kind;
  std::string name;
  Mark mark;
  std::string whose;
};

struct BoxMark {
  std::string label;
  std::array<Mark, 3> range;  // x_mm, y_mm, z_mm
  bool fine = false;          // read without a fault, so that its geometry can be checked
};

struct CableMark {
  std::string label;
  Mark table;
  std::vector<Mark> corners;
  Mark squeeze_at;
  bool fine = false;
};

struct SpotMark {
  std::string label;
  Mark place;  // of along_mm or at_mm
  bool fine = false;
};

/// A key that only means something where a branch supplies the current.
struct BranchKey {
  std::string key;
  std::string whose;
  Mark mark;
};

struct SceneMarks {
  std::vector<NameMark> references;
  std::vector<NameMark> given;
  Mark grid;
  Mark wall;
  Mark depth;  // of depth_mm, else of [wall]
  bool wall_fine = false;
  std::vector<Mark> layers;
  std::vector<BoxMark> boxes;
  std::vector<std::string> faulty_types;  // of [[cable_type]]: sizes that cannot be trusted
  std::vector<CableMark> cables;
  std::vector<SpotMark> thermocouples;
  std::vector<BranchKey> branch_keys;
  bool supply_kinds_fine = true;  // of [supply] and the steps
};

}  // namespace warmbay::scenes
