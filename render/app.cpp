// What the window does, without the window.

#include "render/app.hpp"

#include <utility>

#include "scenes/play/overloads.hpp"

namespace warmbay::render {

App::App(scenes::DataFiles data, ScreenState state, std::filesystem::path settings, const HeatOptions& options,
         std::function<void()> news)
    : state_(std::move(state)),
      settings_file_(std::move(settings)),
      saved_(state_.settings),
      data_(data),
      heading_(news),
      heat_(std::move(data), options, news) {}

void App::open(std::shared_ptr<const scenes::Scene> scene) {
  scene_ = std::move(scene);
  undo_.clear();
  state_.predictions.clear();
  state_.insulation_choices = scenes::insulation_choices(*scene_, data_);
  state_.insulation = scenes::insulation_of(*scene_);
  state_.asked_step = must_ask(state_, *scene_, 0) ? 0 : -1;
  begun_ = false;
  heat_.send(Play{false});
  looks_before_building_ = 1;
}

std::shared_ptr<const HeatNow> App::look(double wall_clock_s) {
  // The first frame is on the screen before building the wall takes the processor.
  if (looks_before_building_ >= 0 && looks_before_building_-- == 0) heat_.open(scene_, false);
  heat_.want_whole(state_.view.mode != ViewMode::cut_away);
  now_ = heat_.now();
  state_.heading = heading_.look(now_->snapshot, wall_clock_s);
  play_when_ready();
  return now_;
}

void App::take_turn(double longest_s) {
  heat_.take_turn(longest_s);
  heading_.take_turn();
}

/// The first step begins by itself, once the caution is acknowledged and no prediction is being asked for.
void App::play_when_ready() {
  if (begun_ || !now_->snapshot || state_.caution_open || state_.asked_step >= 0) return;
  begun_ = true;
  heat_.send(Play{true});
}

void App::grant(const Wishes& wishes, unsigned gesture) {
  for (const Wish& wish : wishes) grant(wish, gesture);
  for (const KeyCommand command : std::exchange(after_field_, {})) obey(command);
}

/// A function for every kind of wish: one that is forgotten here does not compile.
void App::grant(const Wish& wish, unsigned gesture) {
  std::visit(scenes::Overloads{
                 [&](const scenes::Change& w) { change(w, gesture); },
                 [&](const Insulate& w) { insulate(w.insulation, gesture); },
                 [&](const Play& w) { heat_.send(w); },
                 [&](const SetFactor& w) { heat_.send(w); },
                 [&](const SingleStep& w) { heat_.send(w); },
                 [&](const ResetExperiment&) { reset(); },
                 [&](const NextStep&) { next_step(); },
                 [&](const PreviousStep&) { previous_step(); },
                 [&](const Predict& w) { predict(w); },
                 [&](const Undo&) {
                   if (const auto back = undo_.undo()) relay(*back);
                 },
                 [&](const Redo&) {
                   if (const auto again = undo_.redo()) relay(*again);
                 },
                 [&](const Present& w) { present(w.presenting); },
                 [&](const Blank& w) { state_.blank = w.blank; },
                 [&](const ShowKeys& w) { state_.keys_shown = w.shown; },
                 [&](const FullScreen&) { window_.full_screen = true; },
                 [&](const AcknowledgeCaution&) {
                   state_.caution_open = false;
                   state_.settings.caution_acknowledged = true;
                 },
             },
             wish);
}

/// Notes what it was before, then lets the heat change it.
void App::change(const scenes::Change& change, unsigned gesture) {
  if (!now_ || !now_->snapshot) return;
  const sim::Snapshot& now = *now_->snapshot;
  if (const auto back = scenes::inverse(change, *now.wall, now.conditions))
    undo_.note(scenes::control_of(change), gesture, *back, change);
  heat_.send(change);
}

void App::insulate(const scenes::Insulation& insulation, unsigned gesture) {
  undo_.note("insulation", gesture, Insulate{state_.insulation}, Insulate{insulation});
  relay(Insulate{insulation});
}

/// Does it without noting it.
void App::relay(const Undoable& wish) {
  std::visit(scenes::Overloads{[&](const scenes::Change& change) { heat_.send(change); },
                               [&](const Insulate& wanted) {
                                 state_.insulation = wanted.insulation;
                                 heat_.open(std::make_shared<const scenes::Scene>(
                                                scenes::with_insulation(*scene_, wanted.insulation, data_)),
                                            true);
                               }},
             wish);
}

void App::next_step() {
  if (!now_ || !now_->snapshot || now_->ended || now_->broken) return;
  // A remote has no other key for it: the room has predicted on paper, or nobody wants to.
  if (state_.asked_step >= 0) return predict({state_.asked_step, false, 0.0});
  const int next = now_->step + 1;
  if (next >= static_cast<int>(scene_->steps.size())) return;
  if (must_ask(state_, *scene_, next)) {
    state_.asked_step = next;
    return;
  }
  heat_.send(NextStep{});
  heat_.send(Play{true});
}

void App::previous_step() {
  if (state_.asked_step > 0) {  // back to the end of the step before the question
    state_.asked_step = -1;
    return;
  }
  heat_.send(PreviousStep{});
}

void App::predict(const Predict& wish) {
  state_.predictions.push_back({wish.step, wish.given, wish.temperature_k});
  state_.asked_step = -1;
  if (!now_ || wish.step <= now_->step) return;  // of the first step: it begins by itself now
  heat_.send(NextStep{});
  heat_.send(Play{true});
}

/// The opening state, standing still; predictions are asked for again.
void App::reset() {
  state_.predictions.clear();
  state_.asked_step = scene_ && must_ask(state_, *scene_, 0) ? 0 : -1;
  if (state_.asked_step >= 0) begun_ = false;
  heat_.send(Play{false});
  heat_.send(ResetExperiment{});
}

void App::present(bool presenting) {
  if (state_.presenting == presenting) return;
  state_.presenting = presenting;
  window_.presenting_changed = true;
}

void App::press(KeyCommand command, bool typing) {
  if (!typing || command == KeyCommand::leave) return obey(command);  // Esc gives up what was typed
  state_.leave_field = true;
  after_field_.push_back(command);
}

void App::obey(KeyCommand command) {
  const bool runs = now_ && now_->playing && !now_->waiting;
  const double factor = now_ ? now_->factor : 1.0;
  switch (command) {
    case KeyCommand::next_step:
      return next_step();
    case KeyCommand::previous_step:
      return previous_step();
    case KeyCommand::pause:
      return heat_.send(Play{!runs});
    case KeyCommand::single_step:
      return heat_.send(SingleStep{});
    case KeyCommand::reset:
      return reset();
    case KeyCommand::faster:
      return heat_.send(SetFactor{neighbour_factor(factor, +1)});
    case KeyCommand::slower:
      return heat_.send(SetFactor{neighbour_factor(factor, -1)});
    case KeyCommand::present:
      return present(true);
    case KeyCommand::leave:
      if (state_.keys_shown) {
        state_.keys_shown = false;
      } else {
        present(false);
      }
      return;
    case KeyCommand::blank:
      state_.blank = !state_.blank;
      return;
    case KeyCommand::key_list:
      state_.keys_shown = !state_.keys_shown;
      return;
    case KeyCommand::full_screen:
      window_.full_screen = true;
      return;
    case KeyCommand::undo:
      return grant(Undo{}, 0);
    case KeyCommand::redo:
      return grant(Redo{}, 0);
  }
}

KeyContext App::key_context(bool typing, bool dragging) const {
  return {typing, dragging, state_.caution_open};
}

void App::ask_for_report(std::shared_ptr<const scenes::Palette> palette) {
  heat_.send(MakeReport{std::move(palette)});
}

WindowWishes App::take_window_wishes() {
  return std::exchange(window_, WindowWishes{});
}

std::string App::save_settings() {
  if (settings_file_.empty() || state_.settings == saved_) return {};
  saved_ = state_.settings;
  return write_settings(settings_file_, saved_);
}

}  // namespace warmbay::render
