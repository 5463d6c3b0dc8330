#pragma once
// What is wrong with an input, and where. Readers return these; nothing throws across a folder's border.

#include <string>
#include <vector>

namespace warmbay::scenes {

struct Fault {
  std::string file;
  int line = 0;  // 1-based; 0: the file as a whole
  int column = 0;
  std::string text;  // what is wrong, what was expected
};

/// "FILE:LINE:COLUMN: text" (or "FILE: text" when there is no line).
[[nodiscard]] std::string to_line(const Fault& fault);

}  // namespace warmbay::scenes
