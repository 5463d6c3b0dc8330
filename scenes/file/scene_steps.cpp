// [[step]]: what a demonstration changes, when each step ends, what it asks first.

#include <fmt/format.h>
#include <algorithm>

#include "scenes/file/scene_parts.hpp"
#include "scenes/read/file_units.hpp"
#include "scenes/read/plain_number.hpp"

namespace warmbay::scenes {

namespace {

// Every event a step may end or pause at.
const std::vector<std::string> events = {"settled", "over-rating", "softening", "melt-back", "smoke",
                                         "char",    "short",       "open",      "trip",      "ignition-risk"};

bool is_event(const std::string& word) {
  return std::find(events.begin(), events.end(), word) != events.end();
}

std::string trimmed(std::string_view text) {
  constexpr std::string_view blank = " \t";
  const auto from = text.find_first_not_of(blank);
  if (from == std::string_view::npos) return {};
  return std::string(text.substr(from, text.find_last_not_of(blank) - from + 1));
}

/// "NAME > T": the last '>' divides, so that a name may hold one.
void read_until_reading(TableReader& reader, const std::string& until, Step& step, SceneMarks& marks) {
  const auto sign = until.rfind('>');
  const auto name = trimmed(std::string_view(until).substr(0, sign));
  const auto number = trimmed(std::string_view(until).substr(sign + 1));
  const auto above_c = plain_number(number);
  // The comparison is false for NaN too.
  if (name.empty() || !above_c || !(*above_c >= bounds::celsius.least && *above_c <= bounds::celsius.most)) {
    reader.fault("until", fmt::format("'until' is '{}', expected \"NAME > T\": a thermocouple and a temperature from "
                                      "{:g} to {:g} °C",
                                      until, bounds::celsius.least, bounds::celsius.most));
    return;
  }
  step.until_reading = ReadingAbove{name, celsius.to_si(*above_c)};
  marks.references.push_back({Named::thermocouple, name, reader.mark("until"), reader.label()});
}

void read_until(TableReader& reader, Step& step, SceneMarks& marks) {
  const auto until = reader.text("until");
  if (!until) return;
  if (until->find('>') != std::string::npos) {
    read_until_reading(reader, *until, step, marks);
  } else if (is_event(*until)) {
    step.until = *until;
  } else {
    reader.fault("until",
                 fmt::format("'until' is '{}', expected \"NAME > T\" or one of: {}", *until, fmt::join(events, ", ")));
  }
}

void read_ask(TableReader& reader, Step& step, SceneMarks& marks, Faults& faults) {
  const auto* table = reader.table("ask");
  if (!table) return;
  TableReader asked(*table, fmt::format("ask of {}", reader.label()), faults);
  Ask ask;
  ask.question = asked.need_text("question", Lines::several);
  ask.reading = asked.need_text("reading");
  ask.tolerance_k = asked.need_number("tolerance_k", bounds::tolerance_k);
  if (!ask.reading.empty()) {
    marks.references.push_back({Named::thermocouple, ask.reading, asked.mark("reading"), asked.label()});
  }
  asked.done();
  step.ask = std::move(ask);
}

/// surroundings = { room = 50.0 }, kept in the order in which they are written.
void read_step_surroundings(TableReader& reader, Step& step, SceneMarks& marks) {
  const auto* table = reader.table("surroundings");
  if (!table) return;
  std::vector<NameMark> names;
  for (const auto& [key, value] : *table) {
    names.push_back({Named::surroundings, std::string(key.str()), mark_of(key.source()), reader.label()});
  }
  std::stable_sort(names.begin(), names.end(), [](const NameMark& a, const NameMark& b) {
    return std::pair(a.mark.line, a.mark.column) < std::pair(b.mark.line, b.mark.column);
  });
  for (const auto& one : names) {
    const auto at_c = reader.number_in(*table->get(one.name), one.name, bounds::celsius);
    step.surroundings_k.emplace_back(one.name, celsius.to_si(at_c.value_or(0.0)));
    marks.references.push_back(one);
  }
}

Step read_step(const toml::table& table, std::size_t index, SceneMarks& marks, Faults& faults) {
  TableReader reader(table, fmt::format("step {}", index + 1), faults);
  Step step;
  step.title = reader.text("title", Lines::several).value_or(fmt::format("Step {}", index + 1));
  reader.rename(label_of("step", step.title, index));
  step.say = reader.text("say", Lines::several).value_or("");
  step.current_a = reader.number("current_a", bounds::current_a);
  read_step_surroundings(reader, step, marks);
  const auto supply = read_supply_keys(reader, marks);
  step.kind = supply.kind;
  step.device = supply.device;
  step.hold_s = minute.to_si(reader.need_number("hold_min", bounds::hold_min));
  read_until(reader, step, marks);
  read_ask(reader, step, marks, faults);
  step.stop_at = reader.texts("stop_at");
  for (const auto& event : step.stop_at) {
    if (!is_event(event)) {
      reader.fault("stop_at",
                   fmt::format("'stop_at' names '{}', expected some of: {}", event, fmt::join(events, ", ")));
    }
  }
  reader.done();
  return step;
}

}  // namespace

void read_steps(TableReader& root, Scene& scene, SceneMarks& marks, Faults& faults) {
  for (const auto* table : root.tables("step")) {
    scene.steps.push_back(read_step(*table, scene.steps.size(), marks, faults));
  }
}

}  // namespace warmbay::scenes
