// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/app/desktop/bench.h"

#include <catch2/catch.hpp>

#include <QAccessible>
#include <QAction>
#include <QMenu>
#include <QMenuBar>

#include <map>
#include <set>

using namespace portwright;

namespace {

QString nameOf(QWidget* widget)
{
    QAccessibleInterface* face = QAccessible::queryAccessibleInterface(widget);
    return face ? face->text(QAccessible::Name) : QString();
}

void checkNames(QWidget* window)
{
    for (QWidget* widget : window->findChildren<QWidget*>()) {
        if (widget->focusPolicy() == Qt::NoFocus || !widget->isVisible()) continue;
        if (widget->inherits("QLineEdit") && widget->parentWidget() &&
            widget->parentWidget()->inherits("QAbstractSpinBox"))
            continue;  // the spin box speaks for it
        INFO(widget->metaObject()->className() << " in " << widget->parentWidget()->metaObject()->className());
        CHECK_FALSE(nameOf(widget).isEmpty());
    }
}

}  // namespace

TEST_CASE("every control of the window has a name, at every station, in charts and table")
{
    Bench bench;
    for (int station = 0; station < stationCount; ++station) {
        bench.window->showStation(station);
        bench.settle();
        checkNames(bench.window.get());
    }
    bench.window->centre()->showTable(true);
    bench.window->cards()->openNew();
    bench.settle();
    checkNames(bench.window.get());
}

TEST_CASE("no two actions share a key, and no menu has a letter twice")
{
    Bench bench;
    std::map<QString, QString> keys;
    for (QAction* action : bench.window->findChildren<QAction*>())
        for (const QKeySequence& key : action->shortcuts()) {
            if (key.isEmpty() || action->shortcutContext() == Qt::WidgetShortcut ||
                action->shortcutContext() == Qt::WidgetWithChildrenShortcut)
                continue;
            INFO(action->text().toStdString() << " and " << keys[key.toString()].toStdString());
            CHECK(keys[key.toString()].isEmpty());
            keys[key.toString()] = action->text();
        }
    for (QMenu* menu : bench.window->menuBar()->findChildren<QMenu*>()) {
        std::set<QChar> letters;
        for (QAction* action : menu->actions()) {
            const auto at = action->text().indexOf('&');
            if (at < 0) continue;
            INFO(action->text().toStdString());
            CHECK(letters.insert(action->text().at(at + 1).toLower()).second);
        }
    }
}
