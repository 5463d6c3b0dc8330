// A [[family]] is one type of device in several ratings: its band and its three curves are in multiples of the rated
// current. The reader makes a device of every rating, and holds each curve against the band that it claims to keep.

#include "scenes/data/device_reader.hpp"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <limits>
#include <set>

#include "scenes/read/toml_reader.hpp"
#include "scenes/read/whole_file.hpp"

namespace warmbay::scenes {

namespace {

// What a file may hold; a slip of a unit falls outside.
constexpr Bounds currents_a = between(1e-3, 10000.0);
constexpr Bounds multiples = between(1.0, 1000.0);
constexpr Bounds curve_multiples = above(1.0, 1000.0);
constexpr Bounds times_s = between(1e-6, 1e6);
constexpr std::array<std::string_view, 3> curve_keys{"earliest", "typical", "latest"};  // as sim::TripTime

std::string seconds(double time_s) {
  return std::isinf(time_s) ? "never" : fmt::format("after {:g} s", time_s);
}

/// One { at, least_s, most_s } or { at, holds } of a band.
sim::BandPoint read_band_point(const toml::table& table, const std::string& family, Faults& faults) {
  TableReader reader(table, fmt::format("a point of the band of {}", family), faults);
  sim::BandPoint point;
  point.multiple = reader.need_number("at", multiples);
  const auto least_s = reader.number("least_s", times_s);
  point.most_s = reader.number("most_s", times_s);
  if (reader.flag("holds").value_or(false)) {
    if (reader.has("least_s") || reader.has("most_s"))
      reader.fault("holds", "'holds' stands beside a time, expected one or the other");
    point.least_s = std::numeric_limits<double>::infinity();
  } else {
    if (!reader.has("least_s") && !reader.has("most_s"))
      reader.missing("least_s", "that, 'most_s', both of them, or holds = true");
    point.least_s = least_s.value_or(0.0);
  }
  if (reader.fine() && point.most_s && point.least_s > *point.most_s) {
    reader.fault("least_s", fmt::format("'least_s' is {:g} and 'most_s' {:g}, expected the smaller one first",
                                        point.least_s, *point.most_s));
  }
  reader.done();
  return point;
}

std::vector<sim::BandPoint> read_band(TableReader& reader, Faults& faults) {
  std::vector<sim::BandPoint> band;
  if (!reader.has("band")) reader.missing("band", "points such as { at = 1.45, most_s = 3600.0 }");
  for (const toml::table* table : reader.tables("band")) {
    const sim::BandPoint point = read_band_point(*table, reader.label(), faults);
    if (!band.empty() && point.multiple <= band.back().multiple)
      faults.add(mark_of(table->source()), fmt::format("{}: 'band' goes from {:g} to {:g}, expected 'at' that rises",
                                                       reader.label(), band.back().multiple, point.multiple));
    band.push_back(point);
  }
  return band;
}

/// Appends one [multiple, seconds] of a curve; false when it is at fault.
bool read_curve_point(TableReader& reader, const toml::node& node, std::string_view key, sim::TripCurve& curve) {
  const auto* point = node.as_array();
  const Mark mark = mark_of(node.source());
  if (!point || point->size() != 2) {
    reader.fault_at(mark, fmt::format("'{}' holds something else than [multiple of the rated current, seconds]", key));
    return false;
  }
  const auto multiple = reader.number_in(*point->get(0), key, curve_multiples);
  const auto time_s = reader.number_in(*point->get(1), key, times_s);
  if (!multiple || !time_s) return false;
  if (!curve.multiple.empty() && *multiple <= curve.multiple.back()) {
    reader.fault_at(mark, fmt::format("'{}' goes from {:g} to {:g} times the rated current, expected multiples that "
                                      "rise",
                                      key, curve.multiple.back(), *multiple));
    return false;
  }
  if (!curve.time_s.empty() && *time_s > curve.time_s.back()) {
    reader.fault_at(mark, fmt::format("'{}' goes from {:g} s to {:g} s, expected times that fall as the current rises",
                                      key, curve.time_s.back(), *time_s));
    return false;
  }
  curve.multiple.push_back(*multiple);
  curve.time_s.push_back(*time_s);
  return true;
}

sim::TripCurve read_trip_curve(TableReader& reader, std::string_view key) {
  sim::TripCurve curve;
  const toml::node* node = reader.node(key);
  if (node == nullptr) {
    reader.missing(key, "points [[multiple of the rated current, seconds], ...]");
    return curve;
  }
  const toml::array* points = node->as_array();
  if (points == nullptr || points->empty()) {
    reader.fault(
        key, fmt::format("'{}' is no list of points, expected [[multiple of the rated current, seconds], ...]", key));
    return curve;
  }
  for (const toml::node& point : *points)
    if (!read_curve_point(reader, point, key, curve)) break;
  return curve;
}

/// Each curve inside the band, at every point of it. Curves fall and are straight between points, so that is enough.
void check_band(TableReader& reader, const sim::Device& device) {
  for (std::size_t c = 0; c < curve_keys.size(); ++c) {
    for (const sim::BandPoint& point : device.band) {
      const double time_s = sim::opening_time_s(device, static_cast<sim::TripTime>(c), point.multiple * device.rated_a);
      const bool early = time_s < point.least_s;
      if (!early && time_s <= point.most_s.value_or(std::numeric_limits<double>::infinity())) continue;
      const std::string expected = !early                      ? fmt::format("{:g} s at the latest", *point.most_s)
                                   : std::isinf(point.least_s) ? "never"
                                                               : fmt::format("not before {:g} s", point.least_s);
      reader.fault(curve_keys[c], fmt::format("'{}' opens {} at {:g} times the rated current, expected {}",
                                              curve_keys[c], seconds(time_s), point.multiple, expected));
    }
  }
}

/// Earliest before typical before latest, at every point of any of them.
void check_order(TableReader& reader, const sim::Device& device) {
  std::set<double> at;
  for (const sim::TripCurve& curve : device.curves) at.insert(curve.multiple.begin(), curve.multiple.end());
  for (std::size_t c = 0; c + 1 < curve_keys.size(); ++c) {
    for (const double multiple : at) {
      const double current_a = multiple * device.rated_a;
      const double sooner_s = sim::opening_time_s(device, static_cast<sim::TripTime>(c), current_a);
      const double later_s = sim::opening_time_s(device, static_cast<sim::TripTime>(c + 1), current_a);
      if (sooner_s <= later_s) continue;
      reader.fault(curve_keys[c],
                   fmt::format("'{}' opens {} at {:g} times the rated current, expected not after '{}', which opens {}",
                               curve_keys[c], seconds(sooner_s), multiple, curve_keys[c + 1], seconds(later_s)));
      break;
    }
  }
}

std::vector<double> read_ratings(TableReader& reader) {
  std::vector<double> ratings;
  const toml::node* node = reader.node("rated_a");
  if (node == nullptr) {
    reader.missing("rated_a", "a list of rated currents such as [16.0, 20.0]");
    return ratings;
  }
  const toml::array* list = node->as_array();
  if (list == nullptr || list->empty()) {
    reader.fault("rated_a", "'rated_a' is no list of numbers, expected rated currents such as [16.0, 20.0]");
    return ratings;
  }
  for (const toml::node& one : *list)
    if (const auto rated_a = reader.number_in(one, "rated_a", currents_a)) ratings.push_back(*rated_a);
  return ratings;
}

/// "C{}" and 16 into "C16".
std::string name_of(const std::string& pattern, double rated_a) {
  std::string name = pattern;
  return name.replace(name.find("{}"), 2, fmt::format("{:g}", rated_a));
}

void read_family(const toml::table& table, Faults& faults, std::set<std::string>& names, DeviceFile& read) {
  TableReader reader(table, "[[family]]", faults);
  const std::string pattern = reader.need_text("names");
  if (!pattern.empty()) reader.rename(fmt::format("family '{}'", pattern));
  const bool named = pattern.find("{}") != std::string::npos;
  if (!pattern.empty() && !named)
    reader.fault("names", fmt::format("'names' is '{}', expected {{}} in it, where the rated current stands", pattern));
  sim::Device device;
  if (!reader.has("kind")) reader.missing("kind", "'circuit breaker' or 'fuse'");
  device.kind = reader.choice("kind", {"circuit breaker", "fuse"}) == 1 ? "fuse" : "circuit breaker";
  const std::vector<double> ratings = read_ratings(reader);
  device.cools_s = reader.need_number("cools_s", between(1e-3, 86400.0));
  device.band = read_band(reader, faults);
  for (std::size_t c = 0; c < curve_keys.size(); ++c) device.curves[c] = read_trip_curve(reader, curve_keys[c]);
  device.source = reader.need_text("source", Lines::several);
  reader.done();
  if (!reader.fine()) return;
  device.rated_a = 1.0;  // band and curves are in multiples
  check_band(reader, device);
  check_order(reader, device);
  for (const double rated_a : ratings) {
    device.rated_a = rated_a;
    device.name = name_of(pattern, rated_a);
    if (!names.insert(device.name).second)
      reader.fault("rated_a", fmt::format("'{}' is there twice, expected names that differ", device.name));
    if (reader.fine()) read.devices.push_back(device);
  }
}

void read_mains(TableReader& root, Faults& faults, DeviceFile& read) {
  const toml::table* table = root.table("mains");
  if (table == nullptr) {
    if (!root.has("mains")) root.missing("mains", "[mains] with 'source_ohm' and 'source'");
    return;
  }
  TableReader reader(*table, "[mains]", faults);
  read.source_ohm = reader.need_number("source_ohm", between(1e-6, 100.0));
  static_cast<void>(reader.need_text("source", Lines::several));
  reader.done();
}

void read_root(const toml::table& table, Faults& faults, DeviceFile& read) {
  TableReader reader(table, Mark{}, "this file", faults);
  if (!reader.has("format")) reader.missing("format", "format = 1");
  static_cast<void>(reader.whole("format", 1, 1));
  read_mains(reader, faults, read);
  std::set<std::string> names;
  if (!reader.has("family")) reader.missing("family", "[[family]] tables of devices");
  for (const toml::table* family : reader.tables("family")) read_family(*family, faults, names, read);
  reader.done();
}

}  // namespace

DeviceFile read_device_file(const std::filesystem::path& file, std::vector<Fault>& faults) {
  DeviceFile read;
  const auto content = read_whole_file(file, shipped_data_file, faults);
  if (!content) return read;
  Faults found(file.string());
  if (const auto root = parse_toml(*content, found)) read_root(*root, found, read);
  const auto sorted = found.sorted();
  faults.insert(faults.end(), sorted.begin(), sorted.end());
  return read;
}

}  // namespace warmbay::scenes
