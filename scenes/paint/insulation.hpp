#pragma once
// The insulation of a scene, and what of it may be changed: what fills a bay, how thick a layer or a
// foam box is, whether a cable lies in a channel or tight between its neighbours. Pure functions from scene to scene.

#include <string>
#include <vector>

#include "scenes/data/data_files.hpp"
#include "scenes/scene.hpp"

namespace warmbay::scenes {

/// What a scene's wall is filled with, an entry for every layer and every box in the order of the scene. Compare, keep
/// and replay it.
struct Insulation {
  std::vector<std::string> layer_material;
  std::vector<double> layer_thickness_m;
  std::vector<std::string> box_material;  // empty for a box of surroundings
  std::vector<double> box_thickness_m;    // along z
  std::vector<bool> box_there;            // false: the box is gone and what it was painted over shows
  friend bool operator==(const Insulation&, const Insulation&) = default;
};

/// One layer or box that may be changed. index: into the lists of Insulation for layers or for boxes.
struct InsulationPart {
  enum class Kind { layer, box };
  Kind kind = Kind::layer;
  std::size_t index = 0;
  std::string name;
};

struct InsulationChoices {
  /// What may fill a part: `materials` are names, the scene's own first.
  struct Fill {
    InsulationPart part;
    std::vector<std::string> materials;
  };
  /// How thick a part may be, m.
  struct Thickness {
    InsulationPart part;
    double least_m = 0.0;
    double most_m = 0.0;
  };
  /// A box that fits closely round a cable; without it (box_there false) the cable lies tight in what surrounds it.
  struct Channel {
    InsulationPart part;
  };
  std::vector<Fill> fills;
  std::vector<Thickness> thicknesses;
  std::vector<Channel> channels;
};

/// The insulation that a scene has as it stands.
[[nodiscard]] Insulation insulation_of(const Scene& scene);

/// What may be changed in a scene. Fills: layers and boxes of a material that fills bays (data files say which). Their
/// thickness may change as far as cables, channels and instruments in them allow; a box stays within its layer.
[[nodiscard]] InsulationChoices insulation_choices(const Scene& scene, const DataFiles& data);

/// A scene with another insulation, which must be made by insulation_of(scene) and changed only as insulation_choices
/// says (what is out of its range is brought into it, what it does not offer is ignored). With insulation_of(scene) it
/// is the scene. A layer that grows moves everything behind it; a box grows and shrinks about the cable in it, else
/// about its middle.
[[nodiscard]] Scene with_insulation(const Scene& scene, const Insulation& insulation, const DataFiles& data);

}  // namespace warmbay::scenes
