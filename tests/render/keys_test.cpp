// Keys: what presenter remotes and keyboards send, and what the toolkit may keep.

#include "render/keys.hpp"

#include <set>
#include <string>

#include "tests/tests_pch.hpp"

namespace warmbay::render {

namespace {
const KeyContext free{};
const KeyContext typing{true, false, false};
const KeyContext dragging{false, true, false};
const KeyContext dialog{false, false, true};
}  // namespace

TEST_CASE("a presenter's remote steps, starts presenting, blanks and leaves") {
  CHECK(key_command({SDLK_PAGEDOWN}, free) == KeyCommand::next_step);
  CHECK(key_command({SDLK_PAGEUP}, free) == KeyCommand::previous_step);
  CHECK(key_command({SDLK_F5}, free) == KeyCommand::present);
  CHECK(key_command({SDLK_ESCAPE}, free) == KeyCommand::leave);
  CHECK(key_command({SDLK_PERIOD}, free) == KeyCommand::blank);
  CHECK(key_command({SDLK_b}, free) == KeyCommand::blank);
}

TEST_CASE("arrows step unless a value is being moved or typed") {
  CHECK(key_command({SDLK_RIGHT}, free) == KeyCommand::next_step);
  CHECK(key_command({SDLK_LEFT}, free) == KeyCommand::previous_step);
  CHECK_FALSE(key_command({SDLK_RIGHT}, typing));
  CHECK_FALSE(key_command({SDLK_LEFT}, dragging));
  CHECK_FALSE(key_command({SDLK_UP}, free));  // the toolkit's: from control to control
}

TEST_CASE("signs and points go into a number field, letters, Space and page keys are commands all the same") {
  for (const SDL_Keycode key : {SDLK_PERIOD, SDLK_MINUS, SDLK_PLUS, SDLK_KP_PERIOD, SDLK_KP_MINUS, SDLK_KP_PLUS}) {
    CHECK(key_command({key}, free));
    CHECK_FALSE(key_command({key}, typing));
  }
  for (const SDL_Keycode key : {SDLK_SPACE, SDLK_b, SDLK_s, SDLK_r, SDLK_QUESTION}) {
    CHECK(key_command({key}, free));
    CHECK(key_command({key}, typing) == key_command({key}, free));
  }
  for (const SDL_Keycode key : {SDLK_0, SDLK_9, SDLK_BACKSPACE, SDLK_DELETE, SDLK_HOME, SDLK_RETURN, SDLK_TAB})
    CHECK_FALSE(key_command({key}, typing));
  CHECK(key_command({SDLK_PAGEDOWN}, typing) == KeyCommand::next_step);
  CHECK(key_command({SDLK_F1}, typing) == KeyCommand::key_list);
}

TEST_CASE("a dialog that must be answered lets nothing pass") {
  CHECK_FALSE(key_command({SDLK_PAGEDOWN}, dialog));
  CHECK_FALSE(key_command({SDLK_SPACE}, dialog));
  CHECK_FALSE(key_command({SDLK_TAB}, dialog));
}

TEST_CASE("undo and redo want the control key, and leave text fields their own") {
  CHECK(key_command({SDLK_z, true}, free) == KeyCommand::undo);
  CHECK(key_command({SDLK_y, true}, free) == KeyCommand::redo);
  CHECK(key_command({SDLK_z, true, true}, free) == KeyCommand::redo);
  CHECK_FALSE(key_command({SDLK_z}, free));
  CHECK_FALSE(key_command({SDLK_z, true}, typing));
  CHECK_FALSE(key_command({SDLK_s, true}, free));  // no single step by a slip of the hand
}

TEST_CASE("a question mark lists the keys on any keyboard") {
  CHECK(key_command({SDLK_QUESTION}, free) == KeyCommand::key_list);
  CHECK(key_command({SDLK_SLASH, false, true}, free) == KeyCommand::key_list);
  CHECK_FALSE(key_command({SDLK_SLASH}, free));
}

TEST_CASE("no key leaves the program") {
  // Every command there is: none of them quits. Esc leaves presenting, whatever is going on.
  for (const KeyContext& context : {free, typing, dragging, dialog}) {
    CHECK(key_command({SDLK_ESCAPE}, context) == KeyCommand::leave);
    CHECK_FALSE(key_command({SDLK_q, true}, context));
    CHECK_FALSE(key_command({SDLK_w, true}, context));
  }
}

TEST_CASE("the list of keys has a line for each command, none twice") {
  std::set<std::string> texts;
  for (const KeyLine& line : key_lines()) {
    CHECK(std::string(line.keys).size() > 0);
    CHECK(texts.insert(line.text_key).second);
  }
  CHECK(texts.size() == 16);  // 14 commands in 13 lines (faster and slower share one), and three for the focus
}

}  // namespace warmbay::render
