// The fuzzers' rules (tests/fuzz), held for what ships and for every input that once broke one.

#include <fmt/format.h>

#include "tests/fuzz/held.hpp"
#include "tests/fuzz/inputs.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;

TEST_CASE("what ships and what once broke a rule of its kind breaks none") {
  for (const auto& input : fuzz::inputs()) {
    const auto files = fuzz::files_of(input);
    REQUIRE_FALSE(files.empty());
    for (const auto& file : files) {
      INFO(input.name << ": " << file.string());
      CHECK(input.broken(fuzz::bytes_of(file)) == "");
    }
  }
}

TEST_CASE("what ships, cut off anywhere, breaks no rule of its kind") {
  for (const auto& input : fuzz::inputs()) {
    const std::string whole = fuzz::bytes_of(fuzz::files_of(input).front());
    for (std::size_t part = 1; part < 40; ++part) {
      const std::string cut = whole.substr(0, whole.size() * part / 40);
      INFO(input.name << ", the first " << cut.size() << " bytes");
      CHECK(input.broken(cut) == "");
    }
  }
}

TEST_CASE("the rules see a fault without a place, beyond the text, or that steers a terminal") {
  const std::string text = "one\ntwo\n";
  const auto told = [&](const scenes::Fault& fault) { return fuzz::wrong_faults({fault}, text, "f"); };
  CHECK(told({"f", 3, 1, "at the end"}).empty());
  CHECK(told({"f", 0, 0, "somewhere"}).find("no place") != std::string::npos);
  CHECK(told({"f", 2, 0, "somewhere"}).find("no place") != std::string::npos);
  CHECK(told({"f", 4, 1, "nowhere"}).find("beyond the 3 lines") != std::string::npos);
  CHECK(told({"f", 1, 1, ""}).find("says nothing") != std::string::npos);
  CHECK(told({"another", 0, 0, "not asked for"}).empty());
}
