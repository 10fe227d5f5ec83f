// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/stations/form.h"

#include "app/desktop/components/fold_heading.h"
#include "app/desktop/components/labels.h"
#include "app/desktop/components/measures.h"
#include "app/desktop/components/quiet_combo_box.h"
#include "app/desktop/components/small_parts.h"
#include "app/desktop/components/workshop_style.h"
#include "app/desktop/stations/stations.h"
#include "core/document/fields.h"

#include <QHBoxLayout>
#include <QLineEdit>
#include <QPushButton>
#include <QVBoxLayout>

#include <array>

namespace portwright {

Form::Form(Workbench& workbench, const QString& helpPage, QWidget* parent)
    : QWidget(parent), workbench_(workbench), helpPage_(helpPage), whole_(new QVBoxLayout(this)), column_(whole_)
{
    column_->setContentsMargins(px(14), px(10), px(14), px(14));
    column_->setSpacing(0);
}

void Form::title(const QString& text, const QString& remark, bool withLetter)
{
    auto* line = new QHBoxLayout;
    line->setSpacing(px(6));
    auto* words = new LetteredLabel(text, Letters::stationTitle, this);
    line->addWidget(words);
    line->addStretch();
    if (withLetter) {
        auto* hidden = new DimLabel(tr("hidden in the charts"), this);
        line->addWidget(hidden);
        auto* tag = new SlotTag(this);
        line->addWidget(tag);
        whenRefreshed([this, tag, hidden] {
            const auto index = workbench_.chosenIndex();
            const Housing* housing = workbench_.chosenHousing();
            hidden->setVisible(housing && workbench_.computation().hidden(housing->id));
            tag->setVisible(index.has_value());
            tag->setSlot(index ? int(*index) : 0);
        });
    }
    column_->addLayout(line);
    if (!remark.isEmpty()) {
        auto* below = new NameLabel(remark, this);
        makeRemark(*below);
        column_->addWidget(below);
    }
    faultLine();
}

void Form::faultLine()
{
    static const std::array<QString, stationCount> pages{"radio", "amplifier", "driver", "cavity", "opening", "rider"};
    note([this]() -> std::pair<Mark, QString> {
        const HousingResult* result = workbench_.chosenResult();
        if (!result || result->computed || result->error.message.empty()) return {};
        const Error& error = result->error;
        const Station station = stationOf(error);
        if (pages[std::size_t(station)] != helpPage_) return {};
        // A driver's fault, a measurement's and a port's stand among their own rows.
        const bool measured = station == Station::cavity && workbench_.chosenHousing() &&
                              !workbench_.chosenHousing()->cavity.measurements.empty();
        const bool ofOpening = rowOf(error).startsWith(QLatin1String("openings/"));
        if (station == Station::driver || measured || ofOpening) return {};
        return {markOf(error, workbench_.document().shown()), sentenceOf(error)};
    });
}

void Form::group(const QString& heading)
{
    endFold();
    column_->addSpacing(px(4));
    column_->addWidget(new GroupHeading(heading, this));
}

void Form::fold(const QString& heading, const QString& key, std::function<QString()> remark)
{
    endFold();
    auto* head = new FoldHeading(heading, this);
    auto* body = new QWidget(this);
    auto* rows = new QVBoxLayout(body);
    rows->setContentsMargins(0, 0, 0, 0);
    rows->setSpacing(0);
    head->setProperty("helpTopic", helpPage_);
    head->setChecked(workbench_.unfolded(key));
    body->setVisible(head->isChecked());
    connect(head, &QAbstractButton::toggled, body, [this, body, key](bool open) {
        workbench_.setUnfolded(key, open);
        body->setVisible(open);
    });
    if (remark) whenRefreshed([head, remark = std::move(remark)] { head->setRemark(remark()); });
    whole_->addSpacing(px(4));
    whole_->addWidget(head);
    whole_->addWidget(body);
    folds_.emplace(body, head);
    column_ = rows;
}

void Form::endFold() { column_ = whole_; }

FieldRow* Form::quantity(const QuantityPlace& place)
{
    const FieldInfo* info = fieldInfo(place.object, place.key);
    Q_ASSERT(info);
    auto* row = new FieldRow(place.label, info->dimension, this);
    row->box()->setRangeSi(info->min / info->perSi, info->max / info->perSi);
    row->box()->setOptional(place.optional);
    row->setMeaning(QString::fromUtf8(info->meaning.data(), qsizetype(info->meaning.size())));
    row->setHelpTopic(helpPage_ + QLatin1Char('#') + QLatin1String(place.key));
    row->setUnitSystem(workbench_.units());
    if (info->defaultValue && place.optional) row->setDefaultSi(*info->defaultValue / info->perSi);
    const std::optional<double> fallback =
        place.optional && info->defaultValue ? std::optional(*info->defaultValue / info->perSi) : std::nullopt;
    const QString step = tr("Change %1").arg(place.label);
    connectBox(row, place, step);
    connect(&workbench_, &Workbench::unitsChanged, row, [this, row] { row->setUnitSystem(workbench_.units()); });
    whenRefreshed([this, row, place, fallback] {
        Document& document = workbench_.document();  // other rows follow what is typed or dragged
        const auto value = place.read(row->box()->edited() ? document.project() : document.shown());
        row->box()->setSi(value);
        if (fallback) {
            row->box()->setEmptyShows(row->box()->shownText(*fallback));
            row->setDefaultShown(!value);
        }
    });
    if (rows_.emplace(place.field, row).second) fields_ << place.field;
    column_->addWidget(row);
    return row;
}

void Form::connectBox(FieldRow* row, const QuantityPlace& place, const QString& step)
{
    QuantityBox* box = row->box();
    Document& document = workbench_.document();
    const auto put = [this, step, place](std::optional<double> value) {
        Document& open = workbench_.document();
        open.edit(step, place.field, [&](Project& project) { place.write(project, value); });
        open.closeEdit();
    };
    connect(box, &QuantityBox::previewed, this,
            [&document, place](double si) { document.preview([&](Project& project) { place.write(project, si); }); });
    connect(box, &QuantityBox::committed, this, [put](double si) { put(si); });
    connect(box, &QuantityBox::cleared, this, [put] { put({}); });
    connect(row, &FieldRow::resetWanted, this, [put] { put({}); });
    connect(box, &QuantityBox::reverted, this, [&document] { document.endPreview(); });
}

void Form::choice(const ChoicePlace& place)
{
    auto* combo = new QuietComboBox;
    combo->addItems(place.names);
    combo->setAccessibleName(place.label);
    combo->setProperty("helpTopic", helpPage_);
    auto* row = new FieldRow(place.label, combo, this);
    connect(combo, &QComboBox::activated, this, [this, place](int index) {
        workbench_.document().edit(tr("Change %1").arg(place.label),
                                   [&](Project& project) { place.write(project, index); });
    });
    whenRefreshed([this, combo, place] { combo->setCurrentIndex(place.read(workbench_.project())); });
    if (rows_.emplace(place.field, row).second) fields_ << place.field;
    column_->addWidget(row);
}

void Form::localChoice(const QString& label, const QStringList& names, int current, const std::function<void(int)>& act)
{
    auto* combo = new QuietComboBox;
    combo->addItems(names);
    combo->setCurrentIndex(current);
    combo->setAccessibleName(label);
    combo->setProperty("helpTopic", helpPage_);
    connect(combo, &QComboBox::activated, this, [act](int index) { act(index); });
    column_->addWidget(new FieldRow(label, combo, this));
}

void Form::text(const QString& label, const std::function<std::string(const Project&)>& read,
                const std::function<void(Project&, const std::string&)>& write)
{
    auto* edit = new TextLine;
    edit->setAccessibleName(label);
    edit->setMaxLength(200);
    edit->setProperty("helpTopic", helpPage_);
    connect(edit, &QLineEdit::editingFinished, this, [this, edit, label, read, write] {
        const std::string typed = edit->text().trimmed().toStdString();
        edit->setText(QString::fromStdString(typed));  // what was typed is done with: Ctrl+Z is the window's again
        if (typed == read(workbench_.project())) return;
        workbench_.document().edit(tr("Change %1").arg(label), [&](Project& project) { write(project, typed); });
    });
    whenRefreshed([this, edit, read] {
        const QString now = QString::fromStdString(read(workbench_.project()));
        if (edit->text() != now && !(edit->hasFocus() && edit->isModified())) edit->setText(now);
    });
    column_->addWidget(new FieldRow(label, edit, this));
}

ValueRow* Form::derived(const QString& label, Dimension dimension, std::function<std::optional<double>()> value,
                        std::function<QString()> remark)
{
    auto* row = new ValueRow(label, this);
    whenRefreshed([this, row, dimension, value = std::move(value), remark = std::move(remark)] {
        row->setValueSi(value(), dimension, workbench_.units());
        if (remark) row->setRemark(remark());
    });
    column_->addWidget(row);
    return row;
}

void Form::words(const std::function<QString()>& words)
{
    auto* label = new DimLabel({}, this);
    label->setWordWrap(true);
    whenRefreshed([label, words] {
        label->setText(words());
        label->setVisible(!label->text().isEmpty());
    });
    column_->addWidget(label);
}

void Form::note(const std::function<std::pair<Mark, QString>()>& state)
{
    auto* line = new StateLine(this);
    whenRefreshed([line, state] {
        const auto [mark, text] = state();
        line->setState(mark, text);
        line->setVisible(!text.isEmpty());
    });
    column_->addWidget(line);
}

QPushButton* Form::button(const QString& words, const std::function<void()>& act, const QString& tip)
{
    auto* made = new QPushButton(words, this);
    made->setToolTip(tip);
    made->setProperty("helpTopic", helpPage_);
    connect(made, &QPushButton::clicked, this, [act] { act(); });
    auto* line = new QHBoxLayout;
    line->addWidget(made);
    line->addStretch();
    column_->addLayout(line);
    return made;
}

std::vector<QPushButton*> Form::buttons(const std::vector<std::pair<QString, std::function<void()>>>& row)
{
    std::vector<QPushButton*> all;
    auto* line = new QHBoxLayout;
    line->setSpacing(px(10));
    for (const auto& [words, act] : row) {
        auto* made = new QPushButton(words, this);
        setButtonFace(*made, ButtonFace::link);
        made->setProperty("helpTopic", helpPage_);
        connect(made, &QPushButton::clicked, this, [act = act] { act(); });
        line->addWidget(made);
        all.push_back(made);
    }
    line->addStretch();
    column_->addLayout(line);
    return all;
}

void Form::add(QWidget* widget) { column_->addWidget(widget); }

void Form::finish()
{
    endFold();
    column_->addStretch(1);
    refresh();
}

void Form::refresh()
{
    for (const auto& one : refreshers_)
        one();
}

FieldRow* Form::row(const QString& field) const
{
    const auto found = rows_.find(field);
    return found == rows_.end() ? nullptr : found->second;
}

QString Form::fieldOf(const QWidget* inside) const
{
    for (const auto& [field, row] : rows_)
        if (row->isAncestorOf(inside)) return field;
    return {};
}

bool Form::jumpTo(const QString& field)
{
    FieldRow* found = row(field);
    for (QString stem = field; !found && !stem.isEmpty();
         stem = stem.left(qMax(qsizetype(0), stem.lastIndexOf(QLatin1Char('/')))))
        for (const auto& [key, one] : rows_)
            if (key.startsWith(stem)) {
                found = one;
                break;
            }
    if (!found) return false;
    if (const auto fold = folds_.find(found->parentWidget()); fold != folds_.end()) fold->second->setChecked(true);
    found->takeFocus();
    return true;
}

}  // namespace portwright
