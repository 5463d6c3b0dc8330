#pragma once
// One background thread that does the latest job asked for: jobs not yet begun when a newer one arrives are dropped.
// For work that a frame must not wait for and whose older requests nobody needs any more. Without threads the job is
// done when take_turn() is called.

#include <condition_variable>
#include <functional>
#include <mutex>
#include <optional>
#include <thread>
#include <utility>

#include "render/own_threads.hpp"

namespace warmbay::render {

class Background {
 public:
  using Job = std::function<void()>;

  Background() {
    if constexpr (own_threads) thread_ = std::thread([this] { work(); });
  }
  ~Background() {
    {
      const std::lock_guard lock(mutex_);
      stop_ = true;
      next_.reset();
    }
    wake_.notify_one();
    if (thread_.joinable()) thread_.join();
  }
  Background(const Background&) = delete;
  Background& operator=(const Background&) = delete;

  /// Does `job` as soon as the running one ends, instead of any other that waits. A job must not throw.
  void ask(Job job) {
    {
      const std::lock_guard lock(mutex_);
      next_ = std::move(job);
    }
    wake_.notify_one();
  }

  /// Where there are no threads: does the job that waits, if any. True: there was one.
  bool take_turn() {
    if constexpr (own_threads) return false;
    if (!next_) return false;
    const Job job = *std::exchange(next_, std::nullopt);
    job();
    return true;
  }

 private:
  void work() {
    std::unique_lock lock(mutex_);
    while (true) {
      wake_.wait(lock, [this] { return stop_ || next_.has_value(); });
      if (stop_) return;
      const Job job = std::move(*next_);
      next_.reset();
      lock.unlock();
      job();
      lock.lock();
    }
  }

  std::mutex mutex_;
  std::condition_variable wake_;
  std::optional<Job> next_;
  bool stop_ = false;
  std::thread thread_;  // last: it uses everything above
};

}  // namespace warmbay::render
