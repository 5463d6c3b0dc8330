// One sentence per outcome of sim::settle.

#include "scenes/text/settled_words.hpp"

namespace warmbay::scenes {

std::string why_not_settled(sim::SettledOutcome outcome) {
  switch (outcome) {
    case sim::SettledOutcome::runaway:
      return "no settled state: at this current the copper's resistance rises faster than the wall carries heat away";
    case sim::SettledOutcome::no_outlet:
      return "no settled state: no surface exchanges heat with any surroundings, so the heat has nowhere to go";
    case sim::SettledOutcome::stalled:
      return "no settled state: the solver used up its iterations before heat in and heat out agreed";
    case sim::SettledOutcome::settled:
      break;
  }
  return "no settled state: the temperatures are not finite numbers";
}

}  // namespace warmbay::scenes
