// assets/damage.toml. What its keys mean stands at the top of that file and in sim/damage/rules.hpp.

#include "scenes/data/damage_reader.hpp"

#include <fmt/format.h>
#include <algorithm>

#include "scenes/data/data_reader.hpp"
#include "scenes/read/bounds.hpp"
#include "scenes/read/file_units.hpp"
#include "scenes/read/toml_reader.hpp"
#include "scenes/read/whole_file.hpp"

namespace warmbay::scenes {

namespace {

// What the file may hold: wide enough for every material; a slip of a unit mostly falls outside.
constexpr Bounds temperatures_c = bounds::celsius;
constexpr Bounds rates_1_s = between(1e-10, 1e60);
constexpr Bounds energies_kj_mol = between(1.0, 1000.0);
constexpr Bounds heats_kj_kg = between(0.0, 20000.0);
constexpr Bounds shares = between(0.0, 1.0);
constexpr Bounds pressures = between(1.0, 1e6);  // against that of conductors which nothing presses on
constexpr double sum_slack = 1e-9;               // of shares that rounding may add up to

/// A temperature that may be left out, K.
std::optional<double> kelvin(TableReader& reader, std::string_view key) {
  const auto at_c = reader.number(key, temperatures_c);
  return at_c ? std::optional(celsius.to_si(*at_c)) : std::nullopt;
}

double need_kelvin(TableReader& reader, std::string_view key) {
  return celsius.to_si(reader.need_number(key, temperatures_c));
}

/// The keys of one kind of process make no sense in one of the other.
void refuse(TableReader& reader, std::initializer_list<std::string_view> keys, std::string_view kind) {
  for (const auto key : keys) {
    if (reader.node(key)) {
      reader.fault(key, fmt::format("{} is of the kind \"{}\", which has no '{}'", reader.label(), kind, key));
    }
  }
}

void read_arrhenius(TableReader& reader, sim::Process& process) {
  process.rate_1_s = reader.need_number("rate_1_s", rates_1_s);
  process.energy_j_mol = thousand.to_si(reader.need_number("energy_kj_mol", energies_kj_mol));
  process.from_k = need_kelvin(reader, "from_c");
  refuse(reader, {"to_c"}, "arrhenius");
}

void read_band(TableReader& reader, sim::Process& process) {
  const bool fine_before = reader.fine();
  const double from_c = reader.need_number("from_c", temperatures_c);
  const double to_c = reader.need_number("to_c", temperatures_c);
  if (fine_before && reader.fine() && from_c >= to_c) {
    reader.fault("from_c", fmt::format("'from_c' is {:g}, expected less than 'to_c', {:g}", from_c, to_c));
  }
  process.from_k = celsius.to_si(from_c);
  process.to_k = celsius.to_si(to_c);
  refuse(reader, {"rate_1_s", "energy_kj_mol"}, "band");
}

/// One [[damage.process]] of a material that has `damage` so far.
sim::Process read_process(const toml::table& table, const std::string& whose, const sim::Damage& damage,
                          Faults& faults) {
  TableReader reader(table, fmt::format("a process of {}", whose), faults);
  sim::Process process;
  process.name = reader.need_text("name");
  if (!process.name.empty()) reader.rename(fmt::format("process '{}' of {}", process.name, whose));
  double lost_before = 0.0;
  for (const auto& other : damage.processes) {
    lost_before += other.lost;
    if (other.name == process.name && !process.name.empty()) {
      reader.fault("name", fmt::format("{} is there twice, expected names that differ", reader.label()));
    }
  }
  const auto kind = reader.choice("kind", {"arrhenius", "band"});
  if (!reader.has("kind")) reader.missing("kind", "\"arrhenius\" or \"band\"");
  if (kind == 0u) {
    process.kind = sim::Process::Kind::arrhenius;
    read_arrhenius(reader, process);
  } else if (kind == 1u) {
    process.kind = sim::Process::Kind::band;
    read_band(reader, process);
  } else {
    for (const auto* key : {"rate_1_s", "energy_kj_mol", "from_c", "to_c"}) (void)reader.node(key);
  }
  const auto lost = reader.number("lost", shares);
  if (!reader.has("lost")) reader.missing("lost", "the share of the mass that leaves, 0 to 1");
  if (lost && lost_before + *lost > 1.0 + sum_slack) {
    reader.fault("lost", fmt::format("{}: with its 'lost' of {:g} the processes lose {:g}, expected at most 1 together",
                                     reader.label(), *lost, lost_before + *lost));
  }
  process.lost = lost.value_or(0.0);
  process.heat_j_kg = thousand.to_si(reader.need_number("heat_kj_kg", heats_kj_kg));
  process.smoke_kg_kg = reader.need_number("smoke_kg_kg", shares);
  process.chars = reader.flag("chars").value_or(false);
  (void)reader.need_text("source", Lines::several);
  reader.done();
  return process;
}

void read_processes(TableReader& owner, sim::Damage& damage, Faults& faults) {
  for (const auto* table : owner.tables("process")) {
    if (damage.processes.size() == static_cast<std::size_t>(sim::damage_processes)) {
      owner.fault_at(mark_of(table->source()), fmt::format("{} has more processes than fit, expected at most {}",
                                                           owner.label(), sim::damage_processes));
      return;
    }
    damage.processes.push_back(read_process(*table, owner.label(), damage, faults));
  }
}

void read_collapse(TableReader& owner, sim::Damage& damage, Faults& faults) {
  const auto* table = owner.table("collapse");
  if (!table) return;
  TableReader reader(*table, fmt::format("collapse of {}", owner.label()), faults);
  sim::Collapse collapse;
  collapse.time_s = minute.to_si(reader.need_number("time_min", between(1e-3, 1e9)));
  collapse.at_k = need_kelvin(reader, "at_c");
  collapse.energy_j_mol = thousand.to_si(reader.need_number("energy_kj_mol", energies_kj_mol));
  collapse.from_k = need_kelvin(reader, "from_c");
  collapse.heat_j_kg = thousand.to_si(reader.need_number("heat_kj_kg", heats_kj_kg));
  collapse.solid_density_kg_m3 = reader.need_number("solid_density_kg_m3", bounds::density_kg_m3);
  collapse.solid_conductivity_w_mk = reader.need_number("solid_conductivity_w_mk", bounds::conductivity_w_mk);
  (void)reader.need_text("source", Lines::several);
  reader.done();
  damage.collapse = collapse;
}

/// One [rated_c, yields_c], in the file's unit; nothing when it is at fault. before_c: rated_c of the one before.
std::optional<std::array<double, 2>> read_yield(TableReader& reader, const toml::node& node,
                                                std::optional<double> before_c) {
  constexpr auto key = "yields_c";
  const auto* pair = node.as_array();
  if (!pair || pair->size() != 2) {
    reader.fault_at(mark_of(node.source()), "'yields_c' holds something else than [rated_c, yields_c]");
    return std::nullopt;
  }
  const auto rated_c = reader.number_in(*pair->get(0), key, temperatures_c);
  const auto yields_c = reader.number_in(*pair->get(1), key, temperatures_c);
  if (!rated_c || !yields_c) return std::nullopt;
  if (before_c && *rated_c <= *before_c)
    reader.fault_at(mark_of(node.source()), "'yields_c' needs ratings that rise from pair to pair");
  else if (*yields_c < *rated_c)
    reader.fault_at(mark_of(node.source()), fmt::format("'yields_c' has a cable rated for {:g} give way at {:g}, "
                                                        "expected at least its rating",
                                                        *rated_c, *yields_c));
  else
    return std::array{*rated_c, *yields_c};
  return std::nullopt;
}

/// Where creep begins, K: a number, or a table over the rated temperature of the cable.
sim::Curve read_yields(TableReader& reader) {
  constexpr auto key = "yields_c";
  const auto* node = reader.node(key);
  if (!node) reader.missing(key, "a number or a table [[rated_c, yields_c], ...]");
  const auto* pairs = node ? node->as_array() : nullptr;
  if (node && !pairs) return celsius.to_si(reader.number_in(*node, key, temperatures_c).value_or(0.0));
  if (pairs && pairs->empty()) reader.fault(key, "'yields_c' is an empty table, expected [[rated_c, yields_c], ...]");
  sim::Curve curve;
  std::optional<double> before_c;
  for (std::size_t n = 0; pairs && n < pairs->size(); ++n) {
    const auto pair = read_yield(reader, *pairs->get(n), before_c);
    if (!pair) break;
    before_c = (*pair)[0];
    curve.temperature_k.push_back(celsius.to_si((*pair)[0]));
    curve.value.push_back(celsius.to_si((*pair)[1]));
  }
  return curve.value.empty() ? sim::Curve(0.0) : curve;
}

void read_creep(TableReader& owner, sim::Damage& damage, Faults& faults) {
  const auto* table = owner.table("creep");
  if (!table) return;
  TableReader reader(*table, fmt::format("creep of {}", owner.label()), faults);
  sim::Creep creep;
  creep.life_s = minute.to_si(reader.need_number("life_min", between(1e-3, 1e9)));
  creep.at_k = need_kelvin(reader, "at_c");
  creep.halves_every_k = reader.need_number("halves_every_k", between(1e-3, 1000.0));
  creep.staple = reader.need_number("staple", pressures);
  creep.pinched = reader.need_number("pinched", pressures);
  if (reader.fine() && creep.pinched < creep.staple) {
    reader.fault("pinched",
                 fmt::format("'pinched' is {:g}, expected at least 'staple', {:g}", creep.pinched, creep.staple));
  }
  creep.yields_k = read_yields(reader);
  (void)reader.need_text("source", Lines::several);
  reader.done();
  damage.creep = creep;
}

/// Call after the processes are read.
void read_changed(TableReader& owner, sim::Damage& damage, Faults& faults) {
  const auto* table = owner.table("changed");
  if (!table) return;
  TableReader reader(*table, fmt::format("changed of {}", owner.label()), faults);
  const auto by = reader.need_text("by");
  std::vector<std::string> names;
  for (const auto& process : damage.processes) names.push_back(process.name);
  const auto found = std::find(names.begin(), names.end(), by);
  if (found != names.end()) {
    damage.changed_by = static_cast<int>(found - names.begin());
  } else if (!by.empty()) {
    reader.fault("by", fmt::format("'by' names the process '{}', which {} has not{}", by, owner.label(),
                                   did_you_mean(by, names)));
  }
  damage.changed_conductivity_w_mk = read_conductivity(reader);
  (void)reader.need_text("source", Lines::several);
  reader.done();
}

/// The names that one [[damage]] is for, each checked against those that there are and those that have damage already.
std::vector<std::string> read_names(TableReader& reader, const std::vector<std::string>& materials,
                                    const DamageFile& so_far) {
  constexpr std::string_view key = "materials";
  if (!reader.has(key)) reader.missing(key, "an array of names of materials.toml");
  auto names = reader.texts(key);
  if (names.empty() && reader.has(key) && reader.fine()) reader.fault(key, "'materials' is empty, expected some names");
  if (!reader.fine()) return names;
  const auto& elements = *reader.node(key)->as_array();
  for (std::size_t i = 0; i < names.size(); ++i) {
    const auto mark = mark_of(elements.get(i)->source());
    const auto before = names.begin() + static_cast<std::ptrdiff_t>(i);
    if (std::find(materials.begin(), materials.end(), names[i]) == materials.end()) {
      reader.fault_at(mark, fmt::format("no material is named '{}', expected one of materials.toml{}", names[i],
                                        did_you_mean(names[i], materials)));
    } else if (so_far.of_material.count(names[i]) > 0 || std::find(names.begin(), before, names[i]) != before) {
      reader.fault_at(mark, fmt::format("the damage of '{}' is there twice, expected it once", names[i]));
    }
  }
  return names;
}

void read_damage(const toml::table& table, const std::vector<std::string>& materials, DamageFile& file,
                 Faults& faults) {
  TableReader reader(table, "[[damage]]", faults);
  const auto names = read_names(reader, materials, file);
  if (!names.empty()) reader.rename(fmt::format("damage of '{}'", names.front()));
  auto damage = std::make_shared<sim::Damage>();
  damage->softens_k = kelvin(reader, "softens_c");
  damage->ignites_k = kelvin(reader, "ignites_c");
  read_processes(reader, *damage, faults);
  read_collapse(reader, *damage, faults);
  read_creep(reader, *damage, faults);
  read_changed(reader, *damage, faults);
  (void)reader.need_text("source", Lines::several);
  reader.done();
  for (const auto& name : names) file.of_material[name] = damage;
}

void read_smoke(TableReader& reader, sim::SmokeRules& smoke) {
  smoke.visible_kg_s = milligram.to_si(reader.need_number("visible_mg_s", between(1e-3, 1e6)));
  smoke.extinction_m2_kg = thousand.to_si(reader.need_number("extinction_m2_g", between(1e-3, 1000.0)));
  smoke.room_m3 = reader.need_number("room_m3", between(1e-3, 1e6));
  smoke.reflecting_sign = reader.need_number("reflecting_sign", between(1e-3, 100.0));
  smoke.lit_sign = reader.need_number("lit_sign", between(1e-3, 100.0));
  smoke.alarm_db_m = reader.need_number("alarm_db_m", between(1e-3, 100.0));
}

void read_instruments(TableReader& reader, sim::InstrumentRules& instruments) {
  instruments.lag_s = reader.need_number("lag_s", between(0.0, 3600.0));
  instruments.slips_at_void_m2 = square_millimetre.to_si(reader.need_number("slips_at_void_mm2", between(1e-3, 1e6)));
  instruments.slipped_air_share = reader.need_number("slipped_air_share", shares);
}

void read_cable_rules(TableReader& reader, sim::DamageRules& rules) {
  rules.staple_m = millimetre.to_si(reader.need_number("staple_mm", between(1e-3, 1000.0)));
  rules.melting_copper_k = need_kelvin(reader, "melting_copper_c");
}

/// A root table that must be there, read by `use`.
template <typename Use>
void read_section(TableReader& root, std::string_view key, Faults& faults, Use use) {
  const auto* table = root.table(key);
  if (!root.has(key)) root.missing(fmt::format("[{}]", key), "that table, with its source");
  if (!table) return;
  TableReader reader(*table, fmt::format("[{}]", key), faults);
  use(reader);
  (void)reader.need_text("source", Lines::several);
  reader.done();
}

}  // namespace

DamageFile read_damage_file(const std::filesystem::path& file, const std::vector<std::string>& materials,
                            std::vector<Fault>& all) {
  DamageFile read;
  const auto content = read_whole_file(file, shipped_data_file, all);
  if (!content) return read;
  Faults faults(file.string());
  if (const auto table = parse_toml(*content, faults)) {
    TableReader root(*table, Mark{}, "this file", faults);
    if (!root.whole("format", 1, 1) && !root.has("format")) root.missing("format", "format = 1");
    auto& rules = read.rules;
    read_section(root, "smoke", faults, [&](TableReader& reader) { read_smoke(reader, rules.smoke); });
    read_section(root, "instruments", faults,
                 [&](TableReader& reader) { read_instruments(reader, rules.instruments); });
    read_section(root, "cable", faults, [&](TableReader& reader) { read_cable_rules(reader, rules); });
    for (const auto* one : root.tables("damage")) read_damage(*one, materials, read, faults);
    root.done();
  }
  const auto sorted = faults.sorted();
  all.insert(all.end(), sorted.begin(), sorted.end());
  return read;
}

}  // namespace warmbay::scenes
