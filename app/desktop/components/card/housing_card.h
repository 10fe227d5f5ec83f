// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desktop/components/card/verdict_list.h"

#include <QFrame>
#include <QList>
#include <QPoint>

#include <array>

class QAction;
class QGridLayout;
class QLabel;
class QLineEdit;
class QMenu;

namespace portwright {

class IconButton;
class CardTag;
class NameLabel;

struct CardFigure {
    QString name, value;  ///< "Tuning", "88.4 Hz"
    bool operator==(const CardFigure&) const = default;
};
struct CardFigures {
    std::array<CardFigure, 4> figures;
    QString remark;  ///< "at 80 Hz, by port air", under the fourth
    bool operator==(const CardFigures&) const = default;
};

/// One housing. Knows a slot (letter, colour, dash) and texts, nothing of projects.
class HousingCard : public QFrame {
    Q_OBJECT
public:
    explicit HousingCard(int slot, QWidget* parent = nullptr);

    void setSlot(int slot);
    int slot() const { return slot_; }
    void setName(const QString& name);
    QString name() const { return name_; }
    void setChosen(bool chosen);
    void setHousingShown(bool shown);  ///< the eye
    void setOwnFeed(bool own);
    void setMovable(bool up, bool down);
    void setRemovable(bool removable);
    void setCut(QWidget* cut);  ///< put left of the figures, becomes a child
    int roomForCut() const;     ///< px that the figures leave beside them in the card's present width
    void setFigures(const CardFigures& figures);
    VerdictList* verdicts() const { return verdicts_; }

    void rename();  ///< edit the name in place (F2)

    /// Where in a column of widgets a card let go at a height belongs: 0 .. count.
    static int placeAt(const QList<QWidget*>& column, int globalY);

signals:
    void chosen();
    void nameChanged(const QString& name);
    void shownToggled(bool shown);
    void copyWanted();
    void removeWanted();
    void ownFeedToggled(bool own);
    void moveWanted(int by);                       ///< -1 up, +1 down
    void dragMoved(const QPoint& globalPosition);  ///< the letter is being dragged
    void dragEnded(const QPoint& globalPosition);  ///< let go there
    void dragCancelled();

protected:
    void paintEvent(QPaintEvent* event) override;
    void mousePressEvent(QMouseEvent* event) override;
    void keyPressEvent(QKeyEvent* event) override;
    void focusInEvent(QFocusEvent* event) override;
    void focusOutEvent(QFocusEvent* event) override;
    void contextMenuEvent(QContextMenuEvent* event) override;
    void changeEvent(QEvent* event) override;
    bool eventFilter(QObject* watched, QEvent* event) override;

private:
    void buildHead();
    void buildMenu();
    void buildMiddle();
    void dress();
    void endRename(bool take);
    void nameChildren();

    int slot_ = 0;
    QString name_;
    bool chosen_ = false, shown_ = true;
    CardTag* tag_ = nullptr;
    NameLabel* nameLabel_ = nullptr;
    QLineEdit* nameEdit_ = nullptr;
    IconButton *eye_ = nullptr, *dots_ = nullptr;
    QMenu* menu_ = nullptr;
    QAction *removeAction_ = nullptr, *ownFeedAction_ = nullptr, *upAction_ = nullptr, *downAction_ = nullptr;
    QGridLayout* middle_ = nullptr;
    QWidget* cut_ = nullptr;
    std::array<QLabel*, 4> figureNames_{}, figureValues_{};
    QLabel* remark_ = nullptr;
    VerdictList* verdicts_ = nullptr;
};

}  // namespace portwright
