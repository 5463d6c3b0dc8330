// See case_reader.hpp. Names in `of` and `from` are looked up in the scene, so that a slip of the pen is told here,
// with its place, and not by a run that finds nothing.

#include "scenes/trust/case_reader.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <map>
#include <system_error>

#include "scenes/file/scene_file.hpp"
#include "scenes/file/scene_parts.hpp"
#include "scenes/read/by_name.hpp"
#include "scenes/read/file_units.hpp"
#include "scenes/read/whole_file.hpp"
#include "scenes/trust/variant.hpp"

namespace warmbay::scenes {

namespace fs = std::filesystem;

namespace {

constexpr std::string_view list_name = "cases.toml";
constexpr std::string_view case_ending = ".case.toml";
constexpr Bounds any_number = between(-1e12, 1e12);
constexpr Bounds tolerances = above(0.0, 1e12);
constexpr Bounds minutes = between(1e-6, 1e6);

/// The scenes of a folder, each of its variants read once.
class SceneShelf {
 public:
  SceneShelf(fs::path folder, const DataFiles& data) : folder_(std::move(folder)), data_(data) {}

  struct Kept {
    std::shared_ptr<const Scene> scene;  // nullptr: faults say why, or those in of_with
    std::vector<Fault> faults;           // of the scene's file
  };
  /// Faults of the changes go to of_with, whoever asks.
  Kept get(const std::string& file, const toml::table& with, Faults& of_with) {
    const auto key = std::pair(file, variant_words(with));
    if (const auto found = kept_.find(key); found != kept_.end()) return found->second;
    ReadScene read = read_varied_scene(folder_ / file, with, data_, of_with);
    Kept kept{nullptr, std::move(read.faults)};
    if (read.scene) kept.scene = std::make_shared<const Scene>(std::move(*read.scene));
    if (kept.scene || !kept.faults.empty()) kept_.emplace(key, kept);
    return kept;
  }

 private:
  fs::path folder_;
  const DataFiles& data_;
  std::map<std::pair<std::string, std::string>, Kept> kept_;
};

/// What a case reads its numbers off: a scene, with what the case changes in it.
struct CaseScene {
  SceneShelf& shelf;
  toml::table with;
  std::shared_ptr<const Scene> scene;  // nullptr: every scene, or faults say why
};

std::string_view word_of(Named kind) {
  return kind == Named::thermocouple ? "thermocouple" : kind == Named::cable ? "cable" : "surroundings";
}

std::vector<std::string> names_in(const Scene& scene, Named kind) {
  std::vector<std::string> names;
  const auto add = [&names](const auto& things) {
    for (const auto& thing : things) names.push_back(thing.name);
  };
  if (kind == Named::thermocouple) add(scene.thermocouples);
  if (kind == Named::cable) add(scene.cables);
  if (kind == Named::surroundings) add(scene.surroundings);
  return names;
}

/// One [[check]].
class CheckReader {
 public:
  CheckReader(const toml::table& table, std::size_t index, const Case& of_case, const CaseScene& scene, Faults& faults)
      : reader_(table, fmt::format("check {}", index + 1), faults),
        case_(of_case),
        case_scene_(scene),
        faults_(faults) {}

  Check read() {
    check_.name = reader_.need_text("name");
    reader_.rename(label_of("check", check_.name, 0));
    read_scene();
    const std::string word = reader_.need_text("what");
    const QuantityRule* rule = rule_of(std::string_view(word));
    if (rule == nullptr && !word.empty())
      reader_.fault("what",
                    fmt::format("'what' is '{}', expected one of: {}", word, fmt::join(quantity_words(), ", ")));
    if (rule != nullptr) read_what(*rule);
    check_.less = reader_.number("less", any_number).value_or(0.0);
    check_.times = reader_.number("times", any_number).value_or(1.0);
    read_order();
    if (const auto unit = reader_.text("unit")) check_.unit = *unit;
    read_tolerance();
    read_deviation();
    reader_.done();
    return std::move(check_);
  }

 private:
  /// The case's scene, or a variant of it.
  void read_scene() {
    check_.scene = case_scene_.scene;
    check_.with = variant_words(case_scene_.with);
    const toml::table* with = reader_.table("with");
    if (with == nullptr) return;
    if (case_.every_scene)
      reader_.fault("with", "'with' stands in a case of 'every_scene', expected a case of one scene");
    if (!check_.scene) return;
    check_.scene = variant(*with);
    check_.with = variant_words(with_both(case_scene_.with, *with));
  }

  /// nullptr: faults say why.
  [[nodiscard]] std::shared_ptr<const Scene> variant(const toml::table& with) {
    return case_scene_.shelf.get(case_.scene_file, with_both(case_scene_.with, with), faults_).scene;
  }

