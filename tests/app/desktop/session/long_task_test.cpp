// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/session/long_task.h"

#include <catch2/catch.hpp>

#include <QCoreApplication>
#include <QSignalSpy>
#include <QTest>

#include <atomic>
#include <thread>

using namespace portwright;
using namespace std::chrono_literals;

namespace {

/// Works for so long unless it is stopped, looking every millisecond.
Result<int> workFor(std::chrono::milliseconds length, int answer, const Watch& watch)
{
    const auto begin = std::chrono::steady_clock::now();
    for (;;) {
        const auto done = std::chrono::steady_clock::now() - begin;
        if (done >= length) return answer;
        if (isCancelled(watch)) return cancelledWork();
        report(watch, std::chrono::duration<double>(done) / length, "counting");
        std::this_thread::sleep_for(1ms);
    }
}

bool waitFor(const std::function<bool()>& there, int milliseconds = 5000)
{
    return QTest::qWaitFor(there, milliseconds);
}

}  // namespace

TEST_CASE("the window goes on while a long work runs")
{
    LongTask task;
    int answer = 0, ticks = 0;
    QTimer tick;
    QObject::connect(&tick, &QTimer::timeout, [&] { ticks += task.running() ? 1 : 0; });
    tick.start(1);
    startTask<int>(
        task, [](const Watch& watch) { return workFor(700ms, 42, watch); }, [&](Result<int> r) { answer = *r; });
    CHECK(task.running());  // the call has come back before the work is done
    REQUIRE(waitFor([&] { return !task.running(); }));
    CHECK(answer == 42);
    CHECK(ticks > 10);  // none if the work held the window
}

TEST_CASE("progress is told only after half a second, with what is being done")
{
    LongTask task;
    bool told = false, halfOver = false;
    QString step;
    QObject::connect(&task, &LongTask::progressed, [&] {
        if (!task.slow() || told) return;
        CHECK(halfOver);
        told = true;
        step = task.step();
    });
    startTask<int>(task, [](const Watch& watch) { return workFor(20ms, 1, watch); }, [](Result<int>) {});
    REQUIRE(waitFor([&] { return !task.running(); }));
    CHECK_FALSE(told);
    QTimer::singleShot(LongTask::silentMilliseconds / 2, &task, [&] { halfOver = true; });
    startTask<int>(task, [](const Watch& watch) { return workFor(900ms, 1, watch); }, [](Result<int>) {});
    REQUIRE(waitFor([&] { return !task.running(); }));
    CHECK(told);
    CHECK(step == "counting");
    CHECK_FALSE(task.slow());
}

TEST_CASE("cancel is effective in the window at once, and nothing half-done is handed over")
{
    LongTask task;
    bool taken = false;
    QSignalSpy cancelled(&task, &LongTask::cancelled);
    startTask<int>(task, [](const Watch& watch) { return workFor(60s, 1, watch); }, [&](Result<int>) { taken = true; });
    QTest::qWait(50);
    task.cancel();
    CHECK_FALSE(task.running());
    CHECK(cancelled.count() == 1);
    QTest::qWait(100);
    CHECK_FALSE(taken);
}

TEST_CASE("a result that was ready when it was cancelled is dropped all the same")
{
    LongTask task;
    bool taken = false;
    std::atomic<bool> ready = false;
    startTask<int>(
        task,
        [&](const Watch&) -> Result<int> {
            ready = true;
            return 1;
        },
        [&](Result<int>) { taken = true; });
    while (!ready)
        std::this_thread::sleep_for(1ms);
    std::this_thread::sleep_for(20ms);  // its handing over waits in the queue now
    task.cancel();
    QTest::qWait(50);
    CHECK_FALSE(taken);
}

TEST_CASE("another input restarts the work: of thirty starts only the last is taken")
{
    LongTask task;
    std::vector<int> taken;
    for (int i = 0; i < 30; ++i) {
        startTask<int>(
            task, [i](const Watch& watch) { return workFor(50ms, i, watch); },
            [&](Result<int> r) { taken.push_back(*r); });
        QTest::qWait(5);
    }
    REQUIRE(waitFor([&] { return !task.running(); }));
    QTest::qWait(100);
    CHECK(taken == std::vector<int>{29});
}

TEST_CASE("an owner that goes while it works waits only for the next look at the watch")
{
    bool taken = false;
    std::atomic<bool> ended = false, early = false;
    {
        LongTask task;
        startTask<int>(
            task,
            [&](const Watch& watch) {
                auto result = workFor(60s, 1, watch);
                early = !result;
                ended = true;
                return result;
            },
            [&](Result<int>) { taken = true; });
        QTest::qWait(30);
    }
    CHECK(ended);
    CHECK(early);
    CHECK_FALSE(taken);
}
