// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/window/parts_window.h"

#include "app/desktop/components/field_row.h"
#include "app/desktop/components/figure_text.h"
#include "app/desktop/components/mark.h"
#include "app/desktop/components/measures.h"
#include "app/desktop/components/quiet_combo_box.h"
#include "app/desktop/components/workshop_style.h"

#include <QDate>
#include <QDir>
#include <QFileDialog>
#include <QHBoxLayout>
#include <QLocale>
#include <QPlainTextEdit>
#include <QPushButton>
#include <QVBoxLayout>

namespace portwright {

PartsWindow::PartsWindow(Workbench& workbench, QWidget* parent)
    : QWidget(parent, Qt::Window), workbench_(workbench),
      paper_(QLocale().measurementSystem() == QLocale::ImperialUSSystem ? Paper::letter : Paper::a4),
      list_(new QPlainTextEdit), state_(new StateLine), write_(new QPushButton(tr("Write into a Folder\u2026")))
{
    setWindowTitle(tr("Parts"));
    setAccessibleName(tr("Parts"));
    setProperty("helpTopic", QStringLiteral("opening#parts"));
    resize(px(860), px(600));
    list_->setReadOnly(true);
    list_->setAccessibleName(tr("List of parts"));
    list_->setFrameShape(QFrame::NoFrame);
    setButtonFace(*write_, ButtonFace::main);
    connect(write_, &QPushButton::clicked, this, &PartsWindow::writeByDialog);
    auto* right = new QVBoxLayout;
    right->setSpacing(px(6));
    right->addWidget(list_, 1);
    right->addWidget(state_);
    auto* verbs = new QHBoxLayout;
    verbs->addStretch();
    verbs->addWidget(write_);
    right->addLayout(verbs);
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

void PartsWindow::length(QVBoxLayout& column, const QString& label, double low, double high, const QString& meaning,
                         const std::function<double()>& read, const std::function<void(double)>& write)
{
    auto* row = new FieldRow(label, Dimension::length);
    row->box()->setRangeSi(low, high);
    row->setMeaning(meaning);
    row->setHelpTopic(QStringLiteral("opening#parts"));
    row->setUnitSystem(workbench_.units());
    connect(&workbench_, &Workbench::unitsChanged, row, [this, row] { row->setUnitSystem(workbench_.units()); });
    connect(row->box(), &QuantityBox::committed, this, [this, write](double si) {
        write(si);
        refresh();
    });
    refreshers_.push_back([row, read] { row->box()->setSi(read()); });
    column.addWidget(row);
}

QWidget* PartsWindow::buildChoices()
{
    auto* left = new QWidget;
    left->setFixedWidth(px(250));
    auto* column = new QVBoxLayout(left);
    column->setContentsMargins(0, 0, 0, 0);
    column->setSpacing(0);
    const auto member = [&](const QString& label, double low, double high, const QString& meaning,
                            double PartOptions::* which) {
        length(
            *column, label, low, high, meaning, [this, which] { return options_.*which; },
            [this, which](double si) { options_.*which = si; });
    };
    column->addWidget(new GroupHeading(tr("Cut from stock")));
    const auto bar = [&](const QString& label, std::vector<portwright::Stock> PartOptions::* which) {
        length(
            *column, label, 0.05, 10, tr("one piece as it is sold"),
            [this, which] { return (options_.*which).front().length; },
            [this, which](double si) { (options_.*which).front().length = si; });
    };
    bar(tr("Tube pieces of"), &PartOptions::tubeStock);
    bar(tr("Panels of"), &PartOptions::panelStock);
    member(tr("Panel"), 1e-3, 50e-3, tr("thickness of a slot's panels"), &PartOptions::panel);
    member(tr("Kerf"), 0, 20e-3, tr("what the blade takes"), &PartOptions::kerf);
    member(tr("Cut long by"), 0, 0.5, tr("added at the inner end, to be trimmed after a sweep"), &PartOptions::cutLong);
    column->addSpacing(px(4));
    column->addWidget(new GroupHeading(tr("Printed")));
    length(
        *column, tr("Wall"), 0.8e-3, 20e-3, tr("of a printed port"), [this] { return options_.wall.value_or(3e-3); },
        [this](double si) { options_.wall = si; });
    member(tr("Printer's height"), 20e-3, 1, tr("taller ports come in pieces with a lip"), &PartOptions::printerHeight);
    member(tr("Lip clearance"), 0, 1e-3, tr("between lip and recess of two pieces"), &PartOptions::lipClearance);
    member(tr("Screw holes"), 1e-3, 12e-3, tr("diameter, in the flange"), &PartOptions::screwDiameter);
    column->addSpacing(px(4));
    column->addWidget(new GroupHeading(tr("Template")));
    member(tr("Hole wider by"), 0, 5e-3, tr("than what goes through it"), &PartOptions::fit);
    auto* paper = new QuietComboBox;
    paper->addItems({tr("A4"), tr("Letter")});
    paper->setAccessibleName(tr("Paper"));
    paper->setCurrentIndex(int(paper_));
    paper->setProperty("helpTopic", QStringLiteral("opening#parts"));
    connect(paper, &QComboBox::activated, this, [this](int which) { paper_ = Paper(which); });
    column->addWidget(new FieldRow(tr("Paper"), paper));
    column->addStretch(1);
    return left;
}

/// As reckoned with, so that a volume from measurements counts, too.
std::optional<Housing> PartsWindow::housing() const
{
    const HousingResult* result = workbench_.chosenResult();
    if (result && result->computed) return result->computed->model.housing;
    const Housing* chosen = workbench_.chosenHousing();
    return chosen ? std::optional(*chosen) : std::nullopt;
}

void PartsWindow::refresh()
{
    for (const auto& one : refreshers_)
        one();
    options_.units = workbench_.units();
    const auto now = housing();
    if (parts_ && now == of_ && with_ == options_) return;
    of_ = now;
    with_ = options_;
    setWindowTitle(now ? tr("Parts of %1").arg(QString::fromStdString(now->name)) : tr("Parts"));
    parts_ = now ? partsOf(*now, options_) : Result<PartSet>(fail({}, tr("choose a housing first").toStdString()));
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

Result<std::vector<PartFile>> PartsWindow::filesToWrite() const
{
    std::vector<PartFile> files = (*parts_)->files;
    const QString colophon = tr("Portwright, %1").arg(QDate::currentDate().toString(Qt::ISODate));
    for (const PartTemplate& one : (*parts_)->templates) {
        const auto pdf = templatePdf(one.drawing, paper_, colophon);
        if (!pdf) return tl::unexpected(pdf.error());
        files.push_back({one.name + ".pdf", pdf->toStdString()});
    }
    return files;
}

bool PartsWindow::writeInto(const QString& folder)
{
    refresh();
    if (!*parts_) return false;
    const auto files = filesToWrite();
    const auto written = files ? writeParts(folder.toStdString(), *files)
                               : Result<std::vector<std::string>>(tl::unexpected(files.error()));
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

void PartsWindow::writeByDialog()
{
    QFileDialog dialog(this, tr("Folder for the Parts"),
                       workbench_.projectFolder().isEmpty() ? QDir::homePath() : workbench_.projectFolder());
    dialog.setFileMode(QFileDialog::Directory);
    dialog.setOption(QFileDialog::ShowDirsOnly);
    dialog.setAcceptMode(QFileDialog::AcceptOpen);
    dialog.setLabelText(QFileDialog::Accept, tr("Write Here"));
    if (dialog.exec() == QDialog::Accepted) writeInto(dialog.selectedFiles().value(0));
}

void PartsWindow::showEvent(QShowEvent* event)
{
    refresh();
    QWidget::showEvent(event);
}

}  // namespace portwright
