#pragma once
// One background thread that does the latest job asked for: jobs not yet begun when a newer one arrives are dropped.
// For work that a frame must not wait for and whose older requests nobody needs any more.

#include <condition_variable>
#include <functional>
#include <mutex>
#include <optional>
#include <thread>

namespace warmbay::render {

class Background {
 public:
  using Job = std::function<void()>;

  Background() : thread_([this] { work(); }) {}
  ~Background() {
    {
      const std::lock_guard lock(mutex_);
      stop_ = true;
      next_.reset();
    }
    wake_.notify_one();
    thread_.join();
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
