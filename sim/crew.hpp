#pragma once
// A fixed crew of threads that stay alive between steps. run() gives every member its part and returns when all are
// done. Where other processes keep members from their cores, fewer of them take part (sim/attendance.hpp).

#include <algorithm>
#include <atomic>
#include <condition_variable>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <mutex>
#include <thread>
#include <vector>

#include "sim/attendance.hpp"

namespace warmbay::sim {

/// Cores that this process may run on: a container or a scheduler may have left it fewer than there are, and spinning
/// members that share a core wait for each other's time slices.
[[nodiscard]] int usable_cores();

class Crew {
 public:
  /// threads 0: one per usable core. Where the system starts fewer, the crew is smaller; size() tells. present, given
  /// size(): how many take part in the next run, 1 to size(); without it, as many as do good.
  explicit Crew(int threads, std::function<int(int)> present = {});
  ~Crew();
  Crew(const Crew&) = delete;
  Crew& operator=(const Crew&) = delete;

  [[nodiscard]] int size() const { return static_cast<int>(members_.size()) + 1; }

  /// Calls work(part, parts) once for every part, each on a member of its own; `work` must not throw. Not re-entrant.
  /// There are size() parts or fewer, and not the same number in every run: no result may depend on it, and what one
  /// run leaves to the next may not either.
  template <class Work>
  void run(const Work& work) {
    start([](const void* w, int part, int parts) { (*static_cast<const Work*>(w))(part, parts); }, &work);
  }

  /// Calls work(n) for n in [0, count), each exactly once, in contiguous shares.
  template <class Work>
  void each(int count, const Work& work) {
    run([&](int part, int parts) {
      const int to = static_cast<int>(static_cast<long long>(count) * (part + 1) / parts);
      for (int n = static_cast<int>(static_cast<long long>(count) * part / parts); n < to; ++n) work(n);
    });
  }

  /// Which half, or halves [first, last), of something a member works on, and which share of them: with an even number
  /// of members one half of them takes either, so that what a member has written is its own to read next time.
  struct Halves {
    int first, last, part, parts;
  };
  [[nodiscard]] static Halves halves(int part, int parts) {
    if (parts % 2 == 1) return {0, 2, part, parts};
    const int each = parts / 2;
    return {part / each, part / each + 1, part % each, each};
  }
  /// Calls work(half, n) for halves 0 and 1 and n in [0, count), each pair exactly once.
  template <class Work>
  void each_of_halves(int count, const Work& work) {
    run([&](int part, int parts) {
      const Halves mine = halves(part, parts);
      const auto share = [&](int p) { return static_cast<int>(static_cast<long long>(count) * p / mine.parts); };
      for (int half = mine.first; half < mine.last; ++half)
        for (int n = share(mine.part); n < share(mine.part + 1); ++n) work(half, n);
    });
  }

  /// Within run(), by the member that does `part`: waits until another member has given a sign this value.
  void wait_for(int part, const std::atomic<unsigned>& sign, unsigned value);
  /// Gives a sign a value for those who wait for it; what this member has written before is theirs to read.
  void tell(std::atomic<unsigned>& sign, unsigned value);

  /// each() where items are of unlike size: before(n) is the size of all items before n, `all` of all together.
  template <class Before, class Work>
  void each(int count, std::size_t all, const Before& before, const Work& work) {
    run([&](int part, int parts) {
      for (int n = 0; n < count; ++n)
        if (before(n) * static_cast<std::size_t>(parts) / std::max<std::size_t>(all, 1) ==
            static_cast<std::size_t>(part))
          work(n);
    });
  }

 private:
  using Call = void (*)(const void*, int, int);
  /// What only one member writes, on a cache line of its own.
  struct alignas(64) Place {
    std::atomic<unsigned> done{0};  // the last round that its part was done in
    double worked_s = 0.0;          // then, without waits
    double waited_s = 0.0;          // in it so far
  };
  /// Where members sleep until something that they look at has changed.
  class Bell {
   public:
    template <class Ready>
    void wait(const Ready& ready);  // spins for a moment first
    template <class Ready>
    void sleep(const Ready& ready);
    void ring();  // after the change

   private:
    std::atomic<int> sleepers_{0};
    std::mutex mutex_;
    std::condition_variable changed_;
  };
  void start(Call call, const void* work);
  void ask(int parts);
  void do_part(int part, int parts);
  void serve(int part);

  std::vector<std::thread> members_;
  std::vector<Place> places_;  // by part, the first one the caller's
  // A round's number and how many take part in it, in one word: a member that is left out must not look at what belongs
  // to the round, since nobody waits for it.
  std::atomic<std::uint64_t> order_{0};
  std::atomic<bool> leaving_{false};
  Bell ordered_, recalled_, done_;  // for the next round; for those left out; for parts done and signs within a round
  Call call_ = nullptr;
  const void* work_ = nullptr;
  int close_looks_ = 0;  // rounds still to be timed by the members' own clocks, too
  std::function<int(int)> present_;
  Attendance attendance_{1};
  std::vector<double> worked_s_;
};

}  // namespace warmbay::sim
