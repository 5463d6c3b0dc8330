#include "scenes/report/html.hpp"

namespace warmbay::scenes {

std::string escaped(std::string_view text) {
  std::string safe;
  for (const char c : text) {
    switch (c) {
      case '&':
        safe += "&amp;";
        break;
      case '<':
        safe += "&lt;";
        break;
      case '>':
        safe += "&gt;";
        break;
      case '"':
        safe += "&quot;";
        break;
      default:
        safe += c;
    }
  }
  return safe;
}

std::string html_table(const std::vector<std::string>& heads, const std::vector<std::vector<std::string>>& rows) {
  std::string html = "<table><thead><tr>";
  for (const std::string& head : heads) html += "<th>" + escaped(head) + "</th>";
  html += "</tr></thead>\n<tbody>\n";
  for (const std::vector<std::string>& row : rows) {
    html += "<tr>";
    for (const std::string& cell : row) {
      const bool number = !cell.empty() && cell.find_first_not_of("0123456789-+. –×") == std::string::npos;
      html += number ? "<td class=\"n\">" : "<td>";
      html += escaped(cell) + "</td>";
    }
    html += "</tr>\n";
  }
  return html + "</tbody></table>\n";
}

std::string_view page_style() {
  return R"css(
:root { color-scheme: light; }
body { font: 15px/1.45 Inter, "DejaVu Sans", sans-serif; color: #1a1a1f; background: #fff; max-width: 60rem;
  margin: 2rem auto; padding: 0 1.2rem; }
h1 { font-size: 1.7rem; line-height: 1.2; margin: 0 0 .3rem; }
h2 { font-size: 1.15rem; margin: 2rem 0 .5rem; border-bottom: 1px solid #999; padding-bottom: .2rem; }
p.lead { font-size: 1.05rem; margin: .2rem 0 1rem; }
table { border-collapse: collapse; width: 100%; font-size: .86rem; margin: .4rem 0 1rem; }
th { text-align: left; font-weight: 600; border-bottom: 1.5px solid #1a1a1f; padding: .25rem .5rem .25rem 0;
  vertical-align: bottom; }
td { border-bottom: 1px solid #ccc; padding: .25rem .5rem .25rem 0; vertical-align: top; }
td.n { font-variant-numeric: tabular-nums; white-space: nowrap; }
figure { margin: .6rem 0 1.2rem; break-inside: avoid; }
figure svg, figure img { width: 100%; height: auto; display: block; }
figure img { width: auto; max-width: 100%; max-height: 30rem; }
figcaption { font-size: .86rem; color: #333; margin-top: .3rem; }
.row { display: flex; gap: .6rem; }
.row > div { flex: 1 1 0; min-width: 0; }
ul.sources { font-size: .8rem; padding-left: 1.1rem; }
ul.marks { font-size: .86rem; list-style: none; padding: 0; margin: -.6rem 0 1.2rem; columns: 2; }
ul.marks b { display: inline-block; min-width: 1.4rem; }
.caution { display: flex; gap: .8rem; align-items: baseline; border: 1.5px solid #1a1a1f; padding: .4rem .7rem;
  margin: .4rem 0; break-inside: avoid; }
.caution b { min-width: 6.2rem; margin-right: .3rem; text-align: center; padding: .1rem .4rem; border: 1.5px solid #1a1a1f; }
.danger b { background: #b5121b; color: #fff; }
.warning b { background: #ff8c1a; color: #000; }
.caution-word b { background: #ffd21f; color: #000; }
.notice b { background: #00529b; color: #fff; font-style: italic; }
footer { margin-top: 2rem; font-size: .86rem; border-top: 1px solid #999; padding-top: .5rem; }
@page { margin: 15mm; }
@media print { figure img { max-height: 100mm; } body { margin: 0; max-width: none; font-size: 10.5pt; } tr { break-inside: avoid; }
  h2 { break-after: avoid; } }
)css";
}

}  // namespace warmbay::scenes
