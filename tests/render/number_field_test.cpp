// A field for a number: what it takes, and that it never shows one value while another flows.

#include <imgui.h>
#include <imgui_internal.h>

#include <string>

#include "render/panels/widgets.hpp"
#include "scenes/text/text.hpp"
#include "tests/tests_pch.hpp"

namespace warmbay::render {

namespace {

/// The toolkit with one field on its screen, and a keyboard and a mouse for it.
class Desk {
 public:
  Desk() {
    ImGui::CreateContext();
    ImGuiIO& io = ImGui::GetIO();
    io.IniFilename = nullptr;
    io.DisplaySize = {400.0F, 300.0F};
    io.DeltaTime = 1.0F / 60.0F;
    for (const auto key : {ImGuiKey_Escape, ImGuiKey_Enter, ImGuiKey_Backspace, ImGuiKey_Space}) io.KeyMap[key] = key;
    ImFont* font = io.Fonts->AddFontDefault();
    io.Fonts->Build();
    fonts_.base = fonts_.small = fonts_.strong = fonts_.large = fonts_.huge = font;
  }
  ~Desk() { ImGui::DestroyContext(); }
  Desk(const Desk&) = delete;
  Desk& operator=(const Desk&) = delete;

  double flows = 30.0;  // what the field is to show
  int changes = 0;

  void frame(bool leave = false) {
    ImGui::NewFrame();
    if (leave) ImGui::ClearActiveID();
    ImGui::SetNextWindowPos({0, 0});
    ImGui::SetNextWindowSize({400, 300});
    ImGui::Begin("desk", nullptr, ImGuiWindowFlags_NoTitleBar);
    Ui ui{theme_of(ThemeName::graphite), fonts_, text_, {}};
    at_ = ImGui::GetCursorScreenPos();
    double shown = flows;
    if (number(ui, "current", shown, 0.0, 100.0, 1, "A", 120.0F)) {
      flows = shown;
      ++changes;
    }
    ImGui::End();
    ImGui::Render();
  }
  void click(ImVec2 where) {
    ImGui::GetIO().MousePos = where;
    frame();
    ImGui::GetIO().MouseDown[0] = true;
    frame();
    ImGui::GetIO().MouseDown[0] = false;
    frame();
    frame();
  }
  void click_field() { click({at_.x + 10.0F, at_.y + 8.0F}); }
  void type(const std::string& letters) {
    for (const char letter : letters) {
      ImGui::GetIO().AddInputCharacter(static_cast<unsigned>(letter));
      frame();
    }
  }
  void key(ImGuiKey which) {
    ImGui::GetIO().KeysDown[which] = true;
    frame();
    ImGui::GetIO().KeysDown[which] = false;
    frame();
    frame();  // the toolkit wants letters for one frame longer
  }
  [[nodiscard]] static bool typing() { return ImGui::GetIO().WantTextInput; }
  /// What stands in the field while it is edited.
  [[nodiscard]] static std::string draft() { return ImGui::GetCurrentContext()->InputTextState.TextA.Data; }

 private:
  Fonts fonts_{};
  scenes::Text text_;
  ImVec2 at_{};
};

}  // namespace

TEST_CASE("a number field takes digits, signs and points, and nothing else") {
  Desk desk;
  desk.frame();
  desk.click_field();
  REQUIRE(Desk::typing());
  desk.type("1r s2b*.e/5?");
  CHECK(Desk::draft() == "12.5");
  desk.key(ImGuiKey_Enter);
  CHECK(desk.flows == 12.5);
  desk.click_field();
  desk.type("7,25");  // a comma is the point of many keyboards; one decimal is kept
  desk.key(ImGuiKey_Enter);
  CHECK(desk.flows == Approx(7.3));
}

TEST_CASE("Escape leaves a number as it was, whatever has been typed") {
  Desk desk;
  desk.frame();
  desk.click_field();
  desk.type("5");
  desk.flows = 41.0;  // meanwhile a step sets another current
  desk.key(ImGuiKey_Escape);
  CHECK_FALSE(Desk::typing());
  CHECK(desk.changes == 0);
  CHECK(desk.flows == 41.0);
}

TEST_CASE("a number typed back to what flows changes nothing, and the last one typed counts") {
  Desk desk;
  desk.frame();
  desk.click_field();
  desk.type("30");  // by way of 3
  desk.key(ImGuiKey_Enter);
  CHECK(desk.changes == 0);
  CHECK(desk.flows == 30.0);
  desk.flows = 20.04;  // shown as 20.0
  desk.click_field();
  desk.key(ImGuiKey_Enter);
  CHECK(desk.flows == 20.04);
}

TEST_CASE("a number that is left flows, and one that is none is forgotten") {
  Desk desk;
  desk.frame();
  desk.click_field();
  desk.type("5");
  desk.click({390.0F, 290.0F});
  CHECK(desk.flows == 5.0);
  desk.click_field();
  desk.type("-");
  desk.click({390.0F, 290.0F});
  CHECK(desk.flows == 5.0);
  desk.click_field();
  desk.type("9999");  // held within its limits
  desk.click({390.0F, 290.0F});
  CHECK(desk.flows == 100.0);
  desk.click_field();
  desk.type("8");
  desk.frame(true);  // a key that is no number's ends the editing: what was typed counts
  desk.frame();
  CHECK_FALSE(Desk::typing());
  CHECK(desk.flows == 8.0);
}

}  // namespace warmbay::render
