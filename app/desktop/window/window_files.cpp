// SPDX-License-Identifier: GPL-3.0-or-later
// MainWindow and files: opening, saving, what is asked and told about them.
#include "app/desktop/components/question_bar.h"
#include "app/desktop/components/typing.h"
#include "app/desktop/window/main_window.h"
#include "core/document/project_file.h"

#include <QCloseEvent>
#include <QDir>
#include <QDragEnterEvent>
#include <QDropEvent>
#include <QFileDialog>
#include <QFileInfo>
#include <QMessageBox>
#include <QMimeData>

static void loadSamples() { Q_INIT_RESOURCE(samples); }

namespace portwright {

QStringList MainWindow::samples()
{
    loadSamples();
    QStringList all;
    for (const QString& name :
         QDir(QStringLiteral(":/samples")).entryList({QStringLiteral("*.portwright")}, QDir::Files, QDir::Name))
        all << QStringLiteral(":/samples/") + name;
    const qsizetype first = all.indexOf(QStringLiteral(":/samples/lower-fairing.portwright"));
    if (first > 0) all.move(first, 0);
    return all;
}

void MainWindow::ask(Question question)
{
    asked_.push_back(std::move(question));
    if (asked_.size() == 1) showNext();
}

void MainWindow::showNext()
{
    if (asked_.empty()) {
        questions_->hide();
        return;
    }
    const Question& now = asked_.front();
    questions_->ask(now.words, now.verbs, now.mainVerb);
}

void MainWindow::connectFiles()
{
    connect(questions_, &QuestionBar::answered, this, [this](int verb) {
        if (asked_.empty()) return;
        const Question done = asked_.front();
        asked_.pop_front();
        showNext();
        if (done.answer) done.answer(verb);
    });
    connect(files_, &ProjectFiles::notOpened, this, [this](const QString& sentence) {
        ask({.words = sentence, .verbs = {tr("Close")}, .mainVerb = -1, .answer = {}});
    });
    connect(files_, &ProjectFiles::notSaved, this, [this](const QString& sentence) {
        ask({.words = sentence,
             .verbs = {tr("Save Elsewhere\u2026"), tr("Close")},
             .mainVerb = -1,
             .answer = [this](int verb) {
                 if (verb == 0) saveAs();
             }});
    });
    connect(files_, &ProjectFiles::noted, this, [this](const QStringList& notes) {
        QString words = notes.mid(0, 3).join(QLatin1Char(' '));
        if (notes.size() > 3) words += tr(" And %1 more.").arg(notes.size() - 3);
        ask({.words = words.startsWith(QLatin1String("Note: ")) ? words.mid(6) : words,
             .verbs = {tr("Close")},
             .mainVerb = -1,
             .answer = {}});
    });
    connect(files_, &ProjectFiles::changedOnDisk, this, [this](bool gone) {
        const QString name = files_->name();
        if (gone) {
            ask({.words = tr("%1 is no longer on the disk. What is open here is whole; save it to have the file back.")
                              .arg(name),
                 .verbs = {tr("Save"), tr("Close")},
                 .mainVerb = 0,
                 .answer = [this](int verb) {
                     if (verb == 0) files_->save(ProjectFiles::Overwrite::yes);
                 }});
            return;
        }
        const QString words =
            workbench_.document().unsaved()
                ? tr("%1 was changed by something else. Reloading loses what you changed here since the last save.")
                      .arg(name)
                : tr("%1 was changed by something else.").arg(name);
        ask({.words = words,
             .verbs = {tr("Reload"), tr("Keep Mine"), tr("Save As\u2026")},
             .mainVerb = 0,
             .answer = [this](int verb) {
                 if (verb == 0)
                     files_->open(files_->path());
                 else if (verb == 1)
                     files_->keepMine();
                 else
                     saveAs();
             }});
    });
    connect(files_, &ProjectFiles::openElsewhere, this, [this](const QString& path) {
        ask({.words = tr("%1 is open in another Portwright window, too. What is saved last stays.")
                          .arg(QFileInfo(path).fileName()),
             .verbs = {tr("Close")},
             .mainVerb = -1,
             .answer = {}});
    });
    connect(files_, &ProjectFiles::pathChanged, this, &MainWindow::tellTitle);
    connect(files_, &ProjectFiles::saved, this, &MainWindow::tellTitle);
    connect(recovery_, &Recovery::writeFailed, this, [this](const QString& sentence) {
        ask({.words = sentence, .verbs = {tr("Close")}, .mainVerb = -1, .answer = {}});
    });
}

void MainWindow::offerLeftWork()
{
    for (const LeftWork& left : recovery_->leftWork()) {
        const QString name = left.path.isEmpty() ? tr("a project never saved") : left.path;
        ask({.words = tr("Unsaved work on %1 from %2 was left when the program ended.")
                          .arg(name, QLocale().toString(left.time, QLocale::ShortFormat)),
             .verbs = {tr("Recover"), tr("Discard"), tr("Later")},
             .mainVerb = 0,
             .answer = [this, left](int verb) {
                 if (verb == 0 && maySetAside())
                     files_->takeUp(left);
                 else if (verb == 1)
                     Recovery::discard(left);
                 else if (left.lock)
                     left.lock->unlock();  // stays, and is offered again
             }});
    }
}

bool MainWindow::maySetAside()
{
    commitTyping();
    if (!workbench_.document().unsaved()) return true;
    QMessageBox box(QMessageBox::NoIcon, tr("Portwright"), tr("Save the changes in %1?").arg(files_->name()),
                    QMessageBox::Save | QMessageBox::Discard | QMessageBox::Cancel, this);
    box.setDefaultButton(QMessageBox::Save);
    switch (box.exec()) {
    case QMessageBox::Save:
        return save();
    case QMessageBox::Discard:
        recovery_->forget();
        return true;
    default:
        return false;
    }
}

bool MainWindow::openFile(const QString& path) { return maySetAside() && files_->open(path); }

void MainWindow::openByDialog()
{
    if (!maySetAside()) return;
    QFileDialog dialog(this, tr("Open a Project"),
                       files_->path().isEmpty() ? QDir::homePath() : QFileInfo(files_->path()).path(),
                       tr("Portwright projects (*.portwright);;All files (*)"));
    dialog.setFileMode(QFileDialog::ExistingFile);
    if (dialog.exec() == QDialog::Accepted) files_->open(dialog.selectedFiles().value(0));
}

void MainWindow::openSample(const QString& resource)
{
    if (maySetAside()) files_->openAsCopy(resource, QFileInfo(resource).completeBaseName());
}

void MainWindow::startNew()
{
    if (!maySetAside()) return;
    files_->startNew();
    showStation(int(Station::driver));
}

bool MainWindow::save()
{
    commitTyping();
    return files_->path().isEmpty() ? saveAs() : files_->save();
}

bool MainWindow::saveAs()
{
    commitTyping();
    QFileDialog dialog(this, tr("Save the Project"), files_->path().isEmpty() ? QDir::homePath() : files_->path(),
                       tr("Portwright projects (*.portwright)"));
    dialog.setAcceptMode(QFileDialog::AcceptSave);
    dialog.setFileMode(QFileDialog::AnyFile);
    dialog.setDefaultSuffix(
        QStringLiteral("portwright"));  // so that the question about overwriting names the right file
    if (dialog.exec() != QDialog::Accepted) return false;
    return files_->saveAs(dialog.selectedFiles().value(0));
}

void MainWindow::closeEvent(QCloseEvent* event)
{
    if (!maySetAside()) {
        event->ignore();
        return;
    }
    recovery_->forget();
    keepWindow();
    event->accept();
}

void MainWindow::dragEnterEvent(QDragEnterEvent* event)
{
    for (const QUrl& url : event->mimeData()->urls())
        if (url.isLocalFile() && url.path().endsWith(QLatin1String(".portwright"), Qt::CaseInsensitive)) {
            event->acceptProposedAction();
            return;
        }
}

void MainWindow::dropEvent(QDropEvent* event)
{
    for (const QUrl& url : event->mimeData()->urls())
        if (url.isLocalFile()) {
            event->acceptProposedAction();
            openFile(url.toLocalFile());
            return;
        }
}

}  // namespace portwright
