#include "scenes/text/cautions.hpp"

#include <utility>

namespace warmbay::scenes {

Caution caution_of(const std::string& key, const Text& text) {
  static const std::vector<std::pair<std::string, Signal>> words{{"danger", Signal::danger},
                                                                 {"warning", Signal::warning},
                                                                 {"caution", Signal::caution},
                                                                 {"notice", Signal::notice}};
  Caution caution;
  // A caution that names no signal word is treated as the gravest one: nobody is hurt by a warning too strong.
  caution.signal = Signal::danger;
  std::string word = "danger";
  for (const auto& [name, signal] : words) {
    if (text("caution." + key + ".signal") != name) continue;
    caution.signal = signal;
    word = name;
  }
  caution.signal_word = text("signal." + word);
  caution.sentence = text("caution." + key + ".text");
  return caution;
}

std::vector<Caution> cautions_of(const Scene& scene, const Text& text) {
  std::vector<Caution> cautions;
  for (const std::string& key : scene.cautions) cautions.push_back(caution_of(key, text));
  cautions.push_back({Signal::notice, text("signal.notice"), text("notice.sizing")});
  return cautions;
}

std::string sizing_notice(const Text& text) {
  return text("signal.notice") + ": " + text("notice.sizing");
}

}  // namespace warmbay::scenes
