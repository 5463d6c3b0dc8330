// Members spin for a moment, then yield, then sleep: a spinning barrier beside one busy core would cost a time slice.

#include "sim/crew.hpp"

#include <algorithm>
#include <exception>

#ifdef __linux__
#include <sched.h>
#endif

namespace warmbay::sim {
namespace {

constexpr int spins = 2000;
constexpr int yields = 200;

void breathe() {
#if defined(__x86_64__) || defined(__i386__)
  __builtin_ia32_pause();
#endif
}

}  // namespace

int usable_cores() {
#ifdef __linux__
  cpu_set_t usable;
  if (sched_getaffinity(0, sizeof usable, &usable) == 0) return CPU_COUNT(&usable);
#endif
  return static_cast<int>(std::max(1U, std::thread::hardware_concurrency()));
}

Crew::Crew(int threads) {
  const int wanted = threads > 0 ? threads : usable_cores();
  // Results do not depend on how many members there are, so fewer than wanted are no failure.
  try {
    members_.reserve(static_cast<std::size_t>(wanted - 1));
    for (int part = 1; part < wanted; ++part) members_.emplace_back([this, part] { serve(part); });
  } catch (const std::exception&) {
    // No more threads or no memory for them (std::system_error, std::bad_alloc): those that did start do the work.
  }
}

Crew::~Crew() {
  leaving_ = true;
  round_.fetch_add(1, std::memory_order_release);
  round_.notify_all();
  for (std::thread& member : members_) member.join();
}

void Crew::wait_for(const std::atomic<unsigned>& sign, unsigned value) {
  for (int n = 0; sign.load(std::memory_order_acquire) != value; ++n) n < spins ? breathe() : std::this_thread::yield();
}

void Crew::start(Call call, const void* work) {
  if (members_.empty()) return call(work, 0, 1);
  call_ = call;
  work_ = work;
  busy_.store(static_cast<int>(members_.size()), std::memory_order_relaxed);
  round_.fetch_add(1, std::memory_order_release);
  round_.notify_all();
  call(work, 0, size());
  for (int n = 0; busy_.load(std::memory_order_acquire) != 0; ++n) n < spins ? breathe() : std::this_thread::yield();
}

void Crew::serve(int part) {
  unsigned seen = 0;
  for (;;) {
    for (int n = 0; round_.load(std::memory_order_acquire) == seen; ++n) {
      if (n < spins)
        breathe();
      else if (n < spins + yields)
        std::this_thread::yield();
      else
        round_.wait(seen, std::memory_order_acquire);
    }
    ++seen;
    if (leaving_) return;
    call_(work_, part, size());
    busy_.fetch_sub(1, std::memory_order_release);
  }
}

}  // namespace warmbay::sim
