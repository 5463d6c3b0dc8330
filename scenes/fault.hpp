#pragma once
// What is wrong with an input, and where. Readers return these; nothing throws across a folder's border.

#include <iosfwd>
#include <string>
#include <vector>

namespace warmbay::scenes {

struct Fault {
  std::string file;
  int line = 0;  // 1-based; 0: the file as a whole
  int column = 0;
  std::string text;  // what is wrong, what was expected
};

/// "FILE:LINE:COLUMN: text" (or "FILE: text" when there is no line), without characters that steer a terminal.
[[nodiscard]] std::string to_line(const Fault& fault);

/// Prints a line per fault, input_limits::faults_told of them at most, and how many more there are in one last line.
void print_faults(std::ostream& to, const std::vector<Fault>& faults);

}  // namespace warmbay::scenes
