// SPDX-License-Identifier: GPL-3.0-or-later
// Work that may take longer than half a second, away from the window. One at a time: starting again stops the former.
#pragma once

#include "core/work.h"

#include <QObject>
#include <QString>
#include <QThreadPool>
#include <QTimer>

#include <functional>
#include <memory>

namespace portwright {

/// Runs a function on a thread of its own. What it gives is handed over in the window's thread, and only if it is
/// still wanted: a result that was cancelled, replaced by a newer start, or whose owner is gone is never handed over.
/// Cancel takes effect in the window at once; the thread ends at the work's next look at its Watch, and until then
/// holds nothing but copies. Progress is announced only once the work has taken 0.5 s.
class LongTask : public QObject {
    Q_OBJECT
public:
    using Taken = std::function<void()>;              ///< hands the result over; run in the window's thread
    using Work = std::function<Taken(const Watch&)>;  ///< run on the worker; captures copies only

    explicit LongTask(QObject* parent = nullptr);
    ~LongTask() override;

    void start(Work work);
    void cancel();

    bool running() const { return current_ != nullptr; }
    bool slow() const { return slow_; }  ///< it has taken longer than 0.5 s: show its progress
    double fraction() const;             ///< 0..1 of the running work
    QString step() const;                ///< what is being done

    static constexpr int silentMilliseconds = 500;

signals:
    void progressed();  ///< slow(), fraction() or step() is another one
    void finished();    ///< the result has been handed over
    void cancelled();   ///< by cancel(); not by a newer start

private:
    struct Run;
    void end();

    std::shared_ptr<Run> current_;
    QThreadPool pool_;
    QTimer look_;
    qint64 startedAt_ = 0;
    bool slow_ = false;
};

/// The usual shape: a work that gives a Result, and what is done with it.
template <class T>
void startTask(LongTask& task, std::function<Result<T>(const Watch&)> work, std::function<void(Result<T>)> take)
{
    task.start([work = std::move(work), take = std::move(take)](const Watch& watch) -> LongTask::Taken {
        auto result = std::make_shared<Result<T>>(work(watch));
        return [result, take] { take(std::move(*result)); };
    });
}

}  // namespace portwright
