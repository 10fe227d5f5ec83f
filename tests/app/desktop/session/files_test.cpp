// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/question_bar.h"
#include "tests/app/desktop/bench.h"

#include <catch2/catch.hpp>

#include <QDir>
#include <QFile>
#include <QFileInfo>
#include <QSignalSpy>
#include <QTest>

#include <sys/mount.h>

using namespace portwright;

namespace {

void write(const QString& path, const QByteArray& bytes)
{
    QFile file(path);
    REQUIRE(file.open(QIODevice::WriteOnly));
    file.write(bytes);
}
QByteArray read(const QString& path)
{
    QFile file(path);
    REQUIRE(file.open(QIODevice::ReadOnly));
    return file.readAll();
}
QByteArray text(const Project& project) { return QByteArray::fromStdString(projectText(project)); }

}  // namespace

TEST_CASE("save, open and save again gives the same bytes")
{
    Bench bench;
    bench.document().edit("v", [](Project& p) { p.housings.at(0).cavity.netVolume = 0.0016 / 7; });
    REQUIRE(bench.window->files().saveAs(bench.file("job")));
    CHECK_FALSE(bench.document().unsaved());
    const QByteArray first = read(bench.file("job.portwright"));  // the suffix was added
    REQUIRE(bench.window->openFile(bench.file("job.portwright")));
    REQUIRE(bench.window->files().saveAs(bench.file("again.portwright")));
    CHECK(read(bench.file("again.portwright")) == first);
}

TEST_CASE("a file that stops half way is not taken for a short one")
{
    const auto bytes = readWhole(QStringLiteral("/proc/self/mem"), 100);  // opens, and its first byte cannot be read
    REQUIRE_FALSE(bytes);
    CHECK(bytes.error().message.find("cannot be read") != std::string::npos);
}

TEST_CASE("a newer file is refused in words and the open project stays")
{
    Bench bench;
    const Project before = bench.document().project();
    QByteArray newer = text(before);
    newer.replace("\"version\": 1", "\"version\": 99");
    write(bench.file("newer.portwright"), newer);
    CHECK_FALSE(bench.window->openFile(bench.file("newer.portwright")));
    CHECK(bench.document().project() == before);
    CHECK(bench.window->questionBar()->isVisible());
    CHECK(bench.window->questionBar()->question().contains("99"));
    CHECK(bench.window->questionBar()->question().contains("newer.portwright"));
    CHECK(bench.window->questionBar()->question().contains("unchanged"));
}

TEST_CASE("a hundred damaged files are each refused or read, and never end the program")
{
    Bench bench;
    const QByteArray good = text(bench.document().project());
    int refused = 0;
    for (int i = 0; i < 100; ++i) {
        QByteArray bad = good;
        const qsizetype at = (i * 977) % bad.size();
        if (i % 2)
            bad.truncate(at);
        else
            bad[at] = char('0' + i % 40);
        write(bench.file("bad.portwright"), bad);
        const Project before = bench.document().project();
        if (!bench.window->files().open(bench.file("bad.portwright"))) {
            ++refused;
            CHECK(bench.document().project() == before);
        }
    }
    CHECK(refused >= 50);  // every cut one at least
}

TEST_CASE("a save that cannot be done says why and loses nothing")
{
    Bench bench;
    QSignalSpy refused(&bench.window->files(), &ProjectFiles::notSaved);
    bench.document().edit("v", [](Project& p) { p.housings.at(0).cavity.netVolume = 2e-3; });
    const Project before = bench.document().project();
    write(bench.file("wall"), "a file, not a folder");
    CHECK_FALSE(bench.window->files().saveAs(bench.file("wall") + "/job.portwright"));
    REQUIRE(refused.count() == 1);
    CHECK(refused.at(0).at(0).toString().startsWith("Not saved: "));
    CHECK(bench.document().project() == before);
    CHECK(bench.document().unsaved());
}

TEST_CASE("a file changed by something else is noticed, and a save does not go over it unasked")
{
    Bench bench;
    REQUIRE(bench.window->files().saveAs(bench.file("job.portwright")));
    Project other = bench.document().project();
    other.title = "by somebody else";
    QTest::qWait(20);
    write(bench.file("job.portwright"), text(other));
    bench.document().edit("v", [](Project& p) { p.housings.at(0).cavity.netVolume = 2e-3; });
    CHECK(bench.window->files().changedOutside());
    CHECK_FALSE(bench.window->files().save());
    CHECK(read(bench.file("job.portwright")) == text(other));
    CHECK(bench.window->questionBar()->question().contains("changed by something else"));
    emit bench.window->questionBar()->answered(0);  // Reload
    CHECK(bench.document().project().title == "by somebody else");
    CHECK_FALSE(bench.document().unsaved());
}

