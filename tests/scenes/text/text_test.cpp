// The catalogue: keys of nested tables, and that it holds what the shipped scenes and cautions ask of it.

#include "scenes/text/text.hpp"

#include <fstream>
#include <sstream>

#include "scenes/text/cautions.hpp"
#include "tests/scenes/shipped.hpp"
#include "tests/scenes/small_scene.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using namespace warmbay::tests;

namespace {

scenes::Text english() {
  std::vector<scenes::Fault> faults;
  auto text = scenes::Text::read(std::filesystem::path(WARMBAY_SOURCE_DIR) / "assets" / "text" / "en.toml", faults);
  INFO(lines_of(faults));
  REQUIRE(faults.empty());
  return text;
}

/// The most words of a sentence.
std::size_t longest_sentence(const std::string& text) {
  std::istringstream words(text);
  std::string word;
  std::size_t count = 0, most = 0;
  while (words >> word) {
    most = std::max(most, ++count);
    if (word.find_last_of(".?!") == word.size() - 1) count = 0;
  }
  return most;
}

}  // namespace

TEST_CASE("keys of nested tables are joined by dots, and a missing key shows itself") {
  const auto file = std::filesystem::temp_directory_path() / ("warmbay-text-" + std::to_string(::getpid()) + ".toml");
  std::ofstream(file) << "top = \"T\"\n[panel.supply]\ntitle = \"Supply\"\nbad = 3\n";
  std::vector<scenes::Fault> faults;
  const auto text = scenes::Text::read(file, faults);
  std::filesystem::remove(file);
  CHECK(text("top") == "T");
  CHECK(text("panel.supply.title") == "Supply");
  CHECK(text.has("panel.supply.title"));
  CHECK_FALSE(text.has("panel.supply"));
  CHECK(text("panel.nothing") == "panel.nothing");
  REQUIRE(faults.size() == 1);
  CHECK(faults[0].line == 4);
  CHECK(faults[0].column == 7);
}

TEST_CASE("a catalogue without a sentence is refused, and one with a control character") {
  const TemporaryFolder folder;
  const auto told = [&](const std::string& content) {
    std::vector<scenes::Fault> faults;
    (void)scenes::Text::read(folder.write("t.toml", content), faults);
    return lines_of(faults);
  };
  const std::string file = (folder.path() / "t.toml").string();
  const std::string empty = file + ":1:1: the text catalogue is empty, expected sentences\n";
  CHECK(told("") == empty);
  CHECK(told("# nothing\n[panel]\n") == empty);
  CHECK(told("a = \"A\"\n").empty());
  CHECK(told("a = \"A\\u001b\"\n") == file + ":1:5: 'a' holds a control character, expected a sentence\n");
}

TEST_CASE("a catalogue that is not there is one fault without a line") {
  std::vector<scenes::Fault> faults;
  (void)scenes::Text::read("/no/such/catalogue.toml", faults);
  REQUIRE(faults.size() == 1);
  CHECK(faults[0].line == 0);
}

TEST_CASE("every caption, question and caution of the shipped scenes is in the catalogue, in short sentences") {
  const auto text = english();
  for (const auto& file : shipped_scenes()) {
    const auto read = scenes::read_scene(file, shipped_data_files());
    INFO(file << "\n" << lines_of(read.faults));
    REQUIRE(read.scene);
    std::vector<std::string> keys;
    for (const auto& step : read.scene->steps) {
      keys.push_back(step.say);
      if (step.ask) keys.push_back(step.ask->question);
    }
    for (const auto& caution : read.scene->cautions) {
      keys.push_back("caution." + caution + ".text");
      CHECK(text.has("caution." + caution + ".signal"));
    }
    for (const auto& key : keys) {
      INFO(key << ": " << text(key));
      CHECK(text.has(key));
      CHECK(longest_sentence(text(key)) <= 20);
    }
    CHECK(longest_sentence(read.scene->summary) <= 20);
  }
}

TEST_CASE("no sentence of the catalogue has more than twenty words") {
  std::ifstream file(std::filesystem::path(WARMBAY_SOURCE_DIR) / "assets" / "text" / "en.toml");
  std::size_t sentences = 0;
  for (std::string line; std::getline(file, line);) {
    const std::size_t from = line.find(" = \"");
    if (from == std::string::npos) continue;
    const std::string text = line.substr(from + 4, line.rfind('"') - from - 4);
    INFO(line);
    CHECK(longest_sentence(text) <= 20);
    ++sentences;
  }
  CHECK(sentences > 200);
}

TEST_CASE("the caution about smoke warns, and names the gases") {
  const auto caution = scenes::caution_of("toxic-smoke", english());
  CHECK(caution.signal == scenes::Signal::warning);
  for (const auto* gas : {"carbon monoxide", "hydrogen chloride", "styrene"}) {
    CHECK(caution.sentence.find(gas) != std::string::npos);
  }
  CHECK(english()("notice.sizing").find("Not for sizing cables") != std::string::npos);
}
