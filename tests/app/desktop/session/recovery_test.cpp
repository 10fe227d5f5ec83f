// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/question_bar.h"
#include "tests/app/desktop/bench.h"
#include "tests/app/desktop/left_work.h"

#include <catch2/catch.hpp>

#include <QDir>
#include <QElapsedTimer>
#include <QProcess>
#include <QTest>

namespace portwright {

int workUntilKilled(const QString& stateFolder, const QString& project)
{
    qputenv("PORTWRIGHT_RECOVERY_MS", "10");
    Document document;
    Recovery recovery(document, stateFolder);
    ProjectFiles files(document, recovery, stateFolder);
    if (project.isEmpty())
        files.startNew(sample());
    else if (!files.open(project))
        return 1;
    document.edit("v", [](Project& p) { p.housings.at(0).cavity.netVolume = 7.25e-3; });
    return QCoreApplication::exec();
}

}  // namespace portwright

using namespace portwright;

namespace {

/// Runs the child until it has written its recovery data, then kills it as a crash would.
void crash(const QString& state, const QString& project)
{
    QProcess child;
    QStringList arguments{"--work-until-killed", state};
    if (!project.isEmpty()) arguments << project;
    child.start(QCoreApplication::applicationFilePath(), arguments);
    REQUIRE(child.waitForStarted());
    QElapsedTimer clock;
    clock.start();
    while (QDir(state + "/recovery").entryList({"*.recovery"}).isEmpty() && clock.elapsed() < 15'000)
        QTest::qWait(20);
    child.kill();  // SIGKILL
    child.waitForFinished();
    REQUIRE(QDir(state + "/recovery").entryList({"*.recovery"}).size() == 1);
}

}  // namespace

TEST_CASE("work on a saved project survives kill -9 and is offered with time and path")
{
    Bench bench(false);
    const QString path = bench.file("job.portwright");
    REQUIRE(writeWholeFile(path, QByteArray::fromStdString(projectText(sample()))));
    crash(bench.folders.state, path);
    const QDateTime now = QDateTime::currentDateTime();
    const auto left = bench.window->recovery().leftWork();
    REQUIRE(left.size() == 1);
    CHECK(left.front().path == path);
    CHECK(qAbs(left.front().time.secsTo(now)) < 60);
    CHECK(left.front().project.housings.at(0).cavity.netVolume == 7.25e-3);
}

TEST_CASE("work never saved is offered too, stays until the user decides, and comes back as unsaved")
{
    Bench bench(false);
    crash(bench.folders.state, {});
    bench.window->offerLeftWork();
    CHECK(bench.window->questionBar()->question().contains("never saved"));
    emit bench.window->questionBar()->answered(2);  // Later
    CHECK(bench.window->recovery().leftWork().size() == 1);
    bench.window->offerLeftWork();
    emit bench.window->questionBar()->answered(0);  // Recover
    CHECK(bench.document().project().housings.at(0).cavity.netVolume == 7.25e-3);
    CHECK(bench.document().unsaved());
    CHECK(QDir(bench.folders.state + "/recovery").entryList({"*.recovery"}).size() == 1);  // until it is saved
    REQUIRE(bench.window->files().saveAs(bench.file("saved.portwright")));
    CHECK(QDir(bench.folders.state + "/recovery").entryList({"*.recovery"}).isEmpty());
}

TEST_CASE("discarded work is gone")
{
    Bench bench(false);
    crash(bench.folders.state, {});
    bench.window->offerLeftWork();
    emit bench.window->questionBar()->answered(1);  // Discard
    CHECK(bench.window->recovery().leftWork().empty());
    CHECK(QDir(bench.folders.state + "/recovery").entryList({"*.recovery"}).isEmpty());
}

TEST_CASE("work that a running window holds is not offered")
{
    Bench bench;
    bench.document().edit("v", [](Project& p) { p.housings.at(0).cavity.netVolume = 2e-3; });
    REQUIRE(bench.window->recovery().writeNow());
    Document document;
    Recovery other(document, bench.folders.state);
    CHECK(other.leftWork().empty());
}

TEST_CASE("a damaged recovery file is left alone")
{
    Bench bench(false);
    REQUIRE(writeWholeFile(bench.folders.state + "/recovery/x.recovery", "{ not json"));
    CHECK(bench.window->recovery().leftWork().empty());
    CHECK(QFile::exists(bench.folders.state + "/recovery/x.recovery"));
}
