#pragma once
// A fixed crew of threads that stay alive between steps. run() gives every member its part and returns when all are
// done.

#include <algorithm>
#include <atomic>
#include <cstddef>
#include <thread>
#include <vector>

namespace warmbay::sim {

/// Cores that this process may run on: a container or a scheduler may have left it fewer than there are, and spinning
/// members that share a core wait for each other's time slices.
[[nodiscard]] int usable_cores();

class Crew {
 public:
  /// threads 0: one per usable core. Where the system starts fewer, the crew is smaller; size() tells.
  explicit Crew(int threads);
  ~Crew();
  Crew(const Crew&) = delete;
  Crew& operator=(const Crew&) = delete;

  [[nodiscard]] int size() const { return static_cast<int>(members_.size()) + 1; }

  /// Calls work(part, parts) once on every member; `work` must not throw. Not re-entrant.
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

  /// Within run(): waits until another member has set a sign to this value.
  static void wait_for(const std::atomic<unsigned>& sign, unsigned value);

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
  void start(Call call, const void* work);
  void serve(int part);

  std::vector<std::thread> members_;
  std::atomic<unsigned> round_{0};
  std::atomic<int> busy_{0};
  std::atomic<bool> leaving_{false};
  Call call_ = nullptr;
  const void* work_ = nullptr;
};

}  // namespace warmbay::sim
