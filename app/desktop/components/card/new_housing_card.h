// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "core/quantity/quantity.h"

#include <QFrame>
#include <QString>

class QAbstractButton;
class QLabel;
class QPushButton;

namespace portwright {

class CardTag;
class FieldRow;
class IconButton;
class SegmentSwitch;

struct NewHousing {
    enum class Kind { sealed, ported, copy } kind = Kind::sealed;
    double netVolume = 0;  ///< m3; not for a copy
    double tuning = 0;     ///< Hz, ported
    double leakQ = 0;      ///< sealed
    bool operator==(const NewHousing&) const = default;
};

/// The dashed row at the end of the cards; opens in place into a card.
class NewHousingCard : public QFrame {
    Q_OBJECT
public:
    explicit NewHousingCard(QWidget* parent = nullptr);

    void setSlot(int slot);                  ///< letter and dash it will have
    void setCopyOf(const QString& letter);   ///< "B"; empty: no such choice
    void setStart(const NewHousing& start);  ///< what the fields begin with
    void setRemark(const QString& remark);   ///< "Ø 68 mm, 150 mm long; dotted in all charts"
    void setUnitSystem(UnitSystem system);
    NewHousing current() const;
    bool isOpen() const { return open_; }

public slots:
    void open();
    void offer();  ///< opens without taking the focus, and previews nothing until something is typed
    void close();  ///< as Esc, emits dismissed()

signals:
    void opened();
    void previewed(const portwright::NewHousing& housing);
    void added(const portwright::NewHousing& housing);  ///< closes by itself
    void dismissed();

protected:
    void paintEvent(QPaintEvent* event) override;
    void keyPressEvent(QKeyEvent* event) override;
    void changeEvent(QEvent* event) override;

private:
    void buildHead();
    void buildForm();
    FieldRow* addField(const QString& label, const char* object, const char* key, double NewHousing::* value);
    void showOpen(bool open);
    void showStart();
    void showKind();
    bool takeFields();
    void add();
    void dress();

    int slot_ = 0;
    bool open_ = false;
    NewHousing start_, typed_;
    QString copyOf_;
    QAbstractButton* closedRow_ = nullptr;
    QWidget* form_ = nullptr;
    CardTag* tag_ = nullptr;
    QLabel *title_ = nullptr, *remark_ = nullptr, *keys_ = nullptr;
    IconButton* forget_ = nullptr;
    SegmentSwitch* kind_ = nullptr;
    FieldRow *volume_ = nullptr, *tuning_ = nullptr, *leak_ = nullptr;
    QPushButton* add_ = nullptr;
};

}  // namespace portwright
