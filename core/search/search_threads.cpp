// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/search/search_threads.h"

#include <algorithm>
#include <atomic>
#include <chrono>
#include <condition_variable>
#include <mutex>
#include <system_error>
#include <thread>
#include <vector>

namespace portwright::searching {

namespace {

// As many threads as wanted, or as many as the machine gives.
std::vector<std::thread> started(std::size_t wanted, const std::function<void()>& work)
{
    std::vector<std::thread> threads;
    threads.reserve(wanted);
    try {
        while (threads.size() < wanted)
            threads.emplace_back(work);
    } catch (const std::system_error&) {
        return threads;
    }
    return threads;
}

}  // namespace

bool onThreads(std::size_t count, int threads, const std::function<std::function<void(std::size_t)>()>& worker,
               const Watch& watch, std::string_view step, double from, double to)
{
    std::atomic<std::size_t> next{0};
    std::atomic<bool> stop{false};
    std::size_t finished = 0;
    std::mutex mutex;
    std::condition_variable moved;
    const auto work = [&] {
        const auto job = worker();
        for (std::size_t i = next++; i < count && !stop; i = next++) {
            job(i);
            const std::lock_guard lock(mutex);
            ++finished;
            moved.notify_one();
        }
    };
    constexpr std::size_t most = 64;
    const std::size_t wanted = threads > 0 ? std::size_t(threads) : std::max(1u, std::thread::hardware_concurrency());
    std::vector<std::thread> running = started(std::min({most, wanted, count}), work);
    if (running.empty()) work();
    std::unique_lock lock(mutex);
    while (finished < count && !stop) {
        moved.wait_for(lock, std::chrono::milliseconds(20));
        const double part = double(finished) / double(count);
        lock.unlock();
        report(watch, from + part * (to - from), step);
        if (isCancelled(watch)) stop = true;
        lock.lock();
    }
    lock.unlock();
    for (std::thread& t : running)
        t.join();
    return !stop;
}

}  // namespace portwright::searching
