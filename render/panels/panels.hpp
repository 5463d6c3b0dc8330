#pragma once
// Every panel of the screen: a function of the experiment as it was handed over, the screen's own state and the Ui that
// it draws with; what a person asked for comes back as wishes. One file each.

#include "render/heat_thread.hpp"
#include "render/panels/screen_state.hpp"
#include "render/panels/ui.hpp"
#include "render/wish.hpp"

namespace warmbay::render {

/// The line on top: hottest conductor against its rating, current, volts, watts, time, what the surfaces feel like.
Wishes draw_top_bar(const HeatNow& now, ScreenState& state, Ui& ui);
/// Over the picture of the wall: turning it, marks and values of the instruments, what is being built.
Wishes draw_wall_view(const HeatNow& now, ScreenState& state, Ui& ui);
/// Over the left of the picture, once there is damage: a cut across the cable where it is worst. at, most: where, and
/// the room there is. Sets state.close_up_from and close_up_to; returns the size it took, 0 when it is not shown.
ImVec2 draw_close_up(const HeatNow& now, ScreenState& state, Ui& ui, ImVec2 at, ImVec2 most);
/// What the marks of damage mean that are in the picture. Returns the size it took (or would take: draw false).
ImVec2 draw_damage_key(const HeatNow& now, const ScreenState& state, Ui& ui, ImVec2 at, float width, bool draw = true);
/// What went wrong with the machine, in one sentence; empty: nothing.
[[nodiscard]] std::string trouble_sentence(const Ui& ui, const Trouble& trouble);
/// The colour scale with its ends, at the right of the picture.
Wishes draw_legend(const HeatNow& now, ScreenState& state, Ui& ui);
/// The readings over time.
Wishes draw_chart(const HeatNow& now, ScreenState& state, Ui& ui);

// The side column.
Wishes draw_supply(const HeatNow& now, ScreenState& state, Ui& ui);
/// What has given way: smoke, how far one sees, the alarm, the void, the insulation.
Wishes draw_gave_way(const HeatNow& now, ScreenState& state, Ui& ui);
/// What happened when, the latest first.
Wishes draw_events(const HeatNow& now, ScreenState& state, Ui& ui);
/// On the two faces: what the infrared camera is told, what it shows, what is true.
Wishes draw_infrared(const HeatNow& now, ScreenState& state, Ui& ui);
/// A hand on the hottest place of the face (of the room's side, where the wall is cut open).
Wishes draw_hand(const HeatNow& now, ScreenState& state, Ui& ui);
/// How long a hand may stay, in a sentence.
[[nodiscard]] std::string hand_sentence(const Ui& ui, const HandReading& hand, double surface_k);
/// An event's name in words.
[[nodiscard]] const std::string& event_word(const Ui& ui, const std::string& name);
/// Whether the smoke that is given off now can be seen.
[[nodiscard]] bool smoke_visible(const sim::Snapshot& snapshot);
/// The key of what a protective device is called, or of the sentence that it has opened.
[[nodiscard]] const char* device_word(const sim::Device& device, bool open);
Wishes draw_surroundings(const HeatNow& now, ScreenState& state, Ui& ui);
Wishes draw_insulation(const HeatNow& now, ScreenState& state, Ui& ui);
Wishes draw_view_controls(const HeatNow& now, ScreenState& state, Ui& ui);
Wishes draw_display_controls(const HeatNow& now, ScreenState& state, Ui& ui);

/// The demonstration's step, its caption and the controls of time.
Wishes draw_demonstration(const HeatNow& now, ScreenState& state, Ui& ui);
/// The scene's cautions with their signal words.
Wishes draw_cautions(const HeatNow& now, ScreenState& state, Ui& ui);
/// What it is not for: on every screen and every picture, whatever else has to scroll.
void draw_notice(Ui& ui);

/// Over the picture, once the model has ended: why, and the ways back.
Wishes draw_danger(const HeatNow& now, ScreenState& state, Ui& ui);

// Dialogs.
Wishes draw_first_caution(ScreenState& state, Ui& ui);
Wishes draw_key_list(ScreenState& state, Ui& ui);

/// A label of signal word and sign, in its safety colours, as an item of the layout.
void signal_label(Ui& ui, scenes::Signal signal, const std::string& word);

/// Adds the wishes of one panel to those of another.
inline void add(Wishes& all, Wishes more) {
  all.insert(all.end(), more.begin(), more.end());
}

}  // namespace warmbay::render
