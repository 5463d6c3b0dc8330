// Jobs are taken one by one from a common counter.

#include "scenes/side_by_side.hpp"

#include <algorithm>
#include <atomic>
#include <system_error>
#include <thread>
#include <vector>

#include "sim/crew.hpp"

namespace warmbay::scenes {

void side_by_side(std::size_t count, int threads, const std::function<void(std::size_t)>& job) {
  std::atomic<std::size_t> next = 0;
  const auto work = [&] {
    for (std::size_t n = next++; n < count; n = next++) job(n);
  };
  const auto wanted = static_cast<std::size_t>(threads > 0 ? threads : sim::usable_cores());
  std::vector<std::thread> crew;
  try {
    for (std::size_t n = 1; n < std::min(wanted, count); ++n) crew.emplace_back(work);
  } catch (const std::exception&) {
    // No more threads, or no memory for them: those that did start do the work.
  }
  work();
  for (std::thread& member : crew) member.join();
}

}  // namespace warmbay::scenes
