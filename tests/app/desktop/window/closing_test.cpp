// SPDX-License-Identifier: GPL-3.0-or-later
// The one question on unsaved work, and files dropped on the window.
#include "app/desktop/components/question_bar.h"
#include "tests/app/desktop/bench.h"

#include <catch2/catch.hpp>

#include <QApplication>
#include <QDragEnterEvent>
#include <QDropEvent>
#include <QFile>
#include <QMessageBox>
#include <QMimeData>
#include <QTimer>
#include <QUrl>

using namespace portwright;

namespace {

/// Presses a button of whatever message box comes up, and counts them.
struct Answer {
    QTimer timer;
    int asked = 0;
    QString words;

    explicit Answer(QMessageBox::StandardButton button)
    {
        timer.setInterval(5);
        QObject::connect(&timer, &QTimer::timeout, &timer, [this, button] {
            auto* box = qobject_cast<QMessageBox*>(QApplication::activeModalWidget());
            if (!box) return;
            ++asked;
            words = box->text();
            box->done(button);
        });
        timer.start();
    }
};

void change(Bench& bench)
{
    bench.document().edit("Change", [](Project& p) { p.housings.at(0).cavity.netVolume *= 1.5; });
}

bool dropped(MainWindow& window, const QString& path)
{
    QMimeData data;
    data.setUrls({QUrl::fromLocalFile(path)});
    QDragEnterEvent enter({40, 40}, Qt::CopyAction, &data, Qt::LeftButton, Qt::NoModifier);
    enter.ignore();
    QApplication::sendEvent(&window, &enter);
    if (!enter.isAccepted()) return false;
    QDropEvent drop({40, 40}, Qt::CopyAction, &data, Qt::LeftButton, Qt::NoModifier);
    QApplication::sendEvent(&window, &drop);
    return drop.isAccepted();
}

}  // namespace

TEST_CASE("closing with unsaved work asks once, by the project's name, and Cancel keeps window and work")
{
    Bench bench;
    change(bench);
    const Project before = bench.document().project();
    Answer answer(QMessageBox::Cancel);
    CHECK_FALSE(bench.window->close());
    CHECK(answer.asked == 1);
    CHECK(answer.words.contains(bench.window->files().name()));
    CHECK(bench.window->isVisible());
    CHECK(bench.document().project() == before);
    CHECK(bench.document().unsaved());
}

TEST_CASE("Discard closes, leaves the file as it was and nothing to recover")
{
    Bench bench;
    REQUIRE(bench.window->files().saveAs(bench.file("job")));
    QFile file(bench.file("job.portwright"));
    REQUIRE(file.open(QIODevice::ReadOnly));
    const QByteArray before = file.readAll();
    change(bench);
    REQUIRE(bench.window->recovery().writeNow());
    Answer answer(QMessageBox::Discard);
    CHECK(bench.window->close());
    CHECK(answer.asked == 1);
    CHECK_FALSE(bench.window->isVisible());
    REQUIRE(file.seek(0));
    CHECK(file.readAll() == before);
    CHECK(bench.window->recovery().leftWork().empty());
    CHECK(bench.window->recovery().file().isEmpty());
}

TEST_CASE("Save writes the file and closes, and with nothing unsaved nothing is asked")
{
    Bench bench;
    REQUIRE(bench.window->files().saveAs(bench.file("job")));
    change(bench);
    const std::string wanted = projectText(bench.document().project());
    {
        Answer answer(QMessageBox::Save);
        CHECK(bench.window->close());
        CHECK(answer.asked == 1);
    }
    QFile file(bench.file("job.portwright"));
    REQUIRE(file.open(QIODevice::ReadOnly));
    CHECK(file.readAll().toStdString() == wanted);
    bench.window->show();
    Answer answer(QMessageBox::Cancel);
    CHECK(bench.window->close());
    CHECK(answer.asked == 0);
}

TEST_CASE("a project dropped on the window opens; other files are not taken")
{
    Bench bench;
    REQUIRE(bench.window->files().saveAs(bench.file("job")));
    const Project saved = bench.document().project();
    bench.window->files().startNew();
    bench.settle();
    REQUIRE(bench.document().project() != saved);
    CHECK_FALSE(dropped(*bench.window, bench.file("picture.png")));
    REQUIRE(dropped(*bench.window, bench.file("job.portwright")));
    bench.settle();
    CHECK(bench.document().project() == saved);
    CHECK(bench.window->files().path() == bench.file("job.portwright"));
}

TEST_CASE("a drop over unsaved work asks first, and Cancel keeps the work")
{
    Bench bench;
    REQUIRE(bench.window->files().saveAs(bench.file("job")));
    bench.window->files().startNew(sample("fairing-two-coaxials"));
    change(bench);
    const Project work = bench.document().project();
    Answer answer(QMessageBox::Cancel);
    dropped(*bench.window, bench.file("job.portwright"));
    CHECK(answer.asked == 1);
    CHECK(bench.document().project() == work);
}
