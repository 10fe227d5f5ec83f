// SPDX-License-Identifier: GPL-3.0-or-later
// One row of an editor: label, field, uncertainty, where the value is from; a line below when something is to be said.
#pragma once

#include "app/desktop/components/labels.h"
#include "app/desktop/components/mark.h"
#include "app/desktop/components/quantity_box.h"
#include "app/desktop/components/value_row.h"
#include "core/driver/sheet.h"

#include <QLabel>
#include <QWidget>

#include <optional>

class QAction;
class QLineEdit;

namespace portwright {

class IconButton;

QString originWord(Origin origin);     ///< "datasheet"
QString originIcon(Origin origin);     ///< "from-datasheet"
QString originMeaning(Origin origin);  ///< "maker's figure"

class FieldRow : public QWidget {
    Q_OBJECT
public:
    /// A row with a QuantityBox.
    FieldRow(const QString& label, Dimension dimension, QWidget* parent = nullptr);
    /// A row with any other field (a combo box, a line of text), which spans the uncertainty's column, too.
    FieldRow(const QString& label, QWidget* field, QWidget* parent = nullptr);

    QuantityBox* box() const { return box_; }  ///< null in rows with another field
    QWidget* field() const { return field_; }
    void setLabel(const QString& label);
    /// "coil resistance": the tip becomes meaning, unit and range. Call after the range is set.
    void setMeaning(const QString& meaning);
    void setUnitSystem(UnitSystem system);

    // Where the value is from. Without setOrigin nothing is drawn there.
    void setOrigin(std::optional<Origin> origin);
    std::optional<Origin> origin() const { return origin_; }
    void setOriginEditable(bool editable);  ///< default true
    void setDefaultShown(bool shown);       ///< the word "default" stands where the uncertainty would

    /// Standard uncertainty, SI. Shown with one digit, two if it starts with 1.
    void setUncertaintySi(std::optional<double> si);
    void setUncertaintyEditable(bool editable);  ///< adds "Uncertainty..." to the mark's menu
    void setRemark(const QString& remark);       ///< free words in the uncertainty's column: "5–20"
    void setMissing(bool missing);               ///< the Missing mark in the uncertainty's column

    /// The value that "Reset to Default" restores; emits resetWanted(). Without one the action is absent.
    void setDefaultSi(std::optional<double> si);

    /// A sentence below the row, besides "Not taken" which the row says by itself. Mark::fine takes it away.
    void setMessage(Mark mark, const QString& text);
    StateLine* messageLine() const { return message_; }
    void setHelpTopic(const QString& topic);  ///< property "helpTopic" of the field, for F1
    void setCompact(bool compact);            ///< label and field alone, the field at the right edge
    void takeFocus();                         ///< "jump to the value at fault": focus, all selected, scrolled to

    void editUncertainty();  ///< opens the small field in place

signals:
    void originChosen(portwright::Origin origin);
    void uncertaintyCommitted(double si);
    void uncertaintyCleared();
    void resetWanted();

protected:
    void changeEvent(QEvent* event) override;
    bool eventFilter(QObject* watched, QEvent* event) override;

private:
    void build(const QString& label);
    void buildAside();
    void buildOriginButton();
    void connectBox();
    void say();
    void showAside();
    void showTip();
    void showOrigin();
    void endUncertaintyEdit(bool take);
    std::optional<double> readUncertainty(const QString& text) const;
    void fillOriginMenu();

    NameLabel* label_ = nullptr;
    QWidget* field_ = nullptr;
    QuantityBox* box_ = nullptr;
    QWidget* asideColumn_ = nullptr;
    QLabel *aside_ = nullptr, *missingMark_ = nullptr;
    QLineEdit* asideEdit_ = nullptr;
    IconButton* originButton_ = nullptr;
    StateLine* message_ = nullptr;
    QAction* resetAction_ = nullptr;
    std::optional<Origin> origin_;
    std::optional<double> uncertainty_, default_;
    QString remark_, meaning_, outsideText_;
    Mark outsideMark_ = Mark::fine;
    UnitSystem system_ = UnitSystem::metric;
    bool missing_ = false, defaultShown_ = false, originEditable_ = true, uncertaintyEditable_ = false;
};

}  // namespace portwright
