#pragma once
// Jobs that do not depend on each other, done by several threads.

#include <cstddef>
#include <functional>

namespace warmbay::scenes {

/// Calls job(n) once for every n in [0, count), on as many as `threads` threads, this one included; 0: one per usable
/// core. Returns when all are done. A job must not throw. Fewer threads than wanted do the work all the same.
void side_by_side(std::size_t count, int threads, const std::function<void(std::size_t)>& job);

}  // namespace warmbay::scenes
