// The outcome for a README: a row per group, and a row per case folded away below it.

#include <fmt/format.h>

#include <algorithm>
#include <vector>

#include "scenes/text/text_fill.hpp"
#include "scenes/trust/outputs.hpp"
#include "scenes/trust/words.hpp"

namespace warmbay::scenes {

namespace {

/// Which of some checks uses up most of its tolerance, and how much of it, 1.
struct Closest {
  const CheckResult* check = nullptr;
  double share = 0.0;
};

/// How far ours lies from what is published, as a share of how far it may lie on that side. Where nothing may lie on
/// that side, or there is no number, all is used up.
double share_of(const CheckResult& result) {
  const Check& check = result.check;
  if (!result.failure.empty()) return 1.0;
  const double off = result.ours - check.published;
  const double room = off > 0.0 ? check.most - check.published : check.published - check.least;
  return off == 0.0 ? 0.0 : room > 0.0 ? std::abs(off) / room : 1.0;
}

Closest closest_of(const std::vector<const CaseResult*>& cases) {
  Closest closest;
  for (const CaseResult* one : cases)
    for (const CheckResult& check : one->checks)
      if (const double share = share_of(check); !closest.check || share > closest.share) closest = {&check, share};
  return closest;
}

std::size_t within(const std::vector<const CaseResult*>& cases) {
  std::size_t count = 0;
  for (const CaseResult* one : cases)
    count +=
        static_cast<std::size_t>(std::count_if(one->checks.begin(), one->checks.end(), [](const CheckResult& check) {
          return check.verdict == Verdict::within;
        }));
  return count;
}

std::size_t checks(const std::vector<const CaseResult*>& cases) {
  std::size_t count = 0;
  for (const CaseResult* one : cases) count += one->checks.size();
  return count;
}

/// A bar would end a table's cell.
std::string cell(std::string words) {
  for (std::size_t at = 0; (at = words.find('|', at)) != std::string::npos; at += 2) words.insert(at, 1, '\\');
  return words;
}

/// "slab, centre: 60.2 instead of 60.1 K, 40 % of its tolerance".
std::string closest_words(const std::vector<const CaseResult*>& cases, const Text& text) {
  const Closest closest = closest_of(cases);
  if (!closest.check) return "";
  const CheckWords words = words_of(*closest.check, text);
  return cell(fill(text("trust.closest"), fmt::arg("check", words.name), fmt::arg("ours", words.ours),
                   fmt::arg("published", words.published),
                   fmt::arg("unit", words.unit.empty() ? std::string() : " " + words.unit),
                   fmt::arg("percent", 100.0 * closest.share)));
}

std::string row(const std::vector<std::string>& cells) {
  std::string line = "|";
  for (const std::string& one : cells) line += " " + one + " |";
  return line + "\n";
}

std::string head(const std::vector<std::string>& cells) {
  return row(cells) + row(std::vector<std::string>(cells.size(), "---"));
}

}  // namespace

std::string trust_markdown(const TrustResult& result, const Text& text) {
  std::vector<std::pair<std::string, std::vector<const CaseResult*>>> groups;
  for (const CaseResult& one : result.cases) {
    if (!one.read) continue;
    const auto same = [&](const auto& group) { return group.first == one.read->group; };
    auto group = std::find_if(groups.begin(), groups.end(), same);
    if (group == groups.end()) group = groups.insert(groups.end(), {one.read->group, {}});
    group->second.push_back(&one);
  }
  const std::string within_column = text("trust.column.within"), closest_column = text("trust.column.closest");
  std::string page = outcome_words(result, text) + "\n\n";
  page += head({text("trust.column.group"), text("trust.column.cases"), within_column, closest_column});
  for (const auto& [name, cases] : groups)
    page += row({cell(name), std::to_string(cases.size()), fmt::format("{} / {}", within(cases), checks(cases)),
                 closest_words(cases, text)});
  page += "\n<details><summary>" + text("trust.every_case") + "</summary>\n\n";
  page += head({text("trust.column.case"), text("trust.column.source"), within_column, closest_column});
  for (const CaseResult& one : result.cases)
    page += one.read ? row({cell(one.read->title), cell(fmt::format("{} ({})", one.read->source, one.read->mark)),
                            fmt::format("{} / {}", within({&one}), one.checks.size()), closest_words({&one}, text)})
                     : row({one.file, "", text("trust.not_run"), ""});
  return page + "\n</details>\n";
}

}  // namespace warmbay::scenes
