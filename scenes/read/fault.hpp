#pragma once
// What is wrong with an input, and where. Readers return these; nothing throws across a folder's border.

#include <iosfwd>
#include <string>
#include <string_view>
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

/// What faults call one of several things: "box 'channel'" when it has a name, else "box 3". index: from 0.
[[nodiscard]] std::string label_of(std::string_view what, const std::string& name, std::size_t index);

}  // namespace warmbay::scenes
