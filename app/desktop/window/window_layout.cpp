// SPDX-License-Identifier: GPL-3.0-or-later
// MainWindow's breakpoints, its memory of sizes, hints and help.
#include "app/desktop/components/app_palette.h"
#include "app/desktop/components/hint_slip.h"
#include "app/desktop/components/measures.h"
#include "app/desktop/window/help_window.h"
#include "app/desktop/window/main_window.h"

#include <QApplication>
#include <QEvent>
#include <QGuiApplication>
#include <QKeyEvent>
#include <QResizeEvent>
#include <QScreen>
#include <QSplitter>
#include <QStackedWidget>
#include <QTimer>

namespace portwright {
namespace {

// Widths and heights at a 12 px font; see "Letters, grid, measures" in the comments of measures.h.
constexpr double narrowBelow = 1180, wideFrom = 1600, foldBelow = 760, foldForListBelow = 960;
constexpr double editorNormal = 280, editorWide = 300, cardsNormal = 312, cardsWide = 404, ledgerNormal = 164,
                 ledgerWide = 214;

}  // namespace

void MainWindow::layOut()
{
    const bool narrow = width() < px(narrowBelow);
    const bool wide = width() >= px(wideFrom);
    const bool changed = !laidOut_ || narrow != narrow_ || wide != wide_;
    narrow_ = narrow;
    wide_ = wide;
    if (changed) {
        laidOut_ = true;
        if (narrow) {
            cards_->setParent(centralWidget());
            cards_->setVisible(drawerOpen_);
        } else if (columns_->indexOf(cards_) < 0) {
            columns_->addWidget(cards_);
            cards_->show();
        }
        ledger_->setRowHeight(wide ? px(25) : 0);
        if (state_.columns.size() == columns_->count())
            columns_->setSizes(state_.columns);
        else
            resetLayout();
        tellLargeCut();
    }
    if (narrow) {
        QString letters;
        for (const HousingResult& result : workbench_.computation().results())
            letters += housingLetter(result.slot) + QLatin1Char(' ');
        centre_->setDrawerLetters(letters.isEmpty() ? tr("Housings") : letters.trimmed());
        placeDrawer();
    } else {
        centre_->setDrawerLetters({});
    }
    const bool list = centre_->page() == CentrePage::findPage;  // a long table needs the height
    const bool fold = height() < px(list ? foldForListBelow : foldBelow);
    if (fold != ledger_->folded() || changed) {
        ledger_->setFolded(fold);
        ledger_->setMaximumHeight(fold ? ledger_->sizeHint().height() : QWIDGETSIZE_MAX);
        sizeLedger();
    }
}

void MainWindow::resetLayout()
{
    state_.columns.clear();
    const int editor = qMax(px(wide_ ? editorWide : editorNormal), editorColumn_->minimumSizeHint().width());
    const int cards = px(wide_ ? cardsWide : cardsNormal);
    QList<int> sizes{editor, qMax(px(300), width() - editor - (narrow_ ? 0 : cards))};
    if (!narrow_) sizes << cards;
    columns_->setSizes(sizes);
    sizeLedger();
}

void MainWindow::sizeLedger()
{
    const int wanted = ledger_->sizeHint().height();
    const int ledger = ledger_->folded() ? wanted : qMax(wanted, px(wide_ ? ledgerWide : ledgerNormal));
    rows_->setSizes({qMax(1, rows_->height() - ledger), ledger});
}

void MainWindow::toggleDrawer()
{
    if (!narrow_) return;
    drawerOpen_ = !drawerOpen_;
    placeDrawer();
    cards_->setVisible(drawerOpen_);
    cards_->raise();
}

void MainWindow::placeDrawer()
{
    const QPoint corner = centre_->mapTo(centralWidget(), QPoint(centre_->width(), px(34)));
    const int wanted = px(cardsNormal);
    cards_->setGeometry(corner.x() - wanted, corner.y(), wanted, qMax(px(120), columns_->height() - px(34)));
    cards_->setAutoFillBackground(true);
    cards_->setFrameShape(QFrame::StyledPanel);
}

void MainWindow::restoreWindow()
{
    resize(px(1280), px(800));
    if (!state_.geometry.isEmpty()) restoreGeometry(state_.geometry);
    const QScreen* screen = QGuiApplication::screenAt(frameGeometry().center());
    if (!screen && QGuiApplication::primaryScreen())  // that screen is gone
        move(QGuiApplication::primaryScreen()->availableGeometry().topLeft());
}

void MainWindow::keepWindow()
{
    state_.geometry = saveGeometry();
    if (!narrow_) state_.columns = columns_->sizes();
    (void)writeWindowState(folders_, state_);  // nothing of the user's is lost if these cannot be written
    (void)writePreferences(folders_, preferences_);
}

void MainWindow::resizeEvent(QResizeEvent* event)
{
    QMainWindow::resizeEvent(event);
    layOut();
    if (largeCut_->isVisible() != roomForLargeCut()) tellLargeCut();
}

void MainWindow::changeEvent(QEvent* event)
{
    QMainWindow::changeEvent(event);
    if ((event->type() == QEvent::PaletteChange || event->type() == QEvent::ApplicationPaletteChange) && corner_[0]) {
        inkCorner();
        QTimer::singleShot(0, this, &MainWindow::refreshNow);  // once every child has the palette
    }
}

bool MainWindow::event(QEvent* event)
{
    if (event->type() == QEvent::WindowActivate && files_) files_->check();
    if (event->type() == QEvent::ThemeChange && preferences_.theme == ThemeChoice::system) applyPreferences();
    return QMainWindow::event(event);
}

void MainWindow::showHintsAtStart()
{
    hintsOn_ = true;
    showHints();
}

void MainWindow::keyPressEvent(QKeyEvent* event)
{
    if (event->key() == Qt::Key_Escape && hint_ && hint_->isVisible())
        emit hint_->dismissed();
    else
        QMainWindow::keyPressEvent(event);
}

void MainWindow::showHints()
{
    if (preferences_.hintsSeen < 3) showHint(preferences_.hintsSeen);
}

void MainWindow::showHint(int number)
{
    if (workbench_.computation().results().empty() || number >= 3) return;
    if (!hint_) {
        hint_ = new HintSlip(this);
        connect(hint_, &HintSlip::gotIt, this, [this] {
            ++preferences_.hintsSeen;
            hint_->hide();
            showHint(preferences_.hintsSeen);
        });
        connect(hint_, &HintSlip::dismissed, this, [this] {
            preferences_.hintsSeen = 3;
            hint_->hide();
        });
    }
    const auto cards = cards_->cards();
    QWidget* target = centre_->charts();
    if (number == 1) target = cards.empty() ? static_cast<QWidget*>(cards_) : cards.front()->verdicts();
    if (number == 2) target = ledger_;
    const std::array<std::pair<QString, QString>, 3> words{
        std::pair(tr("One line, all pictures"),
                  tr("Move over any chart: figures, cuts and the ledger follow. Keys: \u2190 and \u2192.")),
        std::pair(
            tr("What will fail first"),
            tr("Each card says it in a sentence, worst first. A remedy can be put in by its button, and undone.")),
        std::pair(tr("Where the bass went"), tr("From this driver in an endless wall to the rider, one cause at a "
                                                "time. A click on a line shows the value behind it."))};
    hint_->setHint(words[std::size_t(number)].first, words[std::size_t(number)].second, number + 1, 3);
    hint_->pointAt(target, number == 0 ? QRect(px(150), px(60), px(60), px(60)) : QRect());
    hint_->show();
    hint_->raise();
}

void MainWindow::showHelpForFocus()
{
    static const char* const pages[] = {"radio", "amplifier", "driver", "cavity", "opening", "rider"};
    for (QWidget* widget = QApplication::focusWidget(); widget; widget = widget->parentWidget()) {
        const QString topic = widget->property("helpTopic").toString();
        if (!topic.isEmpty()) {
            emit workbench_.helpWanted(topic);
            return;
        }
        if (widget == centre_ || widget == ledger_ || widget == cards_) {
            emit workbench_.helpWanted(QStringLiteral("reading"));
            return;
        }
    }
    emit workbench_.helpWanted(QString::fromLatin1(pages[state_.station]));
}

}  // namespace portwright
