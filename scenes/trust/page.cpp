#include "scenes/trust/outputs.hpp"

#include "scenes/report/html.hpp"
#include "scenes/text/cautions.hpp"
#include "scenes/text/text_fill.hpp"
#include "scenes/trust/words.hpp"

namespace warmbay::scenes {

namespace {

std::string paragraph(const std::string& words) {
  return "<p>" + escaped(words) + "</p>\n";
}

std::string check_table(const CaseResult& one, const Text& text) {
  std::vector<std::string> heads;
  for (const char* key : {"check", "at_min", "unit", "published", "tolerance", "ours", "difference", "verdict"})
    heads.push_back(text(std::string("trust.column.") + key));
  std::vector<std::vector<std::string>> rows;
  for (const CheckResult& check : one.checks) {
    const CheckWords words = words_of(check, text);
    rows.push_back({words.name, words.at_min, words.unit, words.published, words.tolerance,
                    check.failure.empty() ? words.ours : check.failure, words.difference, words.verdict});
  }
  std::string html = html_table(heads, rows);
  for (const CheckResult& check : one.checks)
    if (check.verdict == Verdict::explained)
      html += paragraph(fill(text("trust.why_deviates"), fmt::arg("check", check.check.name),
                             fmt::arg("why", check.check.deviates->why)));
  return html;
}

/// What each thing that the case leaves open does to its checks.
std::string variation_table(const CaseResult& one, const Text& text) {
  if (one.variations.empty()) return "";
  std::vector<std::string> heads{text("trust.vary_open"), text("trust.vary_range")};
  const std::vector<std::size_t> shown = varied_checks(one);
  for (const std::size_t c : shown) {
    const CheckWords words = words_of(one.checks[c], text);
    heads.push_back(words.at_min.empty() ? words.name
                                         : fill(text("trust.vary_at"), fmt::arg("check", words.name),
                                                fmt::arg("minutes", words.at_min)));
  }
  std::vector<std::vector<std::string>> rows;
  std::string sources;
  for (std::size_t v = 0; v < one.variations.size(); ++v) {
    const Variation& of = one.read->variations[v];
    std::vector<std::string> row{of.name, of.range};
    for (const std::size_t c : shown) row.push_back(change_words(one.checks[c], one.variations[v], c));
    rows.push_back(std::move(row));
    sources += "<li><b>" + escaped(of.name) + "</b>: " + escaped(of.source) + "</li>\n";
  }
  return paragraph(text("trust.vary")) + html_table(heads, rows) + "<ul class=\"sources\">\n" + sources + "</ul>\n";
}

std::string case_section(const CaseResult& one, const Text& text) {
  if (!one.read) {
    std::string html = "<h3>" + escaped(one.file + ": " + text("trust.not_run")) + "</h3>\n";
    for (const Fault& fault : one.faults) html += paragraph(to_line(fault));
    return html;
  }
  const Case& of = *one.read;
  return "<h3>" + escaped(of.title) + "</h3>\n" +
         paragraph(fill(text("trust.source"), fmt::arg("source", of.source), fmt::arg("mark", of.mark))) +
         paragraph(fill(text("trust.why"), fmt::arg("why", of.why))) + check_table(one, text) +
         variation_table(one, text);
}

std::string outside_list(const TrustResult& result, const Text& text) {
  if (result.explained + result.outside + result.faulty == 0) return "";
  std::string html = "<h2>" + escaped(text("trust.heading_outside")) + "</h2>\n<ul>\n";
  for (const CaseResult& one : result.cases) {
    if (!one.read) html += "<li>" + escaped(one.file + ": " + text("trust.not_run")) + "</li>\n";
    for (const CheckResult& check : one.checks)
      if (check.verdict != Verdict::within)
        html += "<li>" + escaped(one.file + ": " + check.check.name + ": " + words_of(check, text).verdict) + "</li>\n";
  }
  return html + "</ul>\n";
}

}  // namespace

std::string trust_html(const TrustResult& result, const Text& text) {
  const std::string title = escaped(text("trust.title"));
  std::string html = "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<title>" + title +
                     "</title>\n<style>" + std::string(page_style()) + "</style>\n</head>\n<body>\n<h1>" + title +
                     "</h1>\n<p class=\"lead\">" + escaped(outcome_words(result, text)) + "</p>\n";
  html += paragraph(text("trust.marks"));
  html += "<div class=\"caution notice\"><b>" + escaped(text("signal.notice")) + "</b><span>" +
          escaped(text("notice.sizing")) + "</span></div>\n";
  html += outside_list(result, text);
  std::string group;
  for (const CaseResult& one : result.cases) {
    if (one.read && one.read->group != group) {
      group = one.read->group;
      html += "<h2>" + escaped(group) + "</h2>\n";
    }
    html += case_section(one, text);
  }
  return html + "<footer>" + escaped(sizing_notice(text)) + "</footer>\n</body>\n</html>\n";
}

}  // namespace warmbay::scenes
