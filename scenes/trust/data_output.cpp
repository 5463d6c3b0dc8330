// What programs read: CSV and JSON. Numbers in full, '.' as the decimal sign whatever the locale.

#include <fmt/format.h>

#include <iterator>
#include <nlohmann/json.hpp>

#include "scenes/output/csv.hpp"
#include "scenes/read/file_units.hpp"
#include "scenes/trust/outputs.hpp"

namespace warmbay::scenes {

namespace {

using Json = nlohmann::ordered_json;

Json check_json(const CheckResult& result) {
  const Check& check = result.check;
  Json json = {{"name", check.name}, {"what", rule_of(check.what).word}, {"of", check.of}, {"unit", check.unit}};
  if (!check.with.empty()) json["with"] = check.with;
  json["at_min"] = check.at_s ? Json(minute.from_si(*check.at_s)) : Json(nullptr);
  json["published"] = check.published;
  json["least"] = check.least;
  json["most"] = check.most;
  json["ours"] = result.failure.empty() ? Json(result.ours) : Json(nullptr);
  json["difference"] = result.failure.empty() ? Json(result.ours - check.published) : Json(nullptr);
  json["within"] = result.verdict == Verdict::within;
  if (check.deviates)
    json["deviates"] = {{"least", check.deviates->least}, {"most", check.deviates->most}, {"why", check.deviates->why}};
  if (!result.failure.empty()) json["failure"] = result.failure;
  return json;
}

/// Why there is no number, or why it lies where it does.
std::string note_of(const CheckResult& result) {
  return result.verdict == Verdict::explained ? result.check.deviates->why : result.failure;
}

Json case_json(const CaseResult& one) {
  Json json = {{"file", one.file}};
  if (one.read) {
    json["title"] = one.read->title;
    json["group"] = one.read->group;
    json["source"] = one.read->source;
    json["mark"] = one.read->mark;
    json["tolerance_why"] = one.read->why;
    json["scene"] = one.read->scene_file;
  }
  json["faults"] = Json::array();
  for (const Fault& fault : one.faults) json["faults"].push_back(to_line(fault));
  json["checks"] = Json::array();
  for (const CheckResult& check : one.checks) json["checks"].push_back(check_json(check));
  if (!one.read || one.variations.empty()) return json;
  json["variations"] = Json::array();
  for (std::size_t v = 0; v < one.variations.size(); ++v) {
    const Variation& of = one.read->variations[v];
    Json ends = Json::array();
    for (const VariationResult::End& end : one.variations[v].ends) {
      Json values = Json::array();
      for (const Measured& there : end.values)
        values.push_back(there.failure.empty() ? Json(there.value) : Json(nullptr));
      ends.push_back(std::move(values));
    }
    json["variations"].push_back(
        {{"name", of.name}, {"range", of.range}, {"source", of.source}, {"ends", std::move(ends)}});
  }
  return json;
}

}  // namespace

std::string trust_csv(const TrustResult& result) {
  std::string csv = "case,group,source,mark,scene,check,unit,at_min,published,least,most,ours,difference,within,note\n";
  const auto out = std::back_inserter(csv);
  for (const CaseResult& one : result.cases) {
    if (!one.read) {
      const std::string note = one.faults.empty() ? "" : to_line(one.faults.front());
      fmt::format_to(out, "{},,,,,,,,,,,,,false,{}\n", csv_field(one.file), csv_field(note));
      continue;
    }
    const Case& of = *one.read;
    for (const CheckResult& check : one.checks) {
      const Check& asked = check.check;
      const bool read = check.failure.empty();
      fmt::format_to(out, "{},{},{},{},{},{},{},{},{:.10g},{:.10g},{:.10g},{},{},{},{}\n", csv_field(of.title),
                     csv_field(of.group), csv_field(of.source), csv_field(of.mark), csv_field(of.scene_file),
                     csv_field(asked.name), csv_field(asked.unit),
                     asked.at_s ? fmt::format("{:.10g}", minute.from_si(*asked.at_s)) : "", asked.published,
                     asked.least, asked.most, read ? fmt::format("{:.10g}", check.ours) : "",
                     read ? fmt::format("{:.10g}", check.ours - asked.published) : "", check.verdict == Verdict::within,
                     csv_field(note_of(check)));
    }
  }
  return csv;
}

std::string trust_json(const TrustResult& result) {
  Json json = {{"checks", result.checks()}, {"within", result.within},        {"outside_explained", result.explained},
               {"outside", result.outside}, {"cases_not_run", result.faulty}, {"seconds", result.seconds}};
  json["cases"] = Json::array();
  for (const CaseResult& one : result.cases) json["cases"].push_back(case_json(one));
  return json.dump(2) + "\n";
}

}  // namespace warmbay::scenes
