// SPDX-License-Identifier: GPL-3.0-or-later
// The one field for quantities. It owns an SI value; text is only how it is shown and typed.
#pragma once

#include "app/desktop/components/typing.h"
#include "core/quantity/quantity.h"

#include <QAbstractSpinBox>
#include <QString>
#include <QTimer>

#include <optional>

namespace portwright {

class UnitLineEdit;

/// Both decimal marks and typed units are read. Each valid text while typing is previewed; leaving the field or Return
/// commits, only if something was edited; Esc restores. Text that cannot be taken stays, marked. A row of steps is
/// previewed step by step and committed after a short pause. The wheel acts only with the focus.
class QuantityBox : public QAbstractSpinBox, public TypedInto {
    Q_OBJECT
public:
    explicit QuantityBox(Dimension dimension, QWidget* parent = nullptr);

    void setRangeSi(double low, double high);         ///< both allowed
    void setOptional(bool optional);                  ///< may be emptied
    void setUnitSystem(UnitSystem system);            ///< shows other text, changes no value, emits nothing
    void setSi(std::optional<double> si);             ///< emits nothing; text being typed stays unless the value moved
    std::optional<double> si() const { return si_; }  ///< the committed value
    /// Shown dim in an empty optional field ("10" as the default that is reckoned with).
    void setEmptyShows(const QString& text);

    Dimension dimension() const { return dimension_; }
    double lowSi() const { return low_; }
    double highSi() const { return high_; }
    QString rangeText() const;                        ///< "10 to 500 Hz"
    QString shownText(double si) const;               ///< as the field shows it, without the unit
    QString rejection() const { return rejection_; }  ///< empty unless the text was not taken
    bool edited() const { return edited_; }

public slots:
    void commit();  ///< as Return does; call before saving
    void commitTyped() override { commit(); }
    void restore();  ///< as Esc does

signals:
    void previewed(double si);          ///< a valid text while typing or stepping
    void committed(double si);          ///< the value is another one now
    void cleared();                     ///< the same for an optional field that was emptied
    void reverted();                    ///< what was previewed holds no longer; si() does
    void rejected(const QString& why);  ///< "99999 Hz is outside 10 to 500 Hz. Still reckoned with 72.0 Hz."
    void accepted();                    ///< an earlier rejection is over
    void entered();                     ///< Return, and what stands in the field was taken

public:
    void stepBy(int steps) override;
    QSize sizeHint() const override;
    QSize minimumSizeHint() const override;
    bool event(QEvent* event) override;

protected:
    QValidator::State validate(QString& input, int& position) const override;
    void fixup(QString&) const override {}
    StepEnabled stepEnabled() const override;
    void keyPressEvent(QKeyEvent* event) override;
    void wheelEvent(QWheelEvent* event) override;
    void focusOutEvent(QFocusEvent* event) override;
    void contextMenuEvent(QContextMenuEvent* event) override;
    void changeEvent(QEvent* event) override;
    void paintEvent(QPaintEvent* event) override;

private:
    void textTyped(const QString& text);
    void showSi();
    void stepByShown(double shownStep);
    double shownStep() const;  ///< one press of Up, in the shown unit
    Result<double> read(const QString& text) const;
    void reject(const QString& why);
    void endRejection();
    QString still() const;
    void copyWithUnit() const;

    Dimension dimension_;
    UnitSystem system_ = UnitSystem::metric;
    std::optional<double> si_, previewed_;
    double low_, high_;
    bool optional_ = false, edited_ = false, stepped_ = false;
    QString rejection_;
    UnitLineEdit* line_;
    QTimer stepsPause_;
};

}  // namespace portwright
