#pragma once
// Reads assets/devices.toml: fuses and circuit breakers by families of one standard and type, and the mains.

#include <filesystem>
#include <vector>

#include "scenes/read/fault.hpp"
#include "sim/supply/device.hpp"

namespace warmbay::scenes {

struct DeviceFile {
  std::vector<sim::Device> devices;  // in the order of the file
  double source_ohm = 0.0;           // of the mains, up to the beginning of the cable
};

/// Devices whose table is at fault are left out; everything that is wrong is added to faults, by line.
[[nodiscard]] DeviceFile read_device_file(const std::filesystem::path& file, std::vector<Fault>& faults);

}  // namespace warmbay::scenes
