#include "scenes/trust/terminal_table.hpp"

#include <fmt/ostream.h>

#include <algorithm>
#include <vector>

#include "scenes/text/cautions.hpp"
#include "scenes/text/text_fill.hpp"
#include "scenes/trust/words.hpp"

namespace warmbay::scenes {

namespace {

constexpr std::size_t page_columns = 118;

/// Words laid out in lines of page_columns, each indented by two.
std::string wrapped(const std::string& words) {
  std::string lines;
  std::string line;
  std::size_t from = 0;
  while (from < words.size()) {
    const std::size_t to = std::min(words.find(' ', from), words.size());
    const std::string word = words.substr(from, to - from);
    if (line.size() + 3 + word.size() > page_columns) {
      lines.append(" ").append(line).append("\n");
      line.clear();
    }
    line.append(" ").append(word);
    from = to + 1;
  }
  return lines.append(" ").append(line).append("\n");
}

void print_row(std::ostream& out, const CheckWords& words) {
  fmt::print(out, "  {:<42} {:>6} {:<7} {:>9} {:>14} {:>10} {:>10}  {}\n", words.name, words.at_min, words.unit,
             words.published, words.tolerance, words.ours, words.difference, words.verdict);
}

void print_heads(std::ostream& out, const Text& text) {
  const auto word = [&](const char* key) { return text(std::string("trust.column.") + key); };
  print_row(out, {word("check"), word("at_min"), word("unit"), word("published"), word("tolerance"), word("ours"),
                  word("difference"), word("verdict")});
}

/// Two lines per thing that the case leaves open: what it is; what it changes in each check, by their order above.
void print_variations(std::ostream& out, const CaseResult& one, const Text& text) {
  if (one.variations.empty()) return;
  const std::vector<std::size_t> shown = varied_checks(one);
  std::vector<std::size_t> widths;  // as wide as each check's longest change: many checks on one line
  for (const std::size_t c : shown) {
    widths.push_back(fmt::formatted_size("({})", c + 1));
    for (const VariationResult& variation : one.variations)
      widths.back() = std::max(widths.back(), change_words(one.checks[c], variation, c).size());
  }
  fmt::print(out, "\n{} ", wrapped(text("trust.vary")));
  for (std::size_t n = 0; n < shown.size(); ++n)
    fmt::print(out, "  {:>{}}", fmt::format("({})", shown[n] + 1), widths[n]);
  fmt::print(out, "\n");
  for (std::size_t v = 0; v < one.variations.size(); ++v) {
    const Variation& of = one.read->variations[v];
    fmt::print(out, "  {}: {}\n ", of.name, of.range);
    for (std::size_t n = 0; n < shown.size(); ++n)
      fmt::print(out, "  {:>{}}", change_words(one.checks[shown[n]], one.variations[v], shown[n]), widths[n]);
    fmt::print(out, "\n");
  }
}

void print_case(std::ostream& out, const CaseResult& one, const Text& text) {
  if (!one.read) {
    fmt::print(out, "\n{}: {}\n", one.file, text("trust.not_run"));
    for (const Fault& fault : one.faults) fmt::print(out, "{}", wrapped(to_line(fault)));
    return;
  }
  fmt::print(
      out, "\n{}\n{}", one.read->title,
      wrapped(fill(text("trust.source"), fmt::arg("source", one.read->source), fmt::arg("mark", one.read->mark))));
  print_heads(out, text);
  for (const CheckResult& check : one.checks) {
    print_row(out, words_of(check, text));
    if (!check.failure.empty()) fmt::print(out, "{}", wrapped(check.failure));
    if (check.verdict == Verdict::explained) fmt::print(out, "{}", wrapped(check.check.deviates->why));
  }
  print_variations(out, one, text);
}

/// What went wrong, once more, where nobody overlooks it.
void print_outside(std::ostream& out, const TrustResult& result, const Text& text) {
  if (result.explained + result.outside + result.faulty == 0) return;
  fmt::print(out, "\n{}\n", text("trust.heading_outside"));
  for (const CaseResult& one : result.cases) {
    if (!one.read) fmt::print(out, "  {}: {}\n", one.file, text("trust.not_run"));
    for (const CheckResult& check : one.checks)
      if (check.verdict != Verdict::within)
        fmt::print(out, "  {}: {}: {}\n", one.file, check.check.name, words_of(check, text).verdict);
  }
}

}  // namespace

void print_trust_table(std::ostream& out, const TrustResult& result, const Text& text) {
  std::string group;
  for (const CaseResult& one : result.cases) {
    if (one.read && one.read->group != group) {
      group = one.read->group;
      fmt::print(out, "\n== {} ==\n", group);
    }
    print_case(out, one, text);
  }
  print_outside(out, result, text);
  fmt::print(out, "\n{}{}\n", wrapped(outcome_words(result, text)), sizing_notice(text));
}

}  // namespace warmbay::scenes
