// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desktop/search/search_wishes.h"
#include "app/desktop/session/workbench.h"
#include "app/desktop/stations/room_row.h"

#include <QScrollArea>

class QVBoxLayout;

namespace portwright {

class FieldRow;
class QuietComboBox;

/// What is to be had, what the cavity allows, what is wanted: the fields of a search.
class SearchForm : public QScrollArea {
    Q_OBJECT
public:
    SearchForm(Workbench& workbench, SearchWishes& wishes, QWidget* parent = nullptr);

    void refresh(const Computed* of);  ///< what stands where nothing is typed, for this housing; null: not known
    FieldRow* row(const QString& label) const;
    void readList(const QString& path);  ///< a stock list of the user's own; refused(...) says what is wrong with it

signals:
    void changed();
    void refused(const QString& sentence);  ///< empty: an earlier refusal is over

private:
    using Wish = std::optional<double> SearchWishes::*;
    FieldRow* quantity(const QString& label, Dimension dimension, double low, double high, Wish wish,
                       const QString& meaning, const QString& empty = {});
    FieldRow* room(const RoomSize& size);  ///< of the job, not of the wishes
    QuietComboBox* choice(const QString& label, const QStringList& names, const QString& meaning,
                          const std::function<int()>& read, const std::function<void(int)>& write);
    void haveRows();
    void roomRows();
    void mouthRows();
    void aimRows();
    void leastRows();
    void chooseList(int list);

    Workbench& workbench_;
    SearchWishes& wishes_;
    const Computed* of_ = nullptr;  ///< while refreshing
    std::string subject_;           ///< id of the housing that a port is sought for, empty: none
    QVBoxLayout* column_ = nullptr;
    std::vector<std::pair<QString, FieldRow*>> rows_;
    std::vector<std::function<void()>> refreshers_;
};

}  // namespace portwright