TEST_CASE("our own save is not taken for a change by something else")
{
    Bench bench;
    QSignalSpy changed(&bench.window->files(), &ProjectFiles::changedOnDisk);
    REQUIRE(bench.window->files().saveAs(bench.file("job.portwright")));
    for (double v : {2e-3, 3e-3, 4e-3}) {
        bench.document().edit("v", [v](Project& p) { p.housings.at(0).cavity.netVolume = v; });
        REQUIRE(bench.window->files().save());
        QTest::qWait(30);
    }
    CHECK(changed.count() == 0);
}

TEST_CASE("an older file is kept as a copy before the first save over it")
{
    Bench bench;
    QByteArray old = text(bench.document().project());
    old.replace("\"version\": 1", "\"version\": 0");
    write(bench.file("old.portwright"), old);
    QSignalSpy noted(&bench.window->files(), &ProjectFiles::noted);
    REQUIRE(bench.window->openFile(bench.file("old.portwright")));
    CHECK(noted.count() == 1);
    CHECK_FALSE(QFile::exists(bench.file("old.v0.portwright")));  // opening writes nothing
    REQUIRE(bench.window->files().save());
    CHECK(read(bench.file("old.v0.portwright")) == old);
}

TEST_CASE("the same project opened twice is noticed")
{
    Bench first;
    REQUIRE(first.window->files().saveAs(first.file("job.portwright")));
    Document document;
    Recovery recovery(document, first.folders.state);
    ProjectFiles second(document, recovery, first.folders.state);
    QSignalSpy noticed(&second, &ProjectFiles::openElsewhere);
    REQUIRE(second.open(first.file("job.portwright")));
    CHECK(noticed.count() == 1);
}

TEST_CASE("recent files name what was opened last first, each once")
{
    Bench bench;
    REQUIRE(bench.window->files().saveAs(bench.file("a.portwright")));
    REQUIRE(bench.window->files().saveAs(bench.file("b.portwright")));
    REQUIRE(bench.window->openFile(bench.file("a.portwright")));
    CHECK(bench.window->files().recent() == QStringList{bench.file("a.portwright"), bench.file("b.portwright")});
}

TEST_CASE("every sample opens as a copy and computes")
{
    Bench bench(false);
    REQUIRE(MainWindow::samples().size() >= 4);
    for (const QString& resource : MainWindow::samples()) {
        INFO(resource.toStdString());
        REQUIRE(bench.window->files().openAsCopy(resource, "sample"));
        CHECK(bench.window->files().path().isEmpty());
        for (const HousingResult& result : bench.window->workbench().computation().results())
            CHECK(result.computed != nullptr);
        bench.settle();
    }
}

TEST_CASE("on a full disk saving says file, cause and way out, the old file stays whole, and work goes on")
{
    Bench bench;
    const QString disk = bench.file("disk");
    REQUIRE(QDir().mkpath(disk));
    if (::mount("tmpfs", disk.toLocal8Bit().constData(), "tmpfs", 0, "size=32k") != 0) {
        WARN("no right to mount a small disk here: the writer's own test goes by a size limit");
        return;
    }
    const QString path = disk + QStringLiteral("/job.portwright");
    const bool first = bench.window->files().saveAs(path);
    const QByteArray old = first ? read(path) : QByteArray();
    bench.document().edit("Notes", [](Project& p) { p.notes = std::string(100000, 'x'); });
    const bool second = bench.window->files().save();
    const QString told = bench.window->questionBar()->question();
    const QByteArray after = first ? read(path) : QByteArray();
    emit bench.window->questionBar()->answered(1);
    bench.document().edit("Volume", [](Project& p) { p.housings.at(0).cavity.netVolume = 3e-3; });
    const bool elsewhere = bench.window->files().saveAs(bench.file("elsewhere.portwright"));
    ::umount(disk.toLocal8Bit().constData());
    CHECK(first);
    CHECK_FALSE(second);
    CHECK(told.contains("job.portwright"));
    CHECK(told.contains("the disk is full"));
    CHECK(told.contains("save elsewhere"));
    CHECK(after == old);
    CHECK(elsewhere);
    CHECK(read(bench.file("elsewhere.portwright")).contains("\"net_volume_l\": 3"));
}

TEST_CASE("a path that refuses is told with cause and way out, and the project stays as it is")
{
    Bench bench;
    write(bench.file("file"), "x");
    const Project before = bench.document().project();
    CHECK_FALSE(bench.window->files().saveAs(bench.file("file/job.portwright")));
    const QString told = bench.window->questionBar()->question();
    CHECK(told.contains("job.portwright"));
    CHECK(told.contains("is a file, not a folder"));
    CHECK(told.contains("save elsewhere"));
    CHECK(bench.document().project() == before);
}
