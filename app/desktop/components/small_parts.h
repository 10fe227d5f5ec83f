// SPDX-License-Identifier: GPL-3.0-or-later
// Labels and tags of the window that follow font and palette by themselves.
#pragma once

#include "app/desktop/components/measures.h"
#include "app/desktop/components/typing.h"

#include <QLabel>
#include <QLineEdit>
#include <QWidget>

namespace portwright {

/// A label in one of the letter sizes.
class LetteredLabel : public QLabel {
    Q_OBJECT
public:
    LetteredLabel(const QString& text, Letters letters, QWidget* parent = nullptr);

protected:
    void changeEvent(QEvent* event) override;

private:
    Letters letters_;
    bool changing_ = false;
};

/// Dim words (the palette's place-holder text).
class DimLabel : public QLabel {
    Q_OBJECT
public:
    explicit DimLabel(const QString& text, QWidget* parent = nullptr);

protected:
    void changeEvent(QEvent* event) override;

private:
    void style();
    bool changing_ = false;
};

/// A line of text whose Ctrl+Z goes to the window unless something is being typed. A long one shows its beginning
/// while it is not being edited.
class TextLine : public QLineEdit, public TypedInto {
    Q_OBJECT
public:
    explicit TextLine(QWidget* parent = nullptr);
    void commitTyped() override;
    bool event(QEvent* event) override;
};

/// The letter tag of a housing.
class SlotTag : public QWidget {
    Q_OBJECT
public:
    explicit SlotTag(QWidget* parent = nullptr);
    void setSlot(int slot);
    QSize sizeHint() const override;
    QSize minimumSizeHint() const override { return sizeHint(); }

protected:
    void paintEvent(QPaintEvent* event) override;

private:
    int slot_ = 0;
};

}  // namespace portwright
