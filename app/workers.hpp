#pragma once
/// A few threads that wait for work, for core code that has none of its own.

#include <atomic>
#include <condition_variable>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <mutex>
#include <thread>
#include <vector>

namespace leafturn::app {

/// One job at a time; a second one, from another thread or from within a task, is run where it is asked for.
class WorkerPool {
 public:
  /// `threads`: those that work, the asking one among them; at least one.
  explicit WorkerPool(std::size_t threads = 2);
  WorkerPool(const WorkerPool&) = delete;
  WorkerPool& operator=(const WorkerPool&) = delete;
  ~WorkerPool();

  /// task(i) once for each i in [0, count), in any order; returns when all are done. Tasks don't throw.
  void run(std::size_t count, const std::function<void(std::size_t)>& task);

 private:
  void wait_for_work();
  void work();

  std::atomic<bool> taken_{false};  ///< someone's job is being done
  std::mutex mutex_;                ///< guards what follows
  std::condition_variable begun_, ended_;
  const std::function<void(std::size_t)>* task_ = nullptr;
  std::size_t count_ = 0;
  std::uint64_t job_ = 0;  ///< number of the job, so that each thread takes each once
  std::size_t busy_ = 0;   ///< threads of the pool that haven't ended this job
  bool stop_ = false;
  std::atomic<std::size_t> next_{0};
  std::vector<std::thread> threads_;
};

}  // namespace leafturn::app
