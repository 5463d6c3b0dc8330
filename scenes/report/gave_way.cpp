// Sentences from the last reading and the events; every one of them is in the text catalogue.

#include "scenes/report/gave_way.hpp"

#include <algorithm>
#include <map>
#include <set>

#include "scenes/play/smoke.hpp"
#include "scenes/report/html.hpp"
#include "scenes/text/text_fill.hpp"

namespace warmbay::scenes {

namespace {

/// 0 is A, 25 is Z, 26 is AA.
std::string letter_of(std::size_t number) {
  std::string letters(1, static_cast<char>('A' + number % 26));
  for (number /= 26; number > 0; number = (number - 1) / 26)
    letters.insert(letters.begin(), static_cast<char>('A' + (number - 1) % 26));
  return letters;
}

/// The row at which a thermocouple is first seen to have slipped; nullptr if it has not.
const sim::Reading* slipped_row(const ReportInput& input, std::size_t spot) {
  const auto off = [&](const sim::Reading& row) { return spot < row.slipped.size() && row.slipped[spot] != 0; };
  const auto first = std::find_if(input.rows.begin(), input.rows.end(), off);
  return first == input.rows.end() ? nullptr : &*first;
}

/// Heat can do something to this wall, or its supply can trip.
bool can_give_way(const ReportInput& input) {
  const sim::Wall& wall = *input.end->wall;
  const auto frail = [](const sim::Material& material) { return material.damage != nullptr; };
  const auto frail_cable = [&](const sim::Cable& cable) {
    return frail(cable.type.insulation) || frail(cable.type.sheath);
  };
  return std::any_of(wall.materials.begin(), wall.materials.end(), frail) ||
         std::any_of(wall.cables.begin(), wall.cables.end(), frail_cable) ||
         input.end->conditions.supply == sim::SupplyKind::branch;
}

/// Gathers sentences of the catalogue.
class Sentences {
 public:
  explicit Sentences(const ReportInput& input) : input_(input) {}

  template <typename... Args>
  void add(const std::string& key, Args&&... args) {
    list_.push_back(fill(input_.text("report." + key), std::forward<Args>(args)...));
  }
  [[nodiscard]] bool empty() const { return list_.empty(); }
  [[nodiscard]] std::string html() const {
    std::string html = "<ul>\n";
    for (const std::string& sentence : list_) html += "<li>" + escaped(sentence) + "</li>\n";
    return html + "</ul>\n";
  }

