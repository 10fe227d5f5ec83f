// SPDX-License-Identifier: GPL-3.0-or-later
// Paints the components as they look in use, for eyes: component_gallery FOLDER [FONT-FAMILY]. Not installed.
#include "app/desktop/components/app_palette.h"
#include "app/desktop/components/card/empty_state.h"
#include "app/desktop/components/card/housing_card.h"
#include "app/desktop/components/card/new_housing_card.h"
#include "app/desktop/components/field_row.h"
#include "app/desktop/components/hint_slip.h"
#include "app/desktop/components/measures.h"
#include "app/desktop/components/path_strip.h"
#include "app/desktop/components/question_bar.h"
#include "app/desktop/components/quiet_combo_box.h"
#include "app/desktop/components/segment_switch.h"
#include "app/desktop/components/workshop_style.h"
#include "plots/cut/cut.h"

#include <QApplication>
#include <QCheckBox>
#include <QDir>
#include <QLineEdit>
#include <QPushButton>
#include <QRadioButton>
#include <QScrollArea>
#include <QVBoxLayout>

using namespace portwright;

namespace {

FieldRow* row(QWidget* parent, const QString& label, Dimension dimension, double si, std::optional<Origin> origin,
              std::optional<double> uncertainty = {})
{
    auto* row = new FieldRow(label, dimension, parent);
    row->box()->setSi(si);
    row->setOrigin(origin);
    row->setUncertaintySi(uncertainty);
    return row;
}

QWidget* editor(QWidget* parent)
{
    auto* form = new QWidget(parent);
    auto* rows = new QVBoxLayout(form);
    rows->setContentsMargins(px(14), px(10), px(14), px(10));
    rows->setSpacing(0);
    rows->addWidget(new GroupHeading("Resonance and loss", form));
    rows->addWidget(row(form, "Re", Dimension::resistance, 3.3, Origin::measured, 0.05));
    rows->addWidget(row(form, "Vas", Dimension::volume, 9.8e-3, Origin::datasheet, 2e-3));
    rows->addWidget(row(form, "Xmax", Dimension::travel, 4e-3, Origin::guessed, 1e-3));
    FieldRow* length = row(form, "Length", Dimension::length, 0.13, Origin::measured, 0.5e-3);
    rows->addWidget(length);
    FieldRow* fs = row(form, "fs", Dimension::frequency, 72, Origin::measured);
    fs->box()->setRangeSi(10, 500);
    rows->addWidget(fs);
    fs->box()->findChild<QLineEdit*>()->setText("99999");
    emit fs->box()->findChild<QLineEdit*>()->textEdited("99999");
    auto* qes = new FieldRow("Qes", Dimension::quality, form);
    qes->setMissing(true);
    qes->setOrigin(Origin::datasheet);
    rows->addWidget(qes);
    FieldRow* air = row(form, "Loss Q", Dimension::quality, 7, {});
    air->setDefaultShown(true);
    rows->addWidget(air);
    auto* combo = new QuietComboBox(form);
    combo->addItems({"flush with the wall", "free"});
    rows->addWidget(new FieldRow("Outer end", combo, form));
    rows->addWidget(new FieldRow("Name", new QLineEdit("165 mm mid-bass, demo", form), form));
    rows->addWidget(new GroupHeading("What follows", form));
    auto* takes = new ValueRow("Takes from cavity", form);
    takes->setValueSi(0.37e-3, Dimension::volume);
    rows->addWidget(takes);
    auto* bl = new ValueRow("Bl", form);
    bl->setValueSi(5.45, Dimension::forceFactor);
    bl->setRemark("\u00B1 0.6");
    rows->addWidget(bl);
    auto* box = new QCheckBox("Classical end correction", form);
    box->setChecked(true);
    rows->addWidget(box);
    auto* radio = new QRadioButton("Half space", form);
    radio->setChecked(true);
    rows->addWidget(radio);
    rows->addWidget(new QRadioButton("Full space", form));
    auto* plain = new QPushButton("Open a file", form);
    auto* off = new QPushButton("Not now", form);
    off->setEnabled(false);
    rows->addWidget(plain);
    rows->addWidget(off);
    rows->addStretch(1);
    length->takeFocus();
    return form;
}

HousingCard* card(QWidget* parent, int slot, const QString& name, bool ported)
{
    auto* card = new HousingCard(slot, parent);
    card->setName(name);
    card->setFigures({{{{ported ? "Tuning" : "Resonance", ported ? "88.4\u00A0Hz" : "192\u00A0Hz"},
                        {"3 dB down at", "143\u00A0Hz"},
                        {"Least load", "3.3\u00A0\u03A9"},
                        {"Loudest", "94.7\u00A0dB"}}},
                      "at 80\u00A0Hz, by amplifier"});
    QList<VerdictLine> verdicts;
    if (ported)
        verdicts = {{Mark::over,
                     "below 67\u00A0Hz the cone passes its 4.0\u00A0mm at 14.1\u00A0V: high-pass at 63\u00A0Hz, "
                     "24\u00A0dB per octave, or stay under 4.6\u00A0V.",
                     "High-pass at 63\u00A0Hz",
                     {}},
                    {Mark::over,
                     "port air reaches 24.7\u00A0m/s at 52\u00A0Hz, limit 17 (common practice): use a 68\u00A0mm bore.",
                     "68\u00A0mm bore",
                     {}},
                    {Mark::near, "port air reaches 16.7 of 17\u00A0m/s.", {}, {}},
                    {Mark::note, "more", {}, {}},
                    {Mark::note, "more", {}, {}}};
    else
        verdicts = {
            {Mark::holds, "cone travel peaks at 2.4 of 4.0\u00A0mm, at 170\u00A0Hz.", {}, {}},
            {Mark::missing, "no Xmax: cone travel is drawn, but not judged.", {}, {}},
            {Mark::note,
             "1.6\u00A0L of air is 6.1 times as stiff as the cone's suspension: 3\u00A0dB down already at 143\u00A0Hz.",
             {},
             {}}};
    card->verdicts()->setVerdicts(verdicts);
    card->setChosen(ported);
    auto* cut = new QWidget(card);  // where the cut stands
    cut->setFixedSize(px(110), px(80));
    card->setCut(cut);
    return card;
}

QWidget* cards(QWidget* parent)
{
    auto* column = new QWidget(parent);
    auto* rows = new QVBoxLayout(column);
    rows->setContentsMargins(px(8), px(8), px(8), px(8));
    rows->setSpacing(px(8));
    rows->addWidget(card(column, 0, "Stock sealed pod", false));
    rows->addWidget(card(column, 1, "Ported, 54 mm tube", true));
    auto* fresh = new NewHousingCard(column);
    fresh->setSlot(2);
    fresh->setCopyOf("B");
    fresh->setStart({.kind = NewHousing::Kind::ported, .netVolume = 6.4e-3, .tuning = 92.5, .leakQ = 10});
    fresh->setRemark("\u00D8 68\u00A0mm, 150\u00A0mm long; dotted in all charts");
    fresh->open();
    rows->addWidget(fresh);
    rows->addWidget(new NewHousingCard(column));
    rows->addStretch(1);
    return column;
}

std::array<StationState, stationCount> stations()
{
    return {{{"Radio", "not in the chain", Mark::absent, {}, {}},
             {"Amplifier", "sag 13.1\u00A0V \u00B7 38\u00A0W", Mark::near, {}, {}},
             {"Driver", "Re missing", Mark::missing, {}, {}},
             {"Cavity", "A 1.6\u00A0L \u00B1 0.1", Mark::fine, {}, {}},
             {"Opening", "B air past 17\u00A0m/s", Mark::over, {}, {}},
             {"Rider", "0.8\u00A0m, half space", Mark::fine, {}, {}}}};
}

void paintAll(const QString& file)
{
    QWidget window;
    window.resize(px(1280), px(860));
    auto* rows = new QVBoxLayout(&window);
    rows->setContentsMargins(0, 0, 0, 0);
    rows->setSpacing(0);
    auto* strip = new PathStrip(&window);
    strip->setStations(stations());
    strip->setChosen(1);
    rows->addWidget(strip);
    auto* question = new QuestionBar(&window);
    question->ask(
        "Unsaved work on \u201Clower.portwright\u201D from 14:02 was found; the program ended without saving it.",
        {"Restore", "Discard"}, 0);
    rows->addWidget(question);
    auto* columns = new QHBoxLayout;
    columns->setSpacing(0);
    auto* area = new QScrollArea(&window);
    area->setFrameShape(QFrame::NoFrame);
    area->setWidgetResizable(true);
    area->setFixedWidth(px(252));
    area->setWidget(editor(area));
    columns->addWidget(area);
    auto* middle = new QVBoxLayout;
    auto* view = new SegmentSwitch("View", &window);
    view->setSegments({{"Charts", "charts", {}}, {"Table", "table", {}}});
    middle->addWidget(view, 0, Qt::AlignRight);
    auto* empty = new EmptyState(&window);
    middle->addWidget(empty, 1);
    columns->addLayout(middle, 1);
    QWidget* right = cards(&window);
    right->setFixedWidth(px(312));
    columns->addWidget(right);
    rows->addLayout(columns, 1);
    window.show();
    QApplication::setActiveWindow(&window);
    window.findChild<FieldRow*>();
    HintSlip hint(&window);
    hint.setHint("One line, all pictures",
                 "Move over any chart: figures, cuts and the ledger follow. Keys: \u2190 and \u2192.", 1, 3);
    QApplication::processEvents();
    hint.pointAt(view);
    for (FieldRow* field : window.findChildren<FieldRow*>())
        if (field->box() && field->box()->accessibleName() == "Length") field->takeFocus();
    QApplication::processEvents();
    window.grab().save(file);
}

}  // namespace

int main(int argc, char** argv)
{
    if (!qEnvironmentVariableIsSet("QT_QPA_PLATFORM")) qputenv("QT_QPA_PLATFORM", "offscreen");
    QApplication application(argc, argv);
    const QStringList arguments = QApplication::arguments();
    const QDir folder(arguments.value(1, "."));
    if (arguments.size() > 2) QApplication::setFont(QFont(arguments[2], 9));
    applyTheme(Theme::light);
    paintAll(folder.filePath("light.png"));
    applyTheme(Theme::dark);
    paintAll(folder.filePath("dark.png"));
    applyTheme(Theme::light, true);
    paintAll(folder.filePath("contrast.png"));
    return 0;
}
