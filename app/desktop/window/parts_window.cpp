// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/window/parts_window.h"

#include "app/desktop/components/figure_text.h"
#include "app/desktop/components/mark.h"
#include "app/desktop/components/measures.h"
#include "app/desktop/components/question_bar.h"
#include "app/desktop/components/quiet_combo_box.h"
#include "app/desktop/components/small_parts.h"
#include "app/desktop/components/typing.h"
#include "app/desktop/components/workshop_style.h"
#include "core/parts/leg_plan.h"
#include "core/parts/port_body.h"

#include <QDir>
#include <QFileDialog>
#include <QHBoxLayout>
#include <QKeyEvent>
#include <QLocale>
#include <QPlainTextEdit>
#include <QPushButton>
#include <QRegularExpression>
#include <QVBoxLayout>

#include <array>

namespace portwright {
namespace {

struct HousedPort {
    PortOpening port;
    Cavity cavity;  ///< that it opens from
};
std::vector<HousedPort> portsOf(const std::optional<Housing>& housing)
{
    std::vector<HousedPort> ports;
    for (int i = 0; housing && i < int(housing->openings.size()); ++i)
        if (const auto* port = std::get_if<PortOpening>(&housing->openings[std::size_t(i)].kind))
            ports.push_back({*port, cavityOf(*housing, i)});
    return ports;
}

/// As the printer would make it, its legs those of the cut list.
Result<PortBody> bodyOf(const HousedPort& housed, const PartOptions& options)
{
    const auto plan = legPlan(housed.port, housed.cavity, options);
    return printedBody(housed.port, options, plan ? plan->legs : std::vector<double>());
}

/// By some printer and some choice: with a thin wall where the usual one has no room.
bool isPrintable(const HousedPort& housed)
{
    PartOptions thin;
    thin.wall = 0.8e-3, thin.flange = false;
    return bodyOf(housed, PartOptions{}).has_value() || bodyOf(housed, thin).has_value();
}

constexpr std::array screwCounts{4, 6, 8, 10, 12, 16, 20, 24};  // go around a slot, too
enum FlangeWay { screwed, glued, noFlange };

/// "parts.txt, tube-template.svg and 3 more"
QString someOf(const std::vector<std::string>& names)
{
    QStringList first;
    constexpr std::size_t told = 2;
    for (std::size_t i = 0; i < std::min(told, names.size()); ++i)
        first << QString::fromStdString(names[i]);
    const QString all = first.join(PartsWindow::tr(", "));
    return names.size() <= told ? all : PartsWindow::tr("%1 and %2 more").arg(all).arg(names.size() - told);
}

}  // namespace

PartsWindow::PartsWindow(Workbench& workbench, QWidget* parent)
    : QWidget(parent, Qt::Window), workbench_(workbench),
      paper_(QLocale().measurementSystem() == QLocale::ImperialUSSystem ? Paper::letter : Paper::a4),
      unprinted_(new StateLine), list_(new QPlainTextEdit), state_(new StateLine), question_(new QuestionBar),
      folder_(new TextLine), write_(new QPushButton(tr("Write")))
{
    setWindowTitle(tr("Parts"));
    setAccessibleName(tr("Parts"));
    setProperty("helpTopic", QStringLiteral("opening#parts"));
    resize(px(860), px(620));
    list_->setReadOnly(true);
    list_->setAccessibleName(tr("List of parts"));
    list_->setFrameShape(QFrame::NoFrame);
    list_->setTabChangesFocus(true);
    connect(question_, &QuestionBar::answered, this, [this](int verb) {
        closeQuestion();
        if (verb == 0)
            writeInto(folder_->text());
        else if (verb == 1)
            chooseFolder();
    });
    auto* right = new QVBoxLayout;
    right->setSpacing(px(6));
    right->addWidget(list_, 1);
    right->addWidget(question_);
    right->addWidget(state_);
    right->addWidget(buildFolderRow());
    auto* row = new QHBoxLayout(this);
    row->setContentsMargins(px(14), px(10), px(14), px(10));
    row->setSpacing(px(14));
    row->addWidget(buildChoices());
    row->addLayout(right, 1);
    const auto follow = [this] {
        if (isVisible()) refresh();
    };
    connect(&workbench_.computation(), &Computation::updated, this, follow);
    connect(&workbench_, &Workbench::chosenChanged, this, follow);
    connect(&workbench_, &Workbench::unitsChanged, this, follow);
}

FieldRow* PartsWindow::quantity(const QString& label, double low, double high, const QString& meaning, Made made)
{
    auto* row = new FieldRow(label, Dimension::length);
    row->box()->setRangeSi(low, high);
    row->setMeaning(meaning);
    row->setHelpTopic(QStringLiteral("opening#parts"));
    row->setUnitSystem(workbench_.units());
    connect(&workbench_, &Workbench::unitsChanged, row, [this, row] { row->setUnitSystem(workbench_.units()); });
    rows_.emplace_back(row, made);
    column_->addWidget(row);
    return row;
}

FieldRow* PartsWindow::length(const QString& label, double low, double high, const QString& meaning, Made made,
                              double PartOptions::* which)
{
    FieldRow* row = quantity(label, low, high, meaning, made);
    connect(row->box(), &QuantityBox::committed, this, [this, which](double si) {
        options_.*which = si;
        refresh();
    });
    refreshers_.push_back([this, row, which] { row->box()->setSi(options_.*which); });
    return row;
}

FieldRow* PartsWindow::length(const QString& label, double low, double high, const QString& meaning, Made made,
                              std::optional<double> PartOptions::* which)
{
    FieldRow* row = quantity(label, low, high, meaning, made);
    row->box()->setOptional(true);
    const auto put = [this, which](std::optional<double> si) {
        options_.*which = si;
        refresh();
    };
    connect(row->box(), &QuantityBox::committed, this, [put](double si) { put(si); });
    connect(row->box(), &QuantityBox::cleared, this, [put] { put({}); });
    refreshers_.push_back([this, row, which] { row->box()->setSi(options_.*which); });
    return row;
}

void PartsWindow::bar(const QString& label, Made made, std::vector<portwright::Stock> PartOptions::* which)
{
    FieldRow* row = quantity(label, 0.05, 10, tr("one piece as it is sold"), made);
    connect(row->box(), &QuantityBox::committed, this, [this, which](double si) {
        (options_.*which).front().length = si;
        refresh();
    });
    refreshers_.push_back([this, row, which] { row->box()->setSi((options_.*which).front().length); });
}

void PartsWindow::stockRows()
{
    column_->addWidget(new GroupHeading(tr("Cut from stock")));
    bar(tr("Tube pieces of"), Made::fromTube, &PartOptions::tubeStock);
    bar(tr("Panels of"), Made::fromPanels, &PartOptions::panelStock);
    length(tr("Panel"), 1e-3, 50e-3, tr("thickness of a slot's panels, where its walls have none"),
           Made::fromFreePanels, &PartOptions::panel);
    length(tr("Kerf"), 0, 20e-3, tr("what the blade takes"), Made::always, &PartOptions::kerf);
    length(tr("Cut long by"), 0, 0.5, tr("added at the inner end, to be trimmed after a sweep"), Made::always,
           &PartOptions::cutLong);
    room({.key = "straight_mm",
          .label = tr("Straight run"),
          .meaning = tr("from the port's wall to what is opposite, for the legs of a bent port; the job keeps it"),
          .size = &RoomForPort::straight});
    room({.key = "across_mm",
          .label = tr("Run across"),
          .meaning = tr("for the leg of a bent port across the cavity; the job keeps it"),
          .size = &RoomForPort::across});
}

/// Of the cavity that the first bent port is in.
void PartsWindow::room(const RoomSize& size)
{
    const RoomRow added = roomRow(workbench_, size, [this] {
        CavityMeant meant;
        const Housing* chosen = workbench_.chosenHousing();
        if (!chosen) return meant;
        meant.housing = chosen->id;
        for (int i = 0; i < int(chosen->openings.size()); ++i) {
            const auto* port = std::get_if<PortOpening>(&chosen->openings[std::size_t(i)].kind);
            if (!port || port->bends.empty()) continue;
            meant.opening = i;
            break;
        }
        return meant;
    });
    added.row->box()->setEmptyShows(tr("cavity"));
    added.row->setHelpTopic(QStringLiteral("opening#parts"));
    refreshers_.push_back(added.refresh);
    rows_.emplace_back(added.row, Made::bent);
    column_->addWidget(added.row);
}

void PartsWindow::printRows()
{
    column_->addSpacing(px(4));
    column_->addWidget(new GroupHeading(tr("Printed")));
    column_->addWidget(unprinted_);
    wall_ = length(tr("Wall"), 0.8e-3, 20e-3, tr("of a printed port; empty: as the port has it, else 3 mm"),
                   Made::printed, &PartOptions::wall);
    length(tr("Printer's height"), 20e-3, 1, tr("taller ports come in pieces with a lip"), Made::printed,
           &PartOptions::printerHeight);
    length(tr("Lip clearance"), 0, 1e-3, tr("between lip and recess of two pieces"), Made::printed,
           &PartOptions::lipClearance);
    flangeRows();
}

QComboBox* PartsWindow::choice(const QString& label, const QStringList& items, const QString& meaning, Made made)
{
    auto* box = new QuietComboBox;
    box->addItems(items);
    box->setAccessibleName(label);
    box->setToolTip(meaning);
    box->setProperty("helpTopic", QStringLiteral("opening#parts"));
    auto* row = new FieldRow(label, box);
    rows_.emplace_back(row, made);
    column_->addWidget(row);
    return box;
}

void PartsWindow::flangeRows()
{
    flange_ = choice(tr("Flange"), {tr("screwed"), tr("glued"), tr("none")},
                     tr("at the outer end; glued it has no screw holes, without one the tube is glued into its hole"),
                     Made::flangeable);
    const auto take = [this] {
        const int way = flange_->currentIndex(), wanted = screws_->currentIndex();
        options_.flange = way != noFlange;
        options_.screws.reset();
        if (way == glued) options_.screws = 0;
        if (way == screwed && wanted > 0) options_.screws = screwCounts.at(std::size_t(wanted) - 1);
        refresh();
    };
    land_ = length(tr("Land"), 3e-3, 50e-3, tr("of the flange: hole to screws, and from these to its rim"),
                   Made::flanged, &PartOptions::land);
    QStringList counts{tr("by size")};
    for (const int count : screwCounts)
        counts << QString::number(count);
    screws_ =
        choice(tr("Screws"), counts, tr("in the flange; by size: no more than 80 mm apart, 4 at least"), Made::screwed);
    length(tr("Screw hole \u2300"), 1e-3, 12e-3, tr("diameter of the screw holes in the flange"), Made::screwed,
           &PartOptions::screwDiameter);
    connect(flange_, &QComboBox::activated, this, take);
    connect(screws_, &QComboBox::activated, this, take);
}

QWidget* PartsWindow::buildChoices()
{
    auto* left = new QWidget;
    left->setFixedWidth(px(250));
    column_ = new QVBoxLayout(left);
    column_->setContentsMargins(0, 0, 0, 0);
    column_->setSpacing(0);
    stockRows();
    printRows();
    column_->addSpacing(px(4));
    column_->addWidget(new GroupHeading(tr("Template")));
    length(tr("Hole wider by"), 0, 5e-3, tr("than what goes through it"), Made::always, &PartOptions::fit);
    auto* paper = new QuietComboBox;
    paper->addItems({tr("A4"), tr("Letter")});
    paper->setAccessibleName(tr("Paper"));
    paper->setCurrentIndex(int(paper_));
    paper->setProperty("helpTopic", QStringLiteral("opening#parts"));
    connect(paper, &QComboBox::activated, this, [this](int which) { paper_ = Paper(which); });
    column_->addWidget(new FieldRow(tr("Paper"), paper));
    column_->addStretch(1);
    return left;
}

QWidget* PartsWindow::buildFolderRow()
{
    auto* line = new QWidget;
    auto* row = new QHBoxLayout(line);
    row->setContentsMargins(0, 0, 0, 0);
    row->setSpacing(px(8));
    auto* label = new QLabel(tr("&Folder"));
    label->setBuddy(folder_);
    folder_->setAccessibleName(tr("Folder for the parts"));
    folder_->setToolTip(tr("Where the files go; a new folder is made if the one above it is there"));
    connect(folder_, &QLineEdit::textEdited, this, [this] {
        folderTyped_ = true;
        closeQuestion();
    });
    connect(folder_, &QLineEdit::returnPressed, this, &PartsWindow::write);
    auto* browse = new QPushButton(tr("&Choose\u2026"));
    connect(browse, &QPushButton::clicked, this, &PartsWindow::chooseFolder);
    write_->setToolTip(tr("Writes all files into the folder"));
    setButtonFace(*write_, ButtonFace::main);
    connect(write_, &QPushButton::clicked, this, &PartsWindow::write);
    row->addWidget(label);
    row->addWidget(folder_, 1);
    row->addWidget(browse);
    row->addWidget(write_);
    return line;
}

/// As reckoned with, so that a volume from measurements counts, too.
std::optional<Housing> PartsWindow::housing() const
{
    const HousingResult* result = workbench_.chosenResult();
    if (result && result->computed) return result->computed->model.housing;
    const Housing* chosen = workbench_.chosenHousing();
    return chosen ? std::optional(*chosen) : std::nullopt;
}

bool PartsWindow::isMade(Made made) const
{
    const auto ports = portsOf(of_);
    return std::any_of(ports.begin(), ports.end(), [&](const HousedPort& housed) {
        const PortOpening& port = housed.port;
        const bool slot = port.shape == PortShape::slot;
        switch (made) {
        case Made::always:
            return true;
        case Made::fromTube:
            return !slot;
        case Made::fromPanels:
            return slot;
        case Made::fromFreePanels:
            return slot && !(port.wall.value_or(0) > 0);
        case Made::printed:
            return isPrintable(housed);
        case Made::flangeable:
            return port.outerEnd == TubeEnd::flush && isPrintable(housed);
        case Made::flanged:
            return options_.flange && port.outerEnd == TubeEnd::flush && isPrintable(housed);
        case Made::screwed:
            return options_.flange && options_.screws != 0 && port.outerEnd == TubeEnd::flush && isPrintable(housed);
        case Made::bent:
            return !port.bends.empty();
        }
        return false;
    });
}

/// Only what counts for these ports; where none is printed, the reason stands there.
void PartsWindow::showChoices()
{
    const auto ports = portsOf(of_);
    for (const auto& [row, made] : rows_)
        row->setVisible(ports.empty() || isMade(made));
    QString why;
    std::optional<double> wall;
    bool same = true, printed = false;
    PartOptions own = options_;
    own.wall.reset();
    for (const HousedPort& port : ports) {
        const auto body = bodyOf(port, options_);
        printed = printed || body.has_value();
        if (!body && why.isEmpty()) why = localSentence(body.error().message) + QLatin1Char('.');
        if (const auto usual = bodyOf(port, own)) {
            same = same && wall.value_or(usual->wall) == usual->wall;
            wall = usual->wall;
        }
    }
    unprinted_->setVisible(!ports.empty() && !printed);
    unprinted_->setState(Mark::note, tr("Not printed"), why);
    wall_->box()->setEmptyShows(!wall ? QString() : same ? wall_->box()->shownText(*wall) : tr("its own"));
}

void PartsWindow::refresh()
{
    for (const auto& one : refreshers_)
        one();
    options_.units = workbench_.units();
    if (!folderTyped_) folder_->setText(QDir::toNativeSeparators(usualFolder()));
    const auto now = housing();
    if (parts_ && now == of_ && with_ == options_ && job_ == workbench_.project().title) return;
    job_ = workbench_.project().title;
    of_ = now;
    with_ = options_;
    closeQuestion();
    showChoices();
    setWindowTitle(now ? tr("Parts of %1 %2").arg(workbench_.chosenLetter(), QString::fromStdString(now->name))
                       : tr("Parts"));
    parts_ =
        now ? partsOf(*now, options_, {}, job_) : Result<PartSet>(fail({}, tr("choose a housing first").toStdString()));
    write_->setEnabled(parts_->has_value());
    if (*parts_) {
        list_->setPlainText(localSentence((*parts_)->text));
        state_->setState(Mark::note,
                         tr("%1 files and a PDF of each template will be written.").arg((*parts_)->files.size()));
    } else {
        list_->setPlainText({});
        state_->setState(Mark::over, tr("Not made"), localSentence(parts_->error().message) + QLatin1Char('.'));
    }
}

QString PartsWindow::listText() const { return list_->toPlainText(); }

/// Beside the job, one for each housing, so that those of one do not replace those of another.
QString PartsWindow::usualFolder() const
{
    const QString place = workbench_.projectFolder().isEmpty() ? QDir::homePath() : workbench_.projectFolder();
    const Housing* chosen = workbench_.chosenHousing();
    QString name = chosen ? QString::fromStdString(chosen->name).simplified() : QString();  // no no-break spaces
    name.replace(QRegularExpression(QStringLiteral("[^\\w .,-]+")), QStringLiteral("-"));
    name = name.left(60).trimmed();
    return QDir(place).filePath(name.isEmpty() ? tr("parts") : tr("parts %1 %2").arg(workbench_.chosenLetter(), name));
}

Result<std::vector<PartFile>> PartsWindow::filesToWrite() const
{
    std::vector<PartFile> files = (*parts_)->files;
    const QString colophon = QStringLiteral("Portwright " PORTWRIGHT_VERSION);
    for (const PartTemplate& one : (*parts_)->templates) {
        const auto pdf = templatePdf(one.drawing, paper_, colophon);
        if (!pdf) return fail(pdf.error());
        files.push_back({one.name + ".pdf", pdf->toStdString()});
    }
    return files;
}

void PartsWindow::write()
{
    commitTyping();
    refresh();
    if (!*parts_) return;
    const auto files = filesToWrite();
    const QString folder = folder_->text().trimmed();
    const FolderBefore before =
        files && !folder.isEmpty() ? folderBefore(folder.toStdString(), *files) : FolderBefore{};
    if (before.replaced.empty()) return void(writeInto(folder));
    QString words = tr("%1 in that folder will be replaced.").arg(someOf(before.replaced));
    if (!before.leftOver.empty())
        words += QLatin1Char(' ') + tr("%1 of earlier parts will stay.").arg(someOf(before.leftOver));
    question_->ask(words, {tr("Replace"), tr("Another Folder\u2026"), tr("Cancel")}, 0);
    if (auto* first = question_->findChild<QPushButton*>()) first->setFocus(Qt::OtherFocusReason);
}

bool PartsWindow::writeInto(const QString& folder)
{
    refresh();
    if (!*parts_) return false;
    if (folder.isEmpty()) {
        state_->setState(Mark::over, tr("Not written"), tr("Name a folder first."));
        return false;
    }
    const auto files = filesToWrite();
    const auto written =
        files ? writeParts(folder.toStdString(), *files) : Result<std::vector<std::string>>(fail(files.error()));
    if (!written) {
        const QString where = written.error().field.empty() ? folder : QString::fromStdString(written.error().field);
        state_->setState(Mark::over, tr("Not written"),
                         tr("%1: %2.").arg(where, localSentence(written.error().message)));
        return false;
    }
    state_->setState(Mark::holds, tr("Written"),
                     tr("%1 files are in %2. Read the cautions before anything is cut.")
                         .arg(written->size())
                         .arg(QDir::toNativeSeparators(folder)));
    return true;
}

void PartsWindow::closeQuestion()
{
    if (question_->isHidden()) return;
    const bool focused = question_->isAncestorOf(focusWidget());
    question_->hide();
    if (focused) write_->setFocus(Qt::OtherFocusReason);
}

void PartsWindow::chooseFolder()
{
    const QString now = folder_->text();
    QFileDialog dialog(this, tr("Folder for the Parts"), QDir(now).exists() ? now : QFileInfo(now).absolutePath());
    dialog.setFileMode(QFileDialog::Directory);
    dialog.setOption(QFileDialog::ShowDirsOnly);
    dialog.setAcceptMode(QFileDialog::AcceptOpen);
    dialog.setLabelText(QFileDialog::Accept, tr("Take This"));
    if (dialog.exec() != QDialog::Accepted) return;
    folderTyped_ = true;
    folder_->setText(QDir::toNativeSeparators(dialog.selectedFiles().value(0)));
    write_->setFocus(Qt::OtherFocusReason);
}

void PartsWindow::showEvent(QShowEvent* event)
{
    refresh();
    QWidget::showEvent(event);
    if (!event->spontaneous()) write_->setFocus(Qt::OtherFocusReason);
}

/// Esc closes the question, then the window; Return presses the button in focus.
void PartsWindow::keyPressEvent(QKeyEvent* event)
{
    if (event->key() == Qt::Key_Escape) {
        if (!question_->isHidden()) return closeQuestion();
        close();
        return;
    }
    auto* button = qobject_cast<QPushButton*>(focusWidget());
    if (button && (event->key() == Qt::Key_Return || event->key() == Qt::Key_Enter)) return button->click();
    QWidget::keyPressEvent(event);
}

}  // namespace portwright
