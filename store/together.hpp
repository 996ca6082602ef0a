#pragma once
/// Work that is cheaper done together: whoever comes while others are at it waits, and the next in turn does all that wait in one go.

#include <condition_variable>
#include <mutex>
#include <span>
#include <utility>
#include <vector>

namespace leafturn::store {

/// `Job` holds what is asked and, afterwards, its answer. Safe to share between threads.
template <class Job>
class Together {
 public:
  /// Returns when `job` is done: by `work(std::span<Job* const>)` called here with this job and all that wait, in the order they came, or
  /// by another caller's. `work` runs alone and must not throw.
  template <class Work>
  void run(Job& job, const Work& work) {
    std::unique_lock lock(mutex_);
    Waiting mine{&job, false};
    waiting_.push_back(&mine);
    changed_.wait(lock, [&] { return mine.done || !busy_; });
    if (mine.done) return;
    busy_ = true;
    const std::vector<Waiting*> turn = std::exchange(waiting_, {});
    lock.unlock();
    std::vector<Job*> jobs;
    for (const Waiting* one : turn) jobs.push_back(one->job);
    work(std::span<Job* const>(jobs));
    lock.lock();
    for (Waiting* one : turn) one->done = true;
    busy_ = false;
    changed_.notify_all();
  }

 private:
  struct Waiting {
    Job* job;
    bool done;
  };
  std::mutex mutex_;
  std::condition_variable changed_;
  std::vector<Waiting*> waiting_;
  bool busy_ = false;
};

}  // namespace leafturn::store
