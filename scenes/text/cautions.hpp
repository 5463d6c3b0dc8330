#pragma once
// The cautions of a scene, with the signal words of ANSI Z535.4: DANGER will kill or injure seriously, WARNING could,
// CAUTION could injure lightly, NOTICE concerns no injury.

#include <string>
#include <vector>

#include "scenes/scene.hpp"
#include "scenes/text/text.hpp"

namespace warmbay::scenes {

enum class Signal { danger, warning, caution, notice };

struct Caution {
  Signal signal = Signal::notice;
  std::string signal_word;  // as it is printed: "DANGER"
  std::string sentence;
};

/// The caution that a key of the catalogue stands for ("live-test"): its sentence and its signal word.
[[nodiscard]] Caution caution_of(const std::string& key, const Text& text);

/// The scene's cautions in the order of their keys there, and last the notice that every page carries: not for sizing
/// cables.
[[nodiscard]] std::vector<Caution> cautions_of(const Scene& scene, const Text& text);

/// "NOTICE: Not for sizing cables. ...": the line that stands under every table and picture.
[[nodiscard]] std::string sizing_notice(const Text& text);

}  // namespace warmbay::scenes
