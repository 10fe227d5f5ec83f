// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/session/long_task.h"

#include <QElapsedTimer>
#include <QMutex>
#include <QMutexLocker>

#include <atomic>
#include <string>

namespace portwright {
namespace {

qint64 now()
{
    static const QElapsedTimer clock = [] {
        QElapsedTimer started;
        started.start();
        return started;
    }();
    return clock.elapsed();
}

}  // namespace

/// What window and worker share of one run.
struct LongTask::Run {
    std::atomic<bool> unwanted = false;
    std::atomic<double> fraction = 0;
    QMutex stepLock;
    std::string step;
};

LongTask::LongTask(QObject* parent) : QObject(parent)
{
    pool_.setMaxThreadCount(2);  // the one wanted, and the one that is still on its way out
    look_.setInterval(50);       // ms: progress as the eye follows it, and no flood of events
    connect(&look_, &QTimer::timeout, this, [this] {
        if (now() - startedAt_ < silentMilliseconds) return;
        slow_ = true;
        emit progressed();
    });
    now();
}

LongTask::~LongTask()
{
    if (current_) current_->unwanted = true;
    pool_.clear();
    pool_.waitForDone();  // threads post to this object
}

void LongTask::start(Work work)
{
    if (current_) current_->unwanted = true;
    pool_.clear();  // those that have not begun
    const auto run = std::make_shared<Run>();
    current_ = run;
    startedAt_ = now();
    look_.start();
    if (slow_) {
        slow_ = false;
        emit progressed();
    }
    pool_.start([this, run, work = std::move(work)] {
        if (run->unwanted) return;
        const Watch watch{.progress =
                              [&run](double fraction, std::string_view step) {
                                  run->fraction = fraction;
                                  const QMutexLocker lock(&run->stepLock);
                                  run->step = step;
                              },
                          .cancelled = [&run] { return run->unwanted.load(); }};
        Taken taken = work(watch);
        if (run->unwanted) return;
        QMetaObject::invokeMethod(
            this,
            [this, run, taken = std::move(taken)] {
                if (run != current_) return;
                end();
                taken();
                emit finished();
            },
            Qt::QueuedConnection);
    });
}

void LongTask::cancel()
{
    if (!current_) return;
    current_->unwanted = true;
    end();
    emit cancelled();
}

void LongTask::end()
{
    current_.reset();
    look_.stop();
    if (!slow_) return;
    slow_ = false;
    emit progressed();
}

double LongTask::fraction() const { return current_ ? current_->fraction.load() : 0; }

QString LongTask::step() const
{
    if (!current_) return {};
    const QMutexLocker lock(&current_->stepLock);
    return QString::fromStdString(current_->step);
}

}  // namespace portwright