  void read_what(const QuantityRule& rule) {
    check_.what = rule.what;
    check_.unit = rule.unit;
    if (rule.of) check_.of = name_of("of", *rule.of);
    if (rule.what == Quantity::resistance_m2k_w) check_.from = name_of("from", Named::surroundings);
    if (case_.every_scene && rule.of)
      reader_.fault("what",
                    fmt::format("'what' is '{}', expected imbalance_percent: it is asked of every scene", rule.word));
    const bool plays = rule.what == Quantity::reach_s || rule.what == Quantity::imbalance_percent;
    if (plays && check_.scene && check_.scene->steps.empty())
      reader_.fault("what", fmt::format("'what' is '{}', expected a scene with [[step]] tables for that", rule.word));
    if (rule.timed)
      if (const auto at_min = reader_.number("at_min", minutes)) check_.at_s = minute.to_si(*at_min);
    if (plays) {
      if (rule.needs_celsius) check_.under.limit_k = celsius.to_si(reader_.need_number("celsius", bounds::celsius));
      return;
    }
    check_.under = read_under(reader_, rule.needs_celsius);
    if (check_.at_s && check_.under != Under{})
      reader_.fault("at_min", "'at_min' stands beside 'ambient_c' or 'current_a', expected those without it only");
    if (rule.what != Quantity::limit_a) return;
    if (const toml::table* table = reader_.table("relative_to")) {
      TableReader other(*table, fmt::format("relative_to of {}", reader_.label()), faults_);
      check_.relative_to = read_under(other, true);
      check_.relative_scene = check_.scene;
      if (const toml::table* with = other.table("with"); with != nullptr && case_scene_.scene) {
        check_.relative_scene = variant(*with);
        check_name(other, "with", check_.of, Named::cable, check_.relative_scene.get());
      }
      check_.unit = "";
      other.done();
    }
  }

  /// Three grids, by what each changes in the scene and the size of its voxels; or three internal steps.
  void read_order() {
    const toml::table* table = reader_.table("order");
    if (table == nullptr) return;
    if (case_.every_scene)
      reader_.fault("order", "'order' stands in a case of 'every_scene', expected a case of one scene");
    TableReader order(*table, fmt::format("order of {}", reader_.label()), faults_);
    Refinement refinement;
    refinement.scenes.fill(check_.scene);
    const auto steps_s = order.triple("step_s", between(1e-6, 3600.0));
    const auto sizes = order.triple("size", between(1e-6, 1e6));
    refinement.step_s = order.number("fixed_step_s", above(0.0, 3600.0)).value_or(0.0);
    const std::vector<const toml::table*> with = order.tables("with");
    refinement.steps = order.has("step_s");
    if (refinement.steps == order.has("size") || order.has("size") != order.has("with"))
      order.missing("step_s", "that, or size and with");
    if (order.has("with") && with.size() != refinement.scenes.size())
      order.fault("with", fmt::format("'with' has {} tables, expected 3: a grid each, coarse to fine", with.size()));
    for (std::size_t n = 0; n < std::min(with.size(), refinement.scenes.size()); ++n)
      if (check_.scene) refinement.scenes[n] = variant(*with[n]);
    if (const auto& found = steps_s ? steps_s : sizes) {
      refinement.sizes = *found;
      if ((*found)[0] <= (*found)[1] || (*found)[1] <= (*found)[2])
        order.fault(steps_s ? "step_s" : "size", "the sizes do not fall, expected coarse to fine");
    }
    if (refinement.steps && !check_.at_s) order.fault("step_s", "'step_s' stands in a check without 'at_min'");
    if (refinement.step_s > 0.0 && (refinement.steps || !check_.at_s))
      order.fault("fixed_step_s", "'fixed_step_s' stands beside 'step_s' or without 'at_min', expected grids in time");
    if (check_.relative_to) order.fault_at(order.mark(), "'order' stands beside 'relative_to', expected one of them");
    order.done();
    check_.order = std::move(refinement);
    check_.unit = "";
  }

  void read_deviation() {
    const toml::table* table = reader_.table("deviates");
    if (table == nullptr) return;
    TableReader deviates(*table, fmt::format("deviates of {}", reader_.label()), faults_);
    Deviation deviation;
    if (!deviates.has("to")) deviates.missing("to", "where it lies, [least, most]");
    if (const auto to = deviates.pair("to", any_number)) {
      deviation.least = (*to)[0];
      deviation.most = (*to)[1];
      if (deviation.least >= deviation.most || (deviation.least >= check_.least && deviation.most <= check_.most))
        deviates.fault("to",
                       fmt::format("'to' runs from {:g} to {:g}, expected a range that reaches beyond the tolerance",
                                   deviation.least, deviation.most));
    }
    deviation.why = deviates.need_text("why");
    deviates.done();
    check_.deviates = std::move(deviation);
  }

