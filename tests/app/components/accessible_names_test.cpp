// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/card/empty_state.h"
#include "app/desktop/components/card/housing_card.h"
#include "app/desktop/components/card/new_housing_card.h"
#include "app/desktop/components/card/verdict_list.h"
#include "app/desktop/components/field_row.h"
#include "app/desktop/components/hint_slip.h"
#include "app/desktop/components/path_strip.h"
#include "app/desktop/components/question_bar.h"
#include "app/desktop/components/quiet_combo_box.h"
#include "app/desktop/components/segment_switch.h"
#include "tests/app/components/bench.h"

#include <QAccessible>

using namespace portwright;
using namespace portwright::test;

namespace {

/// All widgets below (and with) a root that can take the focus; lists that pop up are windows of their own.
QList<QWidget*> focusable(QWidget& root)
{
    QList<QWidget*> found;
    QList<QWidget*> all = root.findChildren<QWidget*>();
    all.append(&root);
    for (QWidget* widget : all)
        if (widget->focusPolicy() != Qt::NoFocus && widget->window() == root.window() && !widget->focusProxy())
            found << widget;
    return found;
}

void checkNames(QWidget& root, int atLeast)
{
    const QList<QWidget*> all = focusable(root);
    INFO(root.metaObject()->className());
    CHECK(all.size() >= atLeast);  // an audit that looks at nothing proves nothing
    for (QWidget* widget : all) {
        const QAccessibleInterface* face = QAccessible::queryAccessibleInterface(widget);
        INFO(widget->metaObject()->className());
        REQUIRE(face);
        CHECK_FALSE(face->text(QAccessible::Name).isEmpty());
    }
}

}  // namespace

TEST_CASE("Every control that can take the focus has an accessible name")
{
    Bench bench;
    auto& row = bench.put(new FieldRow("Re", Dimension::resistance));
    row.setOrigin(Origin::measured);
    row.setUncertaintyEditable(true);
    checkNames(row, 2);
    auto* combo = new QuietComboBox;
    combo->addItems({"free", "flush with the wall"});
    checkNames(bench.put(new FieldRow("Inner end", combo)), 1);
    checkNames(bench.put(new PathStrip), 6);
    auto& list = bench.put(new VerdictList);
    list.setVerdicts({{Mark::over, "a", "High-pass at 63 Hz", {}},
                      {Mark::over, "b", {}, {}},
                      {Mark::near, "c", {}, {}},
                      {Mark::note, "d", {}, {}}});
    checkNames(list, 2);
    auto& card = bench.put(new HousingCard(1));
    card.setName("Ported, 54 mm tube");
    checkNames(card, 3);
    auto& fresh = bench.put(new NewHousingCard);
    fresh.setCopyOf("B");
    fresh.open();
    checkNames(fresh, 7);
    auto& question = bench.put(new QuestionBar);
    question.ask("Unsaved work from 14:02 was found.", {"Restore", "Discard"}, 0);
    checkNames(question, 2);
    checkNames(bench.put(new EmptyState), 2);
    auto& view = bench.put(new SegmentSwitch("View"));
    view.setSegments({{"Charts", "charts", {}}, {"Table", "table", {}}});
    checkNames(view, 2);
    auto* hint = new HintSlip(&bench);
    hint->setHint("One line, all pictures", "Move over any chart.", 1, 3);
    hint->pointAt(&row);
    checkNames(*hint, 2);
}
