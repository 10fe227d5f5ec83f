// SPDX-License-Identifier: GPL-3.0-or-later
// The housings side by side as cards, the row for another one, and the cautions that stand wherever levels do.
#pragma once

#include "app/desktop/components/card/housing_card.h"
#include "app/desktop/components/card/new_housing_card.h"
#include "app/desktop/session/workbench.h"
#include "plots/cut/cut.h"

#include <QScrollArea>

#include <vector>

class QVBoxLayout;

namespace portwright {

class CardsColumn : public QScrollArea {
    Q_OBJECT
public:
    explicit CardsColumn(Workbench& workbench, QWidget* parent = nullptr);

    void refresh();
    HousingCard* card(const std::string& id) const;
    NewHousingCard* newCard() const { return newCard_; }
    std::vector<HousingCard*> cards() const;
    StateLine* cautionLine() const { return caution_; }

    void openNew();
    void offerFirst();  ///< opens the new card by itself, once a project: a usable driver waits for its housing
    void copyChosen();
    void removeChosen();
    void renameChosen();
    void moveChosen(int by);
    void toggleChosen();

signals:
    void cautionsWanted();

protected:
    void resizeEvent(QResizeEvent* event) override;

private:
    struct Entry {
        std::string id;
        HousingCard* card = nullptr;
        CutView* cut = nullptr;
    };
    Entry makeCard(const std::string& id);
    void connectCard(const Entry& entry);
    void bringIntoView();  ///< the chosen card, where it is not
    void lineUp();         ///< cards as the project's housings, in its order
    void fill(Entry& entry, std::size_t index);
    void drawCuts();
    void tellCursor();
    void tellCautions();
    void moveHousing(const std::string& id, int by);
    void removeHousing(const std::string& id);
    void copyHousing(const std::string& id);
    void connectNewCard();
    std::optional<std::size_t> indexOf(const std::string& id) const;

    Workbench& workbench_;
    std::vector<Entry> entries_;
    QVBoxLayout* column_;
    NewHousingCard* newCard_;
    StateLine* caution_;
    QWidget* moreCautions_;
    bool offered_ = false, bringing_ = false;  ///< bringing_: a housing was chosen just now
    NewHousing startOfNew();
};

/// What the large and the small cuts show at the cursor.
CutAtCursor cutAtCursor(const std::optional<AtCursor>& at);

}  // namespace portwright
