#include "app/workers.hpp"

#include <algorithm>

namespace leafturn::app {

WorkerPool::WorkerPool(std::size_t threads) {
  for (std::size_t i = 1; i < threads; ++i) threads_.emplace_back([this] { wait_for_work(); });
}

WorkerPool::~WorkerPool() {
  {
    const std::lock_guard lock(mutex_);
    stop_ = true;
  }
  begun_.notify_all();
  for (std::thread& thread : threads_) thread.join();
}

void WorkerPool::run(std::size_t count, const std::function<void(std::size_t)>& task) {
  if (threads_.empty() || count < 2 || taken_.exchange(true)) {
    for (std::size_t i = 0; i < count; ++i) task(i);
    return;
  }
  {
    const std::lock_guard lock(mutex_);
    task_ = &task;
    count_ = count;
    next_ = 0;
    busy_ = threads_.size();
    ++job_;
  }
  begun_.notify_all();
  work();
  {
    std::unique_lock lock(mutex_);
    ended_.wait(lock, [this] { return busy_ == 0; });
  }
  taken_ = false;
}

void WorkerPool::wait_for_work() {
  std::uint64_t done = 0;
  for (;;) {
    {
      std::unique_lock lock(mutex_);
      begun_.wait(lock, [&] { return stop_ || job_ != done; });
      if (stop_) return;
      done = job_;
    }
    work();
    const std::lock_guard lock(mutex_);
    if (--busy_ == 0) ended_.notify_one();
  }
}

void WorkerPool::work() {
  for (std::size_t i = next_++; i < count_; i = next_++) (*task_)(i);
}

}  // namespace leafturn::app
