// The line on top: what must be seen at once, from the back row.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "render/failures.hpp"
#include "render/panels/panels.hpp"
#include "render/panels/widgets.hpp"
#include "render/rating.hpp"

namespace warmbay::render {

namespace {

struct Tile {
  std::string label;
  std::string value;
  std::string note;
  std::string widest;  // a value as wide as it can get, so that tiles stay where they are
};

constexpr float gap = 26.0F;
constexpr double told_smoke_share = 0.2;  // of what can be seen: less is not worth a place up here

/// Label above, value large, a note below. only_if_beside: not drawn where it would begin a new row.
void draw_tile(Ui& ui, const Tile& tile, bool only_if_beside = false) {
  const float most = ImGui::GetContentRegionAvail().x;
  const ImVec2 label = text_size(ui.fonts.small, tile.label);
  const ImVec2 value = text_size(ui.fonts.large, tile.value);
  const ImVec2 note = text_size(ui.fonts.small, tile.note);
  const float width = std::max({label.x, value.x, note.x, text_size(ui.fonts.large, tile.widest).x});
  const float before = ImGui::GetCursorPosY();
  flow(ui, width, ui.px(gap));
  if (only_if_beside && ImGui::GetCursorPosY() == before) return;
  const ImVec2 at = ImGui::GetCursorScreenPos();
  const float room = std::min(width, std::max(most, ui.px(60)));
  float y = at.y;
  text_at(ui, {at.x, y}, ui.fonts.small, ui.theme.muted, tile.label, room);
  y += text_size(ui.fonts.small, tile.label, room).y;
  text_at(ui, {at.x, y}, ui.fonts.large, ui.theme.text, tile.value, room);
  y += text_size(ui.fonts.large, tile.value, room).y;
  text_at(ui, {at.x, y}, ui.fonts.small, ui.theme.muted, tile.note, room);
  y += tile.note.empty() ? text_size(ui.fonts.small, "0").y : text_size(ui.fonts.small, tile.note, room).y;
  ImGui::Dummy({room, y - at.y});
}

struct RatingLook {
  const char* word;
  Mark mark;
  ImU32 colour;
};

RatingLook rating_look(const Theme& theme, RatingState state) {
  switch (state) {
    case RatingState::over:
      return {"status.over_rating", Mark::triangle, theme.over};
    case RatingState::near:
      return {"status.near_rating", Mark::diamond, theme.near};
    default:
      return {"status.within_rating", Mark::disc, theme.good};
  }
}

/// A bar from the room's temperature on, with a tick at the rated one.
void draw_gauge(Ui& ui, ImVec2 at, float width, const Rating& rating, ImU32 colour) {
  const double from_k = 273.15 + 20.0;
  const double to_k = from_k + 1.3 * std::max(10.0, rating.rated_k - from_k);
  const auto x_of = [&](double k) {
    return at.x + width * static_cast<float>(std::clamp((k - from_k) / (to_k - from_k), 0.0, 1.0));
  };
  ImDrawList* list = ImGui::GetWindowDrawList();
  const float thick = ui.px(6);
  list->AddRectFilled(at, {at.x + width, at.y + thick}, ui.theme.raised, thick / 2);
  list->AddRectFilled(at, {std::max(at.x + thick, x_of(rating.hottest_k)), at.y + thick}, colour, thick / 2);
  const float tick = x_of(rating.rated_k);
  list->AddRectFilled({tick - 1, at.y - ui.px(3)}, {tick + 1, at.y + thick + ui.px(3)}, ui.theme.text);
}

/// The number that matters, its mark and word, and how far it is from the rating.
void draw_hottest(Ui& ui, const HeatNow& now) {
  const sim::Snapshot& snapshot = *now.snapshot;
  const Rating rating = rate(*snapshot.wall, snapshot.reading);
  if (rating.cable < 0) return;
  const RatingLook look = rating_look(ui.theme, rating.state);
  const std::string& cable = snapshot.wall->cables[static_cast<std::size_t>(rating.cable)].name;
  const std::string label = ui.say("status.hottest", fmt::arg("cable", cable));
  const std::string value = temperature_text(ui.units, rating.hottest_k);
  const std::string& word = ui.say(look.word);
  const double spare_k = rating.rated_k - rating.hottest_k;
  const std::string rated = ui.say(
      spare_k >= 0.0 ? "status.rated_spare" : "status.rated_above",
      fmt::arg("rated", temperature_text(ui.units, rating.rated_k, 0)),
      fmt::arg("difference",
               fmt::format("{:.0f} {}", std::abs(shown_difference(ui.units, spare_k)), temperature_symbol(ui.units))));

  const float most = ImGui::GetContentRegionAvail().x;
  const float value_width = std::max(text_size(ui.fonts.huge, value).x,
                                     text_size(ui.fonts.huge, fmt::format("000.0 {}", temperature_symbol(ui.units))).x);
  const float r = ui.px(9);
  const float word_width =
      std::max(2 * r + ui.px(8) + text_size(ui.fonts.large, word).x, text_size(ui.fonts.small, rated).x);
  const ImVec2 at = ImGui::GetCursorScreenPos();
  const float label_height = text_size(ui.fonts.small, label, most).y;
  text_at(ui, at, ui.fonts.small, ui.theme.muted, label, most);
  text_at(ui, {at.x, at.y + label_height - ui.px(3)}, ui.fonts.huge, ui.theme.text, value);
  const float value_height = text_size(ui.fonts.huge, value).y;

  const bool beside = value_width + ui.px(18) + word_width <= most;
  ImVec2 to = beside ? ImVec2{at.x + value_width + ui.px(18), at.y + label_height + ui.px(1)}
                     : ImVec2{at.x, at.y + label_height + value_height + ui.px(2)};
  const float word_room = beside ? word_width : most;
  draw_mark(*ImGui::GetWindowDrawList(), look.mark, {to.x + r, to.y + text_size(ui.fonts.large, "0").y / 2}, r,
            look.colour);
  const float word_wrap = std::max(ui.px(30), word_room - 2 * r - ui.px(8));
  text_at(ui, {to.x + 2 * r + ui.px(8), to.y}, ui.fonts.large, look.colour, word, word_wrap);
  to.y += text_size(ui.fonts.large, word, word_wrap).y;
  text_at(ui, to, ui.fonts.small, ui.theme.muted, rated, word_room);
  to.y += text_size(ui.fonts.small, rated, word_room).y;
  const float width = beside ? value_width + ui.px(18) + word_width : std::min(most, std::max(value_width, word_width));
  if (beside) draw_gauge(ui, {to.x, to.y + ui.px(4)}, word_width, rating, look.colour);
  ImGui::Dummy({width, std::max(to.y + ui.px(12), at.y + label_height + value_height) - at.y});
}

/// Where it is heading, and under the number what goes with it; no value: it is not told.
Tile heading_tile(const Ui& ui, const ScreenState& state, const HeatNow& now) {
  Tile tile{ui.say("status.heading_label"), "", "", ""};
  // While a prediction is being asked for, where things are heading would give the outcome away.
  if (state.asked_step >= 0 || now.snapshot->wall->cables.empty()) return tile;
  const auto temperature = [&] {
    return ui.say("status.heading", fmt::arg("temperature", temperature_text(ui.units, state.heading->hottest_k, 0)));
  };
  switch (told(now, state.heading)) {
    case HeadingTold::nothing:
      break;
    case HeadingTold::settles:
      tile.value = temperature();
      break;
    case HeadingTold::gives_way:
      tile.value = temperature();
      tile.note = ui.say("status.heading_gives_way");
      break;
    case HeadingTold::never:
      tile.value = ui.say("status.heading_runaway");
      break;
    case HeadingTold::unknown:
      tile.value = ui.say("status.heading_unknown");
      break;
    case HeadingTold::ended:
      tile.value = ui.say("status.heading_none");
      tile.note = ui.say("status.heading_ended");
      break;
    case HeadingTold::no_current:
      tile.value = ui.say("status.heading_cools");
      tile.note = ui.say("status.heading_no_current");
      break;
    case HeadingTold::shorted:
      tile.value = ui.say("status.heading_none");
      tile.note = ui.say("status.heading_shorted");
      break;
  }
  return tile;
}

/// What the current goes through, or why it does not: nothing while all is well.
std::string current_note(const Ui& ui, const sim::Snapshot& snapshot) {
  if (snapshot.conditions.supply == sim::SupplyKind::branch && snapshot.reading.device_open &&
      snapshot.conditions.device >= 0)
    return ui.say(device_word(snapshot.wall->devices[static_cast<std::size_t>(snapshot.conditions.device)], true));
  const std::vector<Failure> failures = failures_of(snapshot);
  if (failures.empty()) return {};
  const bool open = std::any_of(failures.begin(), failures.end(), [](const Failure& f) { return f.open; });
  return ui.say(open ? "status.circuit_open" : "status.circuit_short");
}

/// Smoke from a wall that gives off any to speak of: how much, and whether it is seen.
Tile smoke_tile(const Ui& ui, const sim::Snapshot& snapshot) {
  const double kg_s = snapshot.reading.smoke_kg_s;
  const bool visible = smoke_visible(snapshot);
  return {ui.say("gave_way.smoke"), number_text(kg_s * 1e6) + " mg/s",
          ui.say(visible ? "gave_way.visible" : "gave_way.not_visible"), "00.00 mg/s"};
}

std::string factor_note(const Ui& ui, const HeatNow& now) {
  if (!now.playing || now.broken) return ui.say("status.paused");
  if (now.waiting) return ui.say("status.waiting");
  const std::string reached = number_text(now.reached_factor);
  if (now.factor == 0.0) return ui.say("status.factor_most", fmt::arg("reached", reached));
  if (now.reached_factor > 0.0 && now.reached_factor < 0.7 * now.factor) {
    return ui.say("status.factor_short", fmt::arg("factor", fmt::format("{:g}", now.factor)),
                  fmt::arg("reached", reached));
  }
  return ui.say("status.factor", fmt::arg("factor", fmt::format("{:g}", now.factor)));
}

void draw_surfaces(Ui& ui, const HeatNow& now, const ScreenState& state, bool only_if_beside) {
  const sim::Wall& wall = *now.snapshot->wall;
  const int room = wall.faces[static_cast<std::size_t>(sim::Side::room)];
  if (room < 0) return;
  const sim::SurroundingsReading& reading = now.snapshot->reading.surroundings[static_cast<std::size_t>(room)];
  if (reading.area_m2 <= 0.0) return;
  const std::string feel = feel_of(state.touch.feels, reading.hottest_surface_k);
  draw_tile(ui,
            {ui.say("status.room_side_feels"), feel.empty() ? "" : ui.say(feel),
             ui.say("status.room_side_hottest",
                    fmt::arg("temperature", temperature_text(ui.units, reading.hottest_surface_k))),
             ""},
            only_if_beside);
}

}  // namespace

Wishes draw_top_bar(const HeatNow& now, ScreenState& state, Ui& ui) {
  if (!now.snapshot) {
    text_line(ui, ui.fonts.large, ui.theme.text, now.scene ? now.scene->title : ui.say("app.title"));
    text_line(ui, ui.fonts.base, ui.theme.muted, ui.say("status.building"));
    return {};
  }
  const sim::Reading& reading = now.snapshot->reading;
  draw_hottest(ui, now);
  const std::string amperes = fmt::format("{:.{}f} A", reading.current_a, reading.current_a < 999.0 ? 1 : 0);
  const std::string flows = current_note(ui, *now.snapshot);
  const std::string volts = number_text(reading.voltage_v) + " V";
  const std::string watts = number_text(reading.power_w) + " W";
  if (ImGui::GetWindowWidth() < ui.px(1000)) {  // one tile for all three
    draw_tile(ui, {ui.say("status.current"), amperes, flows.empty() ? volts + "  " + watts : flows, "100.0 A"});
  } else {
    draw_tile(ui, {ui.say("status.current"), amperes, flows, "100.0 A"});
    draw_tile(ui, {ui.say("status.voltage"), volts, "", "00.00 V"});
    draw_tile(ui, {ui.say("status.power"), watts, "", "00.00 W"});
  }
  draw_tile(ui, {ui.say("status.time"), clock_text(reading.time_s), factor_note(ui, now), "00:00:00"});
  const double visible_kg_s = now.snapshot->wall->damage.smoke.visible_kg_s;
  const bool smokes = visible_kg_s > 0.0 && reading.smoke_kg_s >= told_smoke_share * visible_kg_s;
  // From the back row smoke matters more than what the wall feels like.
  if (smokes && ui.presenting) draw_tile(ui, smoke_tile(ui, *now.snapshot), true);
  draw_surfaces(ui, now, state, smokes && ui.presenting);
  if (smokes && !ui.presenting) draw_tile(ui, smoke_tile(ui, *now.snapshot), true);
  if (const Tile heading = heading_tile(ui, state, now); !heading.value.empty()) draw_tile(ui, heading, true);
  return {};
}

}  // namespace warmbay::render
