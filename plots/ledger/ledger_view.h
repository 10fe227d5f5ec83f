// SPDX-License-Identifier: GPL-3.0-or-later
// "Where the bass went": the account book at the cursor's frequency.
#pragma once

#ifndef Q_MOC_RUN  // moc stumbles over <numbers>
#include "plots/ledger/ledger_rows.h"
#endif
#include "plots/plot_palette.h"

#include <QAbstractTableModel>
#include <QWidget>

#include <vector>

class QVariantAnimation;

namespace portwright {

/// The ledger as text: rows are causes, columns are cause, one dB column a housing, sentence of the chosen one.
class LedgerModel : public QAbstractTableModel {
    Q_OBJECT
public:
    using QAbstractTableModel::QAbstractTableModel;
    void setLedger(std::vector<LedgerColumn> columns, int chosenSlot);
    const std::vector<LedgerColumn>& columns() const { return columns_; }
    const std::vector<LedgerRow>& rows() const { return rows_; }
    int chosenColumn() const;  ///< index in columns(), -1 if none

    int rowCount(const QModelIndex& parent = {}) const override;
    int columnCount(const QModelIndex& parent = {}) const override;
    QVariant data(const QModelIndex& index, int role = Qt::DisplayRole) const override;
    QVariant headerData(int section, Qt::Orientation orientation, int role = Qt::DisplayRole) const override;
    QString text() const;  ///< tab-separated with heads, for copying

private:
    std::vector<LedgerColumn> columns_;
    std::vector<LedgerRow> rows_;
    int chosen_ = -1;
};

class LedgerView : public QWidget {
    Q_OBJECT
public:
    explicit LedgerView(QWidget* parent = nullptr);

    void setLedgers(std::vector<LedgerColumn> columns);
    void setChosen(int slot);
    int chosen() const { return chosen_; }
    void setFolded(bool folded);  ///< only the title and the total line
    bool folded() const { return folded_; }
    void setRowHeight(int pixels);  ///< 0: 19 px at a 12 px font, in em; 25 when wide
    void setPlotPalette(const PlotPalette& palette);
    void setReducedMotion(bool reduced);
    LedgerModel* model() { return &model_; }

    void paintTo(QPainter& painter, const QRectF& box) const;  ///< as shown, without animation
    double heightFor(int rows) const;                          ///< px with this font
    QSize sizeHint() const override;
    QSize minimumSizeHint() const override;

public slots:
    void copy() const;

signals:
    void causeClicked(int cause);  ///< Cause as a number
    void startClicked();           ///< the row of the endless baffle
    void endClicked();             ///< the row of the rider
    void slotChosen(int slot);

protected:
    bool event(QEvent* event) override;
    void paintEvent(QPaintEvent* event) override;
    void mousePressEvent(QMouseEvent* event) override;
    void keyPressEvent(QKeyEvent* event) override;
    void changeEvent(QEvent* event) override;

private:
    LedgerModel model_;
    PlotPalette palette_ = lightPalette();
    int chosen_ = -1;
    int current_ = 0;  ///< row of the keyboard
    bool folded_ = false, reduced_ = false;
    int rowHeight_ = 0;
    std::vector<std::pair<double, double>> barsFrom_, barsShown_;  ///< dB from..to by row
    QVariantAnimation* slide_ = nullptr;

    void refresh();
    void describe();
    void rowChosen();
};

}  // namespace portwright
