// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QList>
#include <QString>
#include <QWidget>

class QAbstractButton;
class QButtonGroup;

namespace portwright {

struct Segment {
    QString words, icon;  ///< icon may be empty
    QString tip;
};

/// Two or three exclusive buttons in one frame. Left and Right move the choice.
class SegmentSwitch : public QWidget {
    Q_OBJECT
public:
    explicit SegmentSwitch(const QString& accessibleName, QWidget* parent = nullptr);
    void setSegments(const QList<Segment>& segments);
    void setCurrent(int index);  ///< emits nothing
    int current() const;
    QAbstractButton* button(int index) const;
    void setStretched(bool stretched);  ///< equal widths that fill the row

signals:
    void chosen(int index);

private:
    QString name_;
    QButtonGroup* group_;
};

}  // namespace portwright