  static Under read_under(TableReader& reader, bool needs_celsius) {
    Under under;
    if (const auto ambient_c = reader.number("ambient_c", bounds::celsius)) under.ambient_k = celsius.to_si(*ambient_c);
    if (needs_celsius)
      under.limit_k = celsius.to_si(reader.need_number("celsius", bounds::celsius));
    else
      under.current_a = reader.number("current_a", bounds::current_a);
    return under;
  }

  /// A name that the scene must have.
  std::string name_of(std::string_view key, Named kind) {
    std::string name = reader_.need_text(key);
    check_name(reader_, key, name, kind, check_.scene.get());
    return name;
  }

  /// scene: nullptr when faults say that there is none.
  void check_name(TableReader& reader, std::string_view key, const std::string& name, Named kind, const Scene* scene) {
    if (name.empty() || scene == nullptr) return;
    const auto names = names_in(*scene, kind);
    if (std::find(names.begin(), names.end(), name) != names.end()) return;
    reader.fault(key, fmt::format("'{}' is '{}', expected a {} of {}{}", key == "with" ? "of" : key, name,
                                  word_of(kind), case_.scene_file, did_you_mean(name, names)));
  }

  void read_tolerance() {
    check_.published = reader_.need_number("published", any_number);
    const auto absolute = reader_.number("tolerance", tolerances);
    check_.percent = reader_.number("tolerance_percent", tolerances);
    const auto band = reader_.pair("band", any_number);
    const int given = int{reader_.has("tolerance")} + int{reader_.has("tolerance_percent")} + int{reader_.has("band")};
    if (given == 0) reader_.missing("tolerance", "that, tolerance_percent or band = [least, most]");
    if (given > 1)
      reader_.fault(reader_.has("band") ? "band" : "tolerance_percent",
                    "more than one of 'tolerance', 'tolerance_percent' and 'band' is there, expected one");
    if (band && (*band)[0] >= (*band)[1])
      reader_.fault(
          "band", fmt::format("'band' runs from {:g} to {:g}, expected the smaller one first", (*band)[0], (*band)[1]));
    double half = absolute.value_or(0.0);
    if (check_.percent) half = std::abs(check_.published) * *check_.percent / 100.0;
    check_.band = band.has_value();
    check_.least = band ? (*band)[0] : check_.published - half;
    check_.most = band ? (*band)[1] : check_.published + half;
  }

