// SPDX-License-Identifier: GPL-3.0-or-later
// A window of its own folders for each test.
#pragma once

#include "app/desktop/window/main_window.h"
#include "core/document/project_file.h"

#include <QAbstractItemView>
#include <QCoreApplication>
#include <QLineEdit>
#include <QTemporaryDir>

#include <memory>

namespace portwright {

inline Project sample(const char* name = "lower-fairing")
{
    MainWindow::samples();  // loads the resources
    const auto bytes = readWhole(QStringLiteral(":/samples/%1.portwright").arg(QLatin1String(name)), 1 << 20);
    return parseProject(bytes.value().toStdString()).value().project;
}

/// The line that is open in a table; others may wait to be deleted.
inline QLineEdit* openLine(const QAbstractItemView& table)
{
    for (auto* line : table.viewport()->findChildren<QLineEdit*>())
        if (line->isVisible()) return line;
    return nullptr;
}

struct Bench {
    QTemporaryDir place;
    Folders folders{place.path() + QStringLiteral("/config"), place.path() + QStringLiteral("/state")};
    std::unique_ptr<MainWindow> window;

    Bench() : Bench(true) {}
    explicit Bench(bool withSample, const char* name = "lower-fairing")
    {
        window = std::make_unique<MainWindow>(folders);
        window->resize(1280, 800);
        window->show();
        if (withSample) window->files().startNew(sample(name));
        settle();
    }
    ~Bench()
    {
        document().history().setClean();  // so that closing asks nothing
        window.reset();
    }

    void settle() const
    {
        for (int i = 0; i < 4; ++i)
            QCoreApplication::processEvents();
        QCoreApplication::sendPostedEvents(nullptr, QEvent::DeferredDelete);
    }
    Document& document() { return window->workbench().document(); }
    QString file(const char* name) const { return place.path() + QLatin1Char('/') + QLatin1String(name); }
    FieldRow* row(Station station, const char* field)
    {
        window->showStation(int(station));
        return window->editor(station)->form()->row(QLatin1String(field));
    }
    std::vector<double> curve(ChartsPage::Which which, std::size_t index = 0)
    {
        return window->centre()->charts()->chart(which)->curves().at(index).y;
    }
};

}  // namespace portwright
