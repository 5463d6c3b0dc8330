// Members spin for a moment, then sleep. They never yield: the system may take a whole time slice from a thread that
// yields beside a busy process, while one that sleeps is run soon after it is woken, and leaves a core on which the
// member that is waited for can run.

#include "sim/crew.hpp"

#include <algorithm>
#include <chrono>
#include <exception>
#include <utility>

#ifdef __linux__
#include <sched.h>
#include <time.h>
#endif

namespace warmbay::sim {
namespace {

// For how long a waiting member looks again before it sleeps, s. Longer: other processes lose that time; shorter:
// rounds begin with waking members up, some 50 us.
constexpr double spin_s = 150e-6;
constexpr int spins_a_look = 32;  // at the clock
// After a round that took this long, s, so many rounds are looked at closely. Longer, or fewer: rounds in which every
// member was kept from its core pass for large ones; shorter, or more: reading the clocks takes time, some 0.5 us a
// round.
constexpr double long_round_s = 0.5e-3;
constexpr int close_looks = 64;
constexpr int parts_bits = 16;
constexpr int most_members = (1 << parts_bits) - 1;

void breathe() {
#if defined(__x86_64__) || defined(__i386__)
  __builtin_ia32_pause();
#endif
}

double now_s() {
  return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count();
}
int parts_of(std::uint64_t order) {
  return static_cast<int>(order & most_members);
}
unsigned round_of(std::uint64_t order) {
  return static_cast<unsigned>(order >> parts_bits);
}

/// For how long this thread has had a core, s. Systems without such a clock: no less than it can have been.
double on_core_s() {
#ifdef __linux__
  timespec used{};
  if (clock_gettime(CLOCK_THREAD_CPUTIME_ID, &used) == 0)
    return static_cast<double>(used.tv_sec) + 1e-9 * static_cast<double>(used.tv_nsec);
#endif
  return now_s();
}

}  // namespace

int usable_cores() {
#ifdef __linux__
  cpu_set_t usable;
  if (sched_getaffinity(0, sizeof usable, &usable) == 0) return CPU_COUNT(&usable);
#endif
  return static_cast<int>(std::max(1U, std::thread::hardware_concurrency()));
}

Crew::Crew(int threads, std::function<int(int)> present) : present_(std::move(present)) {
  const int wanted = std::min(threads > 0 ? threads : usable_cores(), most_members);
  places_ = std::vector<Place>(static_cast<std::size_t>(wanted));
  // Results do not depend on how many members there are, so fewer than wanted are no failure.
  try {
    members_.reserve(static_cast<std::size_t>(wanted - 1));
    for (int part = 1; part < wanted; ++part) members_.emplace_back([this, part] { serve(part); });
  } catch (const std::exception&) {
    // No more threads or no memory for them (std::system_error, std::bad_alloc): those that did start do the work.
  }
  attendance_ = Attendance(size());
  worked_s_.reserve(static_cast<std::size_t>(size()));
}

Crew::~Crew() {
  leaving_ = true;
  ask(size());
  recalled_.ring();
  for (std::thread& member : members_) member.join();
}

template <class Ready>
void Crew::Bell::sleep(const Ready& ready) {
  std::unique_lock lock(mutex_);
  // Before the look: who changes something then sees the sleeper, or the sleeper sees the change.
  ++sleepers_;
  changed_.wait(lock, ready);
  --sleepers_;
}

template <class Ready>
void Crew::Bell::wait(const Ready& ready) {
  const double until_s = now_s() + spin_s;
  do {
    for (int n = 0; n < spins_a_look; ++n) {
      if (ready()) return;
      breathe();
    }
  } while (now_s() < until_s);
  sleep(ready);
}

void Crew::Bell::ring() {
  if (sleepers_ == 0) return;
  { const std::lock_guard lock(mutex_); }  // not between a sleeper's look and its sleep
  changed_.notify_all();
}

void Crew::wait_for(int part, const std::atomic<unsigned>& sign, unsigned value) {
  if (sign == value) return;
  const double from_s = now_s();
  done_.wait([&] { return sign == value; });
  places_[static_cast<std::size_t>(part)].waited_s += now_s() - from_s;
}

void Crew::tell(std::atomic<unsigned>& sign, unsigned value) {
  sign = value;
  done_.ring();
}

/// Begins a round of so many parts.
void Crew::ask(int parts) {
  const std::uint64_t before = order_;
  const std::uint64_t number = (before >> parts_bits) + 1;
  order_ = number << parts_bits | static_cast<std::uint64_t>(parts);
  ordered_.ring();
  if (parts > parts_of(before)) recalled_.ring();
}

void Crew::do_part(int part, int parts) {
  Place& place = places_[static_cast<std::size_t>(part)];
  place.waited_s = 0.0;
  const bool closely = close_looks_ > 0;
  const double on_core_from_s = closely ? on_core_s() : 0.0, from_s = now_s();
  call_(work_, part, parts);
  place.worked_s = now_s() - from_s - place.waited_s;
  if (!closely) return;
  const double on_core_for_s = on_core_s() - on_core_from_s;
  if (on_core_for_s > 0.0) place.worked_s = std::min(place.worked_s, on_core_for_s);  // 0: it only counts ticks
}

void Crew::start(Call call, const void* work) {
  if (members_.empty()) return call(work, 0, 1);
  const double from_s = now_s();
  const int parts = present_ ? std::clamp(present_(size()), 1, size()) : attendance_.present(from_s);
  if (parts == 1) return call(work, 0, 1);
  call_ = call;
  work_ = work;
  if (close_looks_ > 0) --close_looks_;
  ask(parts);
  do_part(0, parts);
  const unsigned round = round_of(order_);
  worked_s_.assign(1, places_[0].worked_s);
  for (std::size_t part = 1; part < static_cast<std::size_t>(parts); ++part) {
    const Place& place = places_[part];
    if (place.done != round) done_.wait([&] { return place.done == round; });
    worked_s_.push_back(place.worked_s);
  }
  const double to_s = now_s();
  if (to_s - from_s > long_round_s) close_looks_ = close_looks;
  attendance_.took(to_s, to_s - from_s, worked_s_);
}

void Crew::serve(int part) {
  Place& place = places_[static_cast<std::size_t>(part)];
  const auto wanted = [&] { return part < parts_of(order_) || leaving_; };
  std::uint64_t seen = 0;
  for (;;) {
    ordered_.wait([&] { return order_ != seen; });
    seen = order_;
    if (part >= parts_of(seen)) {
      recalled_.sleep(wanted);
      seen = order_;
    }
    if (leaving_) return;
    do_part(part, parts_of(seen));
    place.done = round_of(seen);
    done_.ring();
  }
}

}  // namespace warmbay::sim