 private:
  const ReportInput& input_;
  std::vector<std::string> list_;
};

void add_smoke(Sentences& say, const ReportInput& input) {
  const sim::SmokeRules& rules = input.end->wall->damage.smoke;
  const double smoke_kg = input.end->reading.smoke_kg;
  if (smoke_kg <= 0.0) return;
  say.add("smoke_total", fmt::arg("grams", smoke_kg * 1e3));
  for (const Event& e : input.events)
    if (e.event == "smoke") say.add("smoke_seen", fmt::arg("minutes", e.time_s / 60.0));
  if (extinction_1_m(rules, smoke_kg) <= 0.0) return;
  const Visibility seen = visibility(rules, smoke_kg);
  say.add("visibility", fmt::arg("room_m3", rules.room_m3), fmt::arg("reflecting_m", seen.reflecting_m),
          fmt::arg("lit_m", seen.lit_m));
  if (const auto alarm = alarm_s(rules, input.rows))
    say.add("alarm", fmt::arg("minutes", *alarm / 60.0), fmt::arg("db_m", rules.alarm_db_m));
  else
    say.add("no_alarm", fmt::arg("db_m", obscuration_db_m(rules, smoke_kg)), fmt::arg("alarm_db_m", rules.alarm_db_m));
}

void add_cables(Sentences& say, const ReportInput& input) {
  std::map<std::string, double> moved_mm;  // a short moves back as the plastic before it gives way too
  std::set<std::string> shorted;
  for (const Event& e : input.events) {
    const bool is_short = e.event == "short";
    if (!is_short && e.event != "open") continue;
    if (is_short && !shorted.insert(e.where).second)
      moved_mm[e.where] = e.value;
    else
      say.add(is_short ? "shorted" : "melted_through", fmt::arg("where", e.where), fmt::arg("minutes", e.time_s / 60.0),
              fmt::arg("at_mm", e.value));
  }
  for (const auto& [where, at_mm] : moved_mm)
    say.add("short_moved", fmt::arg("where", where), fmt::arg("at_mm", at_mm));
  for (std::size_t i = 0; i < input.end->wall->cables.size(); ++i) {
    const double percent = 100.0 * input.end->reading.cables[i].worn;
    if (percent >= 1.0 && percent < 100.0)
      say.add("worn", fmt::arg("where", input.end->wall->cables[i].name), fmt::arg("percent", percent));
  }
}

void add_device(Sentences& say, const ReportInput& input) {
  bool tripped = false;
  for (const Event& e : input.events) {
    if (e.event != "trip") continue;
    tripped = true;
    say.add("tripped", fmt::arg("where", e.where), fmt::arg("minutes", e.time_s / 60.0), fmt::arg("amperes", e.value));
  }
  const sim::Conditions& now = input.end->conditions;
  if (tripped || now.supply != sim::SupplyKind::branch) return;
  if (now.device < 0) return say.add("unprotected");
  say.add("held", fmt::arg("where", input.end->wall->devices[static_cast<std::size_t>(now.device)].name),
          fmt::arg("percent", 100.0 * input.end->reading.device_progress));
}

}  // namespace

std::vector<Mark> marks_of(const ReportInput& input) {
  std::vector<Mark> marks;
  for (const Event& e : input.events)
    if (e.event != "step" && e.event != "settled")
      marks.push_back({e.time_s, "", input.text("event.name." + e.event), e.where});
  for (std::size_t i = 0; i < input.end->wall->thermocouples.size(); ++i)
    if (const sim::Reading* row = slipped_row(input, i))
      marks.push_back({row->time_s, "", input.text("report.slips"), input.end->wall->thermocouples[i].name});
  std::stable_sort(marks.begin(), marks.end(), [](const Mark& a, const Mark& b) { return a.time_s < b.time_s; });
  for (std::size_t n = 0; n < marks.size(); ++n) marks[n].letter = letter_of(n);
  return marks;
}

std::string marks_key(const ReportInput& input, const std::vector<Mark>& marks) {
  if (marks.empty()) return "";
  std::string html = "<ul class=\"marks\">\n";
  for (const Mark& mark : marks) {
    const std::string where = mark.where.empty() ? "" : " (" + mark.where + ")";
    html += "<li><b>" + mark.letter + "</b> " +
            escaped(fill(input.text("report.mark"), fmt::arg("what", mark.what + where),
                         fmt::arg("minutes", mark.time_s / 60.0))) +
            "</li>\n";
  }
  return html + "</ul>\n";
}

std::string end_notice(const ReportInput& input) {
  if (input.events.empty() || input.events.back().event != "ignition-risk") return "";
  const Event& e = input.events.back();
  return "<div class=\"caution danger\"><b>" + escaped(input.text("signal.danger")) + "</b><span>" +
         escaped(fill(input.text("report.ended"), fmt::arg("where", e.where), fmt::arg("celsius", e.value),
                      fmt::arg("minutes", e.time_s / 60.0))) +
         "</span></div>\n";
}

std::string gave_way(const ReportInput& input) {
  if (!can_give_way(input)) return "";
  Sentences say(input);
  add_smoke(say, input);
  if (input.end->reading.void_m3 > 0.0) say.add("void", fmt::arg("cm3", input.end->reading.void_m3 * 1e6));
  add_cables(say, input);
  add_device(say, input);
  for (std::size_t i = 0; i < input.end->wall->thermocouples.size(); ++i)
    if (const sim::Reading* row = slipped_row(input, i))
      say.add("slipped", fmt::arg("where", input.end->wall->thermocouples[i].name),
              fmt::arg("minutes", row->time_s / 60.0));
  if (say.empty()) say.add("nothing_gave_way");
  return say.html();
}

}  // namespace warmbay::scenes