  TableReader reader_;
  const Case& case_;
  const CaseScene& case_scene_;
  Faults& faults_;
  Check check_;
};

/// One [[vary]]: `least` and `most` or `with` as changes of the scene, or `unknown` as a name in unknowns.toml.
Variation read_variation(const toml::table& table, const Case& of_case, const CaseScene& of,
                         const std::vector<Unknown>& unknowns, Faults& faults) {
  TableReader reader(table, "[[vary]]", faults);
  Variation variation{
      reader.need_text("name"), reader.need_text("range"), reader.need_text("source", Lines::several), {}};
  const auto add_end = [&](const toml::table& with) {
    if (of.scene)
      variation.ends.push_back({of.shelf.get(of_case.scene_file, with_both(of.with, with), faults).scene, {}, 1.0});
  };
  int ways = 0;
  if (const auto name = reader.text("unknown")) {
    ++ways;
    const Unknown* found = find_by_name(unknowns, *name);
    if (found == nullptr)
      reader.fault("unknown", fmt::format("'unknown' is '{}', expected a name in unknowns.toml", *name));
    else
      for (const double value : found->range) variation.ends.push_back({of.scene, *found, value});
  }
  if (const toml::table* with = reader.table("with")) ++ways, add_end(*with);
  const toml::table *least = reader.table("least"), *most = reader.table("most");
  if (least && most) ++ways, add_end(*least), add_end(*most);
  if (ways != 1 || (least == nullptr) != (most == nullptr))
    reader.fault_at(reader.mark(), "[[vary]] has to have one of: `least` and `most`, `with`, `unknown`");
  reader.done();
  return variation;
}

/// The scene that a case names. Faults of the scene's own file go to `of_scene`.
void read_scene_of(TableReader& root, Case& read, CaseScene& of, Faults& faults, std::vector<Fault>& of_scene) {
  read.every_scene = root.flag("every_scene").value_or(false);
  const toml::table* with = root.table("with");
  if (read.every_scene) {
    for (const char* key : {"scene", "with"})
      if (root.has(key)) root.fault(key, fmt::format("'{}' stands beside 'every_scene', expected one of them", key));
    return;
  }
  read.scene_file = root.need_text("scene");
  if (read.scene_file.empty()) return;
  if (with != nullptr) of.with = *with;
  const SceneShelf::Kept kept = of.shelf.get(read.scene_file, of.with, faults);
  of.scene = kept.scene;
  if (kept.faults.empty()) return;
  root.fault("scene", fmt::format("'scene' is '{}', expected a sound scene file beside this one", read.scene_file));
  of_scene = kept.faults;
}

Case read_root(const toml::table& table, SceneShelf& shelf, const std::vector<Unknown>& unknowns, Faults& faults,
               std::vector<Fault>& of_scene) {
  TableReader root(table, Mark{}, "this file", faults);
  if (!root.has("format")) root.missing("format", "format = 1");
  static_cast<void>(root.whole("format", 1, 1));
  Case read;
  read.title = root.need_text("title", Lines::several);
  read.group = root.need_text("group");
  read.source = root.need_text("source", Lines::several);
  read.why = root.need_text("tolerance_why");
  if (!root.has("mark")) root.missing("mark", fmt::format("one of: {}", fmt::join(case_marks, ", ")));
  if (const auto mark = root.choice("mark", {case_marks[0], case_marks[1], case_marks[2], case_marks[3]}))
    read.mark = case_marks[*mark];
  read.every_s = root.number("every_s", between(1e-6, 3600.0)).value_or(read.every_s);
  CaseScene of{shelf, {}, nullptr};
  read_scene_of(root, read, of, faults, of_scene);
  if (!root.has("check")) root.missing("check", "[[check]] tables");
  for (const toml::table* check : root.tables("check"))
    read.checks.push_back(CheckReader(*check, read.checks.size(), read, of, faults).read());
  for (const toml::table* vary : root.tables("vary"))
    read.variations.push_back(read_variation(*vary, read, of, unknowns, faults));
  if (read.every_scene && !read.variations.empty())
    root.fault("vary", "[[vary]] stands beside 'every_scene', expected a case of one scene");
  root.done();
  return read;
}

ReadCase read_case(const fs::path& folder, const std::string& name, SceneShelf& shelf,
                   const std::vector<Unknown>& unknowns) {
  ReadCase result{name, {}, {}};
  const std::string path = (folder / name).string();
  const auto content = read_whole_file(path, fmt::format("the case that {} names", list_name), result.faults);
  if (!content) return result;
  Faults faults(path);
  std::vector<Fault> of_scene;
  Case read;
  if (const auto root = parse_toml(*content, faults)) read = read_root(*root, shelf, unknowns, faults, of_scene);
  result.faults = faults.sorted();
  result.faults.insert(result.faults.end(), of_scene.begin(), of_scene.end());
  if (result.faults.empty()) result.read = std::move(read);
  return result;
}

/// Names of the files of a folder that end as case files do, sorted.
std::vector<std::string> case_files(const fs::path& folder) {
  std::vector<std::string> names;
  std::error_code trouble;
  for (const auto& entry : fs::directory_iterator(folder, trouble)) {
    std::string name = entry.path().filename().string();
    if (name.ends_with(case_ending)) names.push_back(std::move(name));
  }
  std::sort(names.begin(), names.end());
  return names;
}

std::vector<std::string> read_list(const fs::path& file, std::vector<Fault>& faults) {
  const auto content = read_whole_file(file, "the list of the cases", faults);
  if (!content) return {};
  Faults found(file.string());
  std::vector<std::string> names;
  if (const auto table = parse_toml(*content, found)) {
    TableReader root(*table, Mark{}, "this file", found);
    if (!root.has("format")) root.missing("format", "format = 1");
    static_cast<void>(root.whole("format", 1, 1));
    if (!root.has("cases")) root.missing("cases", "an array of names of case files");
    names = root.texts("cases");
    root.done();
  }
  faults = found.sorted();
  return names;
}

}  // namespace

std::vector<ReadCase> read_cases(const fs::path& folder, const DataFiles& data) {
  const fs::path list_file = folder / list_name;
  std::vector<ReadCase> cases;
  SceneShelf shelf(folder, data);
  std::vector<Fault> list_faults;
  const std::vector<std::string> listed = read_list(list_file, list_faults);
  const std::vector<std::string> there = case_files(folder);
  if (!list_faults.empty()) {
    cases.push_back({std::string(list_name), {}, list_faults});
    for (const std::string& name : there) cases.push_back(read_case(folder, name, shelf, data.unknowns));
    return cases;
  }
  for (const std::string& name : listed) cases.push_back(read_case(folder, name, shelf, data.unknowns));
  for (const std::string& name : there) {
    if (std::find(listed.begin(), listed.end(), name) != listed.end()) continue;
    const std::string path = (folder / name).string();
    cases.push_back({name, {}, {{path, 0, 0, fmt::format("is not in {}, expected every case file there", list_name)}}});
  }
  return cases;
}

}  // namespace warmbay::scenes
