// SPDX-License-Identifier: GPL-3.0-or-later
// What the component tests share: a window that really has the focus, and typing into it.
#pragma once

#include "app/desktop/components/quantity_box.h"

#include <QApplication>
#include <QLineEdit>
#include <QLocale>
#include <QRegularExpression>
#include <QSignalSpy>
#include <QTest>
#include <QVBoxLayout>
#include <QWidget>

#include <catch2/catch.hpp>

namespace portwright::test {

/// A shown, active window. Widgets put into it can take the focus.
class Bench : public QWidget {
public:
    Bench() : rows_(new QVBoxLayout(this)) { resize(600, 500); }

    template <class W> W& put(W* widget)
    {
        rows_->addWidget(widget);
        show();
        QApplication::setActiveWindow(this);
        QApplication::processEvents();
        return *widget;
    }

private:
    QVBoxLayout* rows_;
};

inline void type(QWidget& box, const QString& text)
{
    box.setFocus();
    if (auto* quantity = qobject_cast<QAbstractSpinBox*>(&box)) quantity->selectAll();
    if (auto* line = qobject_cast<QLineEdit*>(&box)) line->selectAll();
    if (text.isEmpty()) QTest::keyClick(&box, Qt::Key_Delete);
    QTest::keyClicks(&box, text);
}

inline QString textOf(const QuantityBox& box) { return box.findChild<QLineEdit*>()->text(); }

/// "12.5" with the mark of the locale the tests run under.
inline QString local(QString text)
{
    static const QRegularExpression decimalPoint(QStringLiteral("(?<=\\d)\\.(?=\\d)"));
    return text.replace(decimalPoint, QLocale().decimalPoint());
}

}  // namespace portwright::test

template <> struct Catch::StringMaker<QString> {
    static std::string convert(const QString& text) { return "\"" + text.toStdString() + "\""; }
};
