// Words for what a surface feels like, and what it does to a hand.

#include "render/touch.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "scenes/read/toml_reader.hpp"
#include "scenes/read/whole_file.hpp"
#include "sim/units.hpp"

namespace warmbay::render {

namespace {

using scenes::Bounds;
using scenes::TableReader;

constexpr Bounds temperatures_c = scenes::above(-273.15, 2000.0);
constexpr Bounds effusivities = scenes::above(0.0, 100000.0);
constexpr Bounds contacts_s = scenes::above(0.0, 1e6);

Feel read_feel(const toml::table& table, scenes::Faults& faults) {
  TableReader reader(table, "[[feel]]", faults);
  Feel feel;
  feel.from_k = sim::kelvin_from_celsius(reader.need_number("from_c", temperatures_c));
  feel.text = reader.need_text("text");
  reader.done();
  return feel;
}

sim::Skin read_hand(const toml::table& table, scenes::Faults& faults) {
  TableReader reader(table, "[hand]", faults);
  sim::Skin hand;
  hand.temperature_k = sim::kelvin_from_celsius(reader.need_number("temperature_c", temperatures_c));
  hand.effusivity_w_s05_m2k = reader.need_number("effusivity_w_s05_m2k", effusivities);
  static_cast<void>(reader.need_text("source"));
  reader.done();
  return hand;
}

/// Appends one [contact time, surface temperature]; false when it is at fault.
bool read_threshold(TableReader& reader, const toml::node& node, std::vector<sim::BurnThreshold>& thresholds) {
  const toml::array* point = node.as_array();
  const scenes::Mark mark = scenes::mark_of(node.source());
  if (point == nullptr || point->size() != 2) {
    reader.fault_at(mark, "'burns' holds something else than [seconds of contact, temperature of the surface in °C]");
    return false;
  }
  const auto contact_s = reader.number_in(*point->get(0), "burns", contacts_s);
  const auto surface_c = reader.number_in(*point->get(1), "burns", temperatures_c);
  if (!contact_s || !surface_c) return false;
  const double surface_k = sim::kelvin_from_celsius(*surface_c);
  if (!thresholds.empty() && (*contact_s <= thresholds.back().contact_s || surface_k >= thresholds.back().surface_k)) {
    reader.fault_at(mark, "'burns' needs times that rise and temperatures that fall from point to point");
    return false;
  }
  thresholds.push_back({*contact_s, surface_k});
  return true;
}

sim::BurnClass read_class(const toml::table& table, scenes::Faults& faults) {
  TableReader reader(table, "[[surface]]", faults);
  sim::BurnClass read;
  read.name = reader.need_text("text");
  read.effusivity_w_s05_m2k = reader.need_number("effusivity_w_s05_m2k", effusivities);
  const toml::node* burns = reader.node("burns");
  const toml::array* points = burns == nullptr ? nullptr : burns->as_array();
  if (burns == nullptr) {
    reader.missing("burns", "points [[seconds of contact, temperature of the surface in °C], ...]");
  } else if (points == nullptr || points->empty()) {
    reader.fault(
        "burns",
        "'burns' is no list of points, expected [[seconds of contact, temperature of the surface in °C], ...]");
  } else {
    for (const toml::node& point : *points)
      if (!read_threshold(reader, point, read.thresholds)) break;
  }
  static_cast<void>(reader.need_text("source"));
  reader.done();
  return read;
}

void read_root(const toml::table& table, scenes::Faults& faults, Touch& touch) {
  TableReader reader(table, scenes::Mark{}, "this file", faults);
  for (const toml::table* feel : reader.tables("feel")) touch.feels.push_back(read_feel(*feel, faults));
  if (const toml::table* hand = reader.table("hand")) touch.hand = read_hand(*hand, faults);
  if (!reader.has("hand")) reader.missing("hand", "[hand] with 'temperature_c' and 'effusivity_w_s05_m2k'");
  for (const toml::table* surface : reader.tables("surface")) touch.classes.push_back(read_class(*surface, faults));
  if (touch.feels.empty()) reader.missing("feel", "[[feel]] tables with 'from_c' and 'text'");
  if (touch.classes.empty()) reader.missing("surface", "[[surface]] tables of burn thresholds");
  reader.done();
  std::sort(touch.feels.begin(), touch.feels.end(), [](const Feel& a, const Feel& b) { return a.from_k < b.from_k; });
}

}  // namespace

Touch read_touch(const std::filesystem::path& file, std::vector<scenes::Fault>& faults) {
  const auto content = scenes::read_whole_file(file, scenes::shipped_data_file, faults);
  if (!content) return {};
  scenes::Faults found(file.string());
  Touch touch;
  if (const auto root = scenes::parse_toml(*content, found)) read_root(*root, found, touch);
  if (found.count() == 0) return touch;
  const auto sorted = found.sorted();
  faults.insert(faults.end(), sorted.begin(), sorted.end());
  return {};
}

std::vector<Feel> read_feels(const std::filesystem::path& file, std::string& error) {
  std::vector<scenes::Fault> faults;
  Touch touch = read_touch(file, faults);
  if (!faults.empty()) error = scenes::to_line(faults.front());
  return std::move(touch.feels);
}

std::string feel_of(const std::vector<Feel>& feels, double surface_k) {
  std::string text;
  for (const Feel& feel : feels) {
    if (surface_k >= feel.from_k || text.empty()) text = feel.text;
  }
  return text;
}

HandReading hand_on(const Touch& touch, const sim::Material& material, double surface_k) {
  const double effusivity = sim::effusivity_w_s05_m2k(material, surface_k);
  const sim::BurnClass& surface = sim::class_of(touch.classes, effusivity);
  return {surface.name, sim::contact_temperature_k(touch.hand, surface_k, effusivity),
          sim::longest_contact_s(surface, surface_k)};
}

}  // namespace warmbay::render
