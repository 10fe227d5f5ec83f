// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/measure/what_if_page.h"

#include "app/desktop/components/figure_text.h"
#include "app/desktop/components/mark.h"
#include "app/desktop/components/measures.h"
#include "app/desktop/components/small_parts.h"
#include "app/desktop/components/table/value_table.h"
#include "app/desktop/measure/task_strip.h"

#include <QHBoxLayout>
#include <QHeaderView>
#include <QPushButton>
#include <QVBoxLayout>

#include <algorithm>

namespace portwright {
namespace {

enum Column { what, amount, second, tuning, f3, level };

std::vector<WhatIf> usualWishes()
{
    return {SolidLuggage{1e-3}, SoftLuggage{1e-3}, DrainHole{}, UnsealedLid{}, Heat{}, Altitude{}};
}

const QString arrow = QStringLiteral(" \u2192 ");

TableCell measured(double value, Dimension dimension, double low, double high)
{
    return {.value = value, .measure = TableCell::Measure{dimension, low, high}};
}

/// The amounts of one what-if in the table's two columns; ranges as what_if.h has them.
struct Amounts {
    QString name;
    TableCell first, other;
};
struct AmountsOf {
    Amounts operator()(const SolidLuggage& w) const
    {
        return {WhatIfPage::tr("Solid luggage in it"), measured(w.volume, Dimension::volume, 1e-6, 2), {}};
    }
    Amounts operator()(const SoftLuggage& w) const
    {
        return {WhatIfPage::tr("Soft luggage in it"), measured(w.volume, Dimension::volume, 1e-6, 2), {}};
    }
    Amounts operator()(const DrainHole& w) const
    {
        return {WhatIfPage::tr("Drain hole, bore and wall"), measured(w.diameter, Dimension::bore, 1e-3, 0.05),
                measured(w.depth, Dimension::length, 0.5e-3, 0.1)};
    }
    Amounts operator()(const UnsealedLid& w) const
    {
        return {WhatIfPage::tr("Lid lifted, length and gap"), measured(w.length, Dimension::length, 0.01, 5),
                measured(w.gap, Dimension::length, 0.05e-3, 2e-3)};
    }
    Amounts operator()(const Heat& w) const
    {
        return {WhatIfPage::tr("Heat"), measured(w.temperature, Dimension::temperature, -20, 80), {}};
    }
    Amounts operator()(const Altitude& w) const
    {
        return {WhatIfPage::tr("Height above the sea"), measured(w.altitude, Dimension::distance, -400, 4000), {}};
    }
};

double number(const TableCell& cell, double otherwise)
{
    const auto* si = std::get_if<double>(&cell.value);
    return si ? *si : otherwise;
}

struct PutAmounts {
    const TableRow& row;
    void operator()(SolidLuggage& w) const { w.volume = number(row[amount], w.volume); }
    void operator()(SoftLuggage& w) const { w.volume = number(row[amount], w.volume); }
    void operator()(DrainHole& w) const
    {
        w.diameter = number(row[amount], w.diameter);
        w.depth = number(row[second], w.depth);
    }
    void operator()(UnsealedLid& w) const
    {
        w.length = number(row[amount], w.length);
        w.gap = number(row[second], w.gap);
    }
    void operator()(Heat& w) const { w.temperature = number(row[amount], w.temperature); }
    void operator()(Altitude& w) const { w.altitude = number(row[amount], w.altitude); }
};

QString changeText(std::optional<double> before, std::optional<double> after, UnitSystem units)
{
    const auto text = [&](const std::optional<double>& f) {
        return f ? figureText(*f, Dimension::frequency, units) : QStringLiteral("\u2013");
    };
    return text(before) + arrow + text(after);
}

constexpr double hottestOfProject = 50;  // degC, what the project file takes
constexpr double leakUpTo = 5e-3;        // m, above it a drain is a short port, as what_if.h reckons it

/// What of a what-if can become part of the project; empty words: it cannot.
struct Applied {
    QString words;
    std::function<void(Project&, std::size_t)> change;
};
struct AppliedOf {
    Applied operator()(const SolidLuggage&) const { return {}; }
    Applied operator()(const SoftLuggage&) const { return {}; }
    Applied operator()(const DrainHole& w) const
    {
        return {WhatIfPage::tr("Add this drain"), [w](Project& p, std::size_t housing) {
                    Opening drain;
                    if (w.diameter <= leakUpTo) {
                        drain.kind = LeakHole{w.diameter, w.depth, {}};
                    } else {
                        PortOpening port;
                        port.diameter = w.diameter;
                        port.length = w.depth;
                        port.innerEnd = TubeEnd::flush;
                        drain.kind = port;
                    }
                    p.housings[housing].openings.push_back(drain);
                }};
    }
    Applied operator()(const UnsealedLid& w) const
    {
        return {WhatIfPage::tr("Add this gap"), [w](Project& p, std::size_t housing) {
                    Opening gap;
                    gap.kind = LeakSlit{w.length, w.gap, w.depth};
                    p.housings[housing].openings.push_back(gap);
                }};
    }
    Applied operator()(const Heat& w) const
    {
        if (w.temperature > hottestOfProject) return {};
        return {WhatIfPage::tr("Reckon with this heat"), [w](Project& p, std::size_t) {
                    if (!p.air) p.air = AirConditions{};
                    p.air->temperature = w.temperature;
                }};
    }
    Applied operator()(const Altitude& w) const
    {
        return {WhatIfPage::tr("Reckon with this height"), [w](Project& p, std::size_t) {
                    if (!p.air) p.air = AirConditions{};
                    p.air->altitude = w.altitude;
                    p.air->pressure.reset();
                }};
    }
};

}  // namespace

WhatIfPage::WhatIfPage(Workbench& workbench, QWidget* parent)
    : QWidget(parent), workbench_(workbench), table_(new ValueTable(tr("What if"))), sentence_(new StateLine),
      apply_(new QPushButton), wishes_(usualWishes())
{
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(px(14), px(10), px(14), px(10));
    column->setSpacing(px(6));
    auto* intro =
        new DimLabel(tr("The chosen housing as it is lived with. Change an amount; the project stays as it is."));
    intro->setWordWrap(true);
    column->addWidget(intro);
    table_->values()->setColumns(
        {{.head = tr("What if"), .kind = TableColumn::Kind::computed, .meaning = tr("what happens to it")},
         {.head = tr("Amount"), .meaning = tr("how much of it; units can be typed")},
         {.head = tr("And"), .meaning = tr("a drain's wall, a lid's gap (its seal is 3 mm deep)")},
         {.head = tr("Tuning or resonance"), .kind = TableColumn::Kind::computed, .meaning = tr("before and after")},
         {.head = tr("3 dB down at"), .kind = TableColumn::Kind::computed, .meaning = tr("before and after")},
         {.head = tr("At cursor"), .kind = TableColumn::Kind::computed, .meaning = tr("change of level there")}});
    table_->setProperty("helpTopic", QStringLiteral("measure#whatif"));
    table_->setSelectionMode(QAbstractItemView::SingleSelection);
    table_->verticalHeader()->hide();
    table_->setShownRows(7);  // and room for a bar below
    column->addWidget(table_);
    auto* refusal = new StateLine;
    refusal->hide();
    column->addWidget(refusal);
    column->addWidget(new TaskStrip(task_, tr("Reckoning")));
    column->addWidget(sentence_);
    auto* row = new QHBoxLayout;
    row->addWidget(apply_);
    row->addStretch();
    column->addLayout(row);
    column->addStretch(1);
    connect(table_, &ValueTable::refused, refusal, [refusal](const QString& sentence) {
        refusal->setState(sentence.isEmpty() ? Mark::fine : Mark::over, tr("Not taken"), sentence);
        refusal->setVisible(!sentence.isEmpty());
    });
    connect(table_, &ValueTable::edited, this, [this](const TableRows& rows) {
        for (std::size_t i = 0; i < rows.size() && i < wishes_.size(); ++i)
            std::visit(PutAmounts{rows[i]}, wishes_[i]);
        changed_ = true;
        refresh();
    });
    connect(table_, &ValueTable::rowChosen, this, [this] { show(); });
    connect(&workbench_, &Workbench::cursorChanged, this, [this] {
        if (isVisible()) refresh();
    });
    connect(apply_, &QPushButton::clicked, this, &WhatIfPage::apply);
}

std::size_t WhatIfPage::chosen() const
{
    return std::size_t(std::clamp(table_->currentRow(), 0, int(wishes_.size()) - 1));
}

void WhatIfPage::refresh()
{
    const HousingResult* result = workbench_.chosenResult();
    const auto computed = result ? result->computed : nullptr;
    if (changed_ || computed != of_ || workbench_.cursor() != cursor_) {
        if (computed != of_) outcomes_.clear();
        of_ = computed;
        cursor_ = workbench_.cursor();
        changed_ = false;
        reckon();
    }
    show();
}

void WhatIfPage::reckon()
{
    const Project& project = workbench_.document().shown();
    const auto index = workbench_.chosenIn(project);
    if (!of_ || !index) return task_.cancel();
    task_.start([project, housing = *index, wishes = wishes_, cursor = cursor_, units = workbench_.units(),
                 this](const Watch& watch) -> LongTask::Taken {
        auto found = std::make_shared<Outcomes>();
        for (std::size_t i = 0; i < wishes.size() && !isCancelled(watch); ++i) {
            report(watch, double(i) / double(wishes.size()), {});
            found->push_back(outcomeOf(project, housing, wishes[i], cursor, units));
        }
        return [this, found] {
            outcomes_ = std::move(*found);
            show();
        };
    });
}

void WhatIfPage::show()
{
    table_->values()->setUnits(workbench_.units());
    TableRows rows;
    for (std::size_t i = 0; i < wishes_.size(); ++i) {
        const Amounts amounts = std::visit(AmountsOf{}, wishes_[i]);
        TableRow row(6);
        row[what] = {.value = amounts.name};
        row[amount] = amounts.first;
        row[second] = amounts.other;
        if (i < outcomes_.size() && outcomes_[i]) {
            const WhatIfOutcome& o = *outcomes_[i];
            row[tuning] = {.value = changeText(o.before, o.after, workbench_.units())};
            row[f3] = {.value = changeText(o.f3Before, o.f3After, workbench_.units())};
            const QString change = figureText(o.levelChange, Dimension::level, workbench_.units());
            row[level] = {.value = o.levelChange > 0 ? QLatin1Char('+') + change : change};
        }
        rows.push_back(std::move(row));
    }
    table_->setRows(std::move(rows));
    const std::size_t at = chosen();
    if (!of_) {
        sentence_->setState(Mark::missing, tr("The housing cannot be computed yet: see its card."));
    } else if (at >= outcomes_.size()) {
        sentence_->setState(Mark::fine, {});
    } else if (!outcomes_[at]) {
        sentence_->setState(Mark::over, tr("Not reckoned"), localSentence(outcomes_[at].error().message));
    } else {
        QString words = localSentence(outcomes_[at]->sentence);
        for (const std::string& remark : outcomes_[at]->remarks)
            words +=
                (words.endsWith(QLatin1Char('.')) ? QStringLiteral(" ") : QStringLiteral(". ")) + localSentence(remark);
        if (!words.endsWith(QLatin1Char('.'))) words += QLatin1Char('.');
        sentence_->setState(Mark::note, words);
    }
    const Applied applied = std::visit(AppliedOf{}, wishes_[at]);
    apply_->setText(applied.words);
    apply_->setVisible(!applied.words.isEmpty() && of_);
}

void WhatIfPage::apply()
{
    const Applied applied = std::visit(AppliedOf{}, wishes_[chosen()]);
    const auto index = workbench_.chosenIndex();
    if (!applied.change || !index) return;
    workbench_.document().edit(applied.words, [&](Project& p) { applied.change(p, *index); });
}

}  // namespace portwright
