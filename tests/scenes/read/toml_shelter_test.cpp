// What the parser must not see comes back as it was. Source of the sequences of bytes: RFC 3629 (UTF-8).

#include "scenes/read/toml_shelter.hpp"

#include "scenes/read/toml_reader.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;

namespace {

bool holds(std::string_view text, std::string_view character) {
  return text.find(character) != std::string_view::npos;
}

/// The only fault of a text, as FILE:LINE:COLUMN and words.
std::string fault_of(std::string_view text) {
  scenes::Faults faults("f.toml");
  const auto table = scenes::parse_toml(text, faults);
  const auto sorted = faults.sorted();
  if (table || sorted.size() != 1) return "read, or not one fault";
  return scenes::to_line(sorted.front());
}

}  // namespace

TEST_CASE("characters that the parser must not see are others of one column there, and come back") {
  // The first and the last of two and of three bytes, and of the range; around the halves of UTF-16.
  for (const std::string character : {"\xC2\xA0", "\xDF\xBF", "\xE0\xA0\x80", "\xED\x9F\xBF", "\xEE\x80\x80",
                                      "\xEF\xBB\xBF", "\xC3\xA9", "\xE2\x82\xAC"}) {
    const std::string text = "a" + character + "b" + character;
    const std::string hidden = scenes::sheltered(text);
    CHECK_FALSE(holds(hidden, character));
    CHECK(hidden.size() == 2 + 2 * 4);  // four bytes a stand-in: still one character, one column
    CHECK(scenes::unsheltered(hidden) == text);
  }
}

TEST_CASE("what is no character of the range goes through the parser's shelter as it is") {
  for (const std::string text :
       {"\xEF\xBB\xBFplain ASCII", "\xC2\x9F", "\xEF\xBC\x80", "\xF0\x9F\x94\xA5", "\xED\xA0\x80", "\xC1\xA0",
        "\xE0\x82\xA0", "\xC3", "\xE2\x82", "\xFF\xA9", "\xE2 \xAC"}) {
    CHECK(scenes::sheltered(text) == text);
    CHECK(scenes::unsheltered(text) == text);
  }
}

TEST_CASE("texts and keys beyond ASCII are read as they stand, with their places") {
  scenes::Faults faults("f.toml");
  const auto table =
      scenes::parse_toml("a = \"é\"\n\"ü.ö\" = { 'ß' = [[\"€\"], \"n\\u00EF\"] }\nb = \"\"\"\\\n  ϝ\"\"\"\n", faults);
  REQUIRE(table);
  CHECK(faults.count() == 0);
  CHECK((*table)["a"].value_or<std::string>("") == "é");
  CHECK((*table)["b"].value_or<std::string>("") == "ϝ");
  const auto* inner = (*table)["ü.ö"].as_table();
  REQUIRE(inner);
  CHECK((*inner)["ß"][0][0].value_or<std::string>("") == "€");
  CHECK((*inner)["ß"][1].value_or<std::string>("") == "nï");
  CHECK(table->size() == 3);
  CHECK(scenes::mark_of((*inner)["ß"][0].node()->source()).line == 2);
  CHECK(scenes::mark_of(inner->source()).line == 2);
}

TEST_CASE("a fault of the parser names characters beyond ASCII as the file has them") {
  const std::string told = fault_of("\"é\" = 1\n\"é\" = 2\n");
  CHECK(told.starts_with("f.toml:2:"));
  CHECK(holds(told, "é"));
  CHECK_FALSE(holds(told, "\xF3"));
}

TEST_CASE("a text that holds a stand-in itself is refused where it does") {
  const std::string words = ": this character is from a plane for private use, expected one that everybody can read";
  CHECK(fault_of("a = 1\nb = \"é\xF3\xB0\x83\xA9\"\n") == "f.toml:2:7" + words);
  CHECK(fault_of("a = \"\\U000F00E9\"\n") == "f.toml:1:6" + words);
}
