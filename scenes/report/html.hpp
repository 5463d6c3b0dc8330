#pragma once
// The few pieces of HTML that a report is made of.

#include <string>
#include <string_view>
#include <vector>

namespace warmbay::scenes {

/// Text with the characters that mean something in HTML made harmless.
[[nodiscard]] std::string escaped(std::string_view text);

/// A table; every cell is escaped. Cells of nothing but numbers are never broken across lines.
[[nodiscard]] std::string html_table(const std::vector<std::string>& heads,
                                     const std::vector<std::vector<std::string>>& rows);

/// The look of the page, for the screen and for paper.
[[nodiscard]] std::string_view page_style();

}  // namespace warmbay::scenes
