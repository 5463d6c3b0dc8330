#pragma once
// Whether this build can start threads. A page without cross-origin isolation cannot: what has a thread of its own
// elsewhere takes its turn between two frames there.

namespace warmbay::render {

#if defined(__EMSCRIPTEN__) && !defined(__EMSCRIPTEN_PTHREADS__)
inline constexpr bool own_threads = false;
#else
inline constexpr bool own_threads = true;
#endif

}  // namespace warmbay::render
