// Makes one file and one table of the benchmarks' own: bench_table OUT.json HEAT.json SOLVERS.json ...
//
// OUT.json is what Google Benchmark writes, with all benchmarks in one list and the program's name beside each. The
// table is Markdown, ready for the README. A benchmark that failed stands in it with its reason, and makes this fail.

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <string>
#include <string_view>
#include <vector>

namespace {

using Json = nlohmann::ordered_json;

/// A counter that most benchmarks have, and gets a column; the others share the last one.
struct Column {
  const char* key;
  const char* heading;
};
constexpr std::array<Column, 5> columns{{{"voxels", "voxels"},
                                         {"sim_s/s", "simulated s a second"},
                                         {"error_k", "error, K"},
                                         {"of_triad", "of triad"},
                                         {"frames/s", "frames a second"}}};

/// What Google Benchmark says of every benchmark: no counters.
bool is_bookkeeping(std::string_view key) {
  constexpr std::array<std::string_view, 16> keys{"name",
                                                  "run_name",
                                                  "run_type",
                                                  "family_index",
                                                  "per_family_instance_index",
                                                  "repetitions",
                                                  "iterations",
                                                  "repetition_index",
                                                  "real_time",
                                                  "cpu_time",
                                                  "time_unit",
                                                  "threads",
                                                  "label",
                                                  "error_occurred",
                                                  "error_message",
                                                  "program"};
  for (const std::string_view one : keys)
    if (one == key) return true;
  for (const Column& column : columns)
    if (key == column.key) return true;
  return false;
}

/// Three digits that count, whole numbers whole, thousands apart.
std::string number(double value) {
  if (std::abs(value) < 1000.0) return fmt::format("{:.3g}", value);
  std::string digits = fmt::format("{:.0f}", value);
  for (auto place = static_cast<std::ptrdiff_t>(digits.size()) - 3; place > 0; place -= 3)
    digits.insert(static_cast<std::size_t>(place), 1, ',');
  return digits;
}

double milliseconds(const Json& one) {
  const std::string unit = one.value("time_unit", "ns");
  return one.value("real_time", 0.0) * (unit == "ns" ? 1e-6 : unit == "us" ? 1e-3 : unit == "s" ? 1e3 : 1.0);
}

/// "transient/step_ms:5000/real_time" without what only says how it was timed.
std::string name_of(const Json& one) {
  std::string name = one.value("name", "");
  for (const std::string_view tail : {"/real_time", "/iterations:1", "/min_time:4.000"})
    for (std::size_t at = name.find(tail); at != std::string::npos; at = name.find(tail)) name.erase(at, tail.size());
  return name;
}

std::string row_of(const Json& one) {
  if (one.value("error_occurred", false))
    return fmt::format("| {} | **failed: {}** |{}", name_of(one), one.value("error_message", ""),
                       std::string(columns.size() + 1, '|'));
  std::string row = fmt::format("| {} | {} |", name_of(one), number(milliseconds(one)));
  for (const Column& column : columns)
    row += one.contains(column.key) ? fmt::format(" {} |", number(one[column.key])) : " |";
  std::string rest = one.value("label", "");
  for (const auto& [key, value] : one.items())
    if (!is_bookkeeping(key) && value.is_number())
      rest += fmt::format("{}{} {}", rest.empty() ? "" : ", ", key, number(value.get<double>()));
  return fmt::format("{} {} |", row, rest);
}

void print_table(const Json& benchmarks) {
  std::string heading = "| benchmark | ms |", rule = "|---|---|";
  for (const Column& column : columns) heading += fmt::format(" {} |", column.heading), rule += "---|";
  fmt::print("{} more |\n{}---|\n", heading, rule);
  for (const Json& one : benchmarks) fmt::print("{}\n", row_of(one));
}

}  // namespace

int main(int argc, char** argv) {
  if (argc < 3) {
    fmt::print(stderr, "bench_table OUT.json IN.json ...\n");
    return 2;
  }
  Json all;
  all["benchmarks"] = Json::array();
  bool failed = false;
  for (int n = 2; n < argc; ++n) {
    const std::filesystem::path from = argv[n];
    const Json read = Json::parse(std::ifstream(from), nullptr, false);
    if (read.is_discarded() || !read.contains("benchmarks")) {
      fmt::print(stderr, "{}: no benchmarks in it\n", from.string());
      return 1;
    }
    if (!all.contains("context")) all["context"] = read["context"];
    for (Json one : read["benchmarks"]) {
      one["program"] = from.stem().string();
      failed = failed || one.value("error_occurred", false);
      all["benchmarks"].push_back(std::move(one));
    }
  }
  print_table(all["benchmarks"]);
  std::ofstream out(argv[1]);
  out << all.dump(1) << '\n';
  if (!out.flush()) {
    fmt::print(stderr, "{}: cannot be written\n", argv[1]);
    return 1;
  }
  return failed ? 1 : 0;
}
