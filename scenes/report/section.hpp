#pragma once
// A flat cut through the wall, coloured by temperature, as a PNG with its own scale, legend and notice.

#include <string>

#include "scenes/data/palette.hpp"
#include "sim/snapshot.hpp"

namespace warmbay::scenes {

/// One plane of voxels, and the part of it that is shown.
struct Section {
  sim::Axis across;   // to the right in the picture
  sim::Axis up;       // upwards
  sim::Axis through;  // into it
  double through_m;   // where the plane lies
  sim::Interval across_m;
  sim::Interval up_m;
};

/// The hottest point of a wall: of a conductor, or without cables of the wall's voxels.
struct HottestPoint {
  sim::Vec3 at_m{};
  double temperature_k = 0.0;
};
[[nodiscard]] HottestPoint hottest_point(const sim::Snapshot& snapshot);

/// The wall cut from top to bottom at the hottest point, seen from the side: z to the right, y up.
[[nodiscard]] Section side_section(const sim::Wall& wall, const HottestPoint& hottest);
/// The plane of the hottest point, seen from the room: x to the right, y up.
[[nodiscard]] Section front_section(const sim::Wall& wall, const HottestPoint& hottest);

struct TemperatureRange {
  double low_k;
  double high_k;
};
/// The lowest and highest temperature of the wall's voxels that sections show.
[[nodiscard]] TemperatureRange range_of(const sim::Snapshot& snapshot, const std::vector<Section>& sections);

/// What is written into a picture, from the text catalogue.
struct SectionWords {
  std::string title;
  std::string hottest;  // beside the mark of the hottest point
  std::string notice;   // along the foot
};

/// PNG bytes. Colours run from range.low_k to range.high_k; surroundings stay white; thin lines part the materials.
[[nodiscard]] std::string section_png(const sim::Snapshot& snapshot, const Section& section,
                                      const HottestPoint& hottest, const TemperatureRange& range,
                                      const Palette& palette, const SectionWords& words);

}  // namespace warmbay::scenes
